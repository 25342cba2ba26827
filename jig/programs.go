package jig

import (
	"errors"
	"fmt"
	"math"

	"reseat/jig/geom"
	"reseat/jig/toolpath"
)

// Program is one file for the router: the moves, and what they come to.
type Program struct {
	Path    *toolpath.Program
	Run     toolpath.Summary
	Dialect string // "plain" or "ngc"
	Part    string // "bed", "blank", "board"
	Holes   []ProgramHole
}

// ProgramHole is a round hole that a program makes, in the machine frame.
type ProgramHole struct {
	ID         string   `json:"id"`
	At         geom.Vec `axes:"x_mm,y_mm"`
	DiameterMM float64  `json:"diameter_mm"`
	DepthMM    float64  `json:"depth_mm"` // below the stock's top
}

// breakThroughMM is how far a cutter goes below a part that it bores through, into the
// scrap under it. Common practice, no source.
const breakThroughMM = 0.3

// cautions stand at the head of every program.
var cautions = []string{
	"The machine's manual, local rules and trained people come before this file.",
	"Protect eyes, ears and lungs; hold the work down; keep hands off while it turns.",
	"Run it in the air first, over the part, with a hand on the stop.",
}

// settings are the job's cutting figures for one tool; what the job leaves out is
// filled in by the tool path.
func (b *builder) settings() toolpath.Settings {
	c := b.job.Cutting
	return toolpath.Settings{
		FeedXYMMmin: c.FeedMMmin, FeedZMMmin: c.PlungeMMmin, SpindleRPM: c.SpindleRPM,
		PitchMM: c.TurnMM, FinishMM: c.FinishMM, SafeMM: c.SafeMM,
	}
}

// programs writes the pin holes of bed and blank as moves, where the router itself
// makes them.
func (b *builder) programs() {
	if len(b.d.Pins) == 0 {
		return
	}
	b.bores("bores.nc", b.bd, func(p Pin) Hole { return p.Bed })
	if b.blank.name != "" {
		b.bores("bores-blank.nc", b.blank, func(p Pin) Hole { return *p.Blank })
	}
}

// bores makes the program of one part's pin holes. A part that another process makes
// has none; holes that the cutter cannot make have been told by a rule.
func (b *builder) bores(file string, p part, of func(Pin) Hole) {
	if p.make.By != "router" && p.make.By != "drill" {
		return
	}
	tool := toolpath.Tool{Name: "end mill", DiameterMM: p.make.CutterMM}
	if p.make.By == "drill" {
		tool = toolpath.Tool{Name: "drill", DiameterMM: of(b.d.Pins[0]).DrawnMM}
	}
	s := b.settings()
	through := false
	var cuts []*toolpath.Cut
	var round []ProgramHole
	var faults []error
	for _, q := range b.d.Pins {
		h := of(q)
		depth := h.DepthMM
		if depth == 0 {
			depth, through = p.thickness+breakThroughMM, true
		}
		if p.make.By == "drill" && depth+toolpath.PointMM(tool.DiameterMM) >= p.thickness {
			through = true // the point comes out below, if not the full diameter
		}
		at := toolpath.Hole{ID: q.ID, At: q.Machine, DiameterMM: h.DrawnMM, FloorZ: -depth}
		var c *toolpath.Cut
		var err error
		switch {
		case p.make.By == "drill" && h.DrawnMM != tool.DiameterMM:
			err = fmt.Errorf("%s is drilled %.2f mm and the first hole %.2f: one program has one drill", q.ID, h.DrawnMM, tool.DiameterMM)
		case p.make.By == "drill":
			c, err = toolpath.Drill(at, tool, s)
		case h.SlotMM > 0:
			c, err = toolpath.SlotHole(toolpath.Slot{
				ID: q.ID, At: q.Machine, WidthMM: h.DrawnMM, FloorZ: -depth,
				AngleRad: h.SlotAngle + b.d.Frame.ToMachine.Angle, TravelMM: h.SlotMM,
			}, tool, s)
		default:
			c, err = toolpath.Bore(at, tool, s)
		}
		if err != nil {
			faults = append(faults, err)
			continue
		}
		cuts = append(cuts, c)
		if h.SlotMM == 0 && p.make.By == "router" {
			round = append(round, ProgramHole{q.ID, q.Machine, h.DrawnMM, depth})
		}
	}
	says := append([]string(nil), cautions...)
	says = append(says,
		fmt.Sprintf("Tool: %s of %.3f mm, measured over the cutting edges.", tool.Name, tool.DiameterMM),
		fmt.Sprintf("Stock: %s, %s, %.4g mm thick.", p.name, p.material, p.thickness),
		fmt.Sprintf("Zero: X0 Y0 where the datum line starts, Z0 on top of the %s.", p.name),
	)
	if through {
		says = append(says, fmt.Sprintf("The tool goes right through and on: lay scrap under the %s.", p.name))
	}
	if of(b.d.Pins[0]).Pressed {
		says = append(says, "The pins are driven into these holes; try one in scrap first.")
	}
	b.assembleProgram(file, p.name, says, tool, s, cuts, round, errors.Join(faults...))
}

// assembleProgram adds a program, or the rule that says why there is none.
func (b *builder) assembleProgram(file, part string, says []string, tool toolpath.Tool, s toolpath.Settings, cuts []*toolpath.Cut, holes []ProgramHole, fault error) {
	id := "program-" + part
	key := "cutting"
	if fault == nil {
		var p *toolpath.Program
		p, fault = toolpath.Assemble(toolpath.Head{File: file, Title: b.job.Title, Says: says}, tool, s, cuts)
		if fault == nil {
			var run toolpath.Summary
			if run, fault = p.DryRun(0); fault == nil {
				b.d.Programs = append(b.d.Programs, Program{p, run, b.job.Cutting.Dialect, part, holes})
				b.programRule(id, p, run)
				return
			}
		}
	}
	b.book.judge(id, false, Warn, 0, 0, "", file+" is not written", fault.Error(), key)
}

// programRule holds a program's way against the machine's travel.
func (b *builder) programRule(id string, p *toolpath.Program, run toolpath.Summary) {
	travel := b.job.Machine.TravelMM
	spare := math.Inf(1)
	for i, size := range []float64{run.Max.X - run.Min.X, run.Max.Y - run.Min.Y, run.Max.Z - run.Min.Z} {
		if travel[i] > 0 {
			spare = math.Min(spare, travel[i]-size)
		}
	}
	says := fmt.Sprintf("%s: %d cuts, %.0f min, X %.1f to %.1f, Y %.1f to %.1f, %.2f mm deep, %.2f mm per turn",
		p.File, run.Cuts, math.Ceil(run.TimeS()/60), run.Min.X, run.Max.X, run.Min.Y, run.Max.Y, run.DeepestMM, run.PerTurnMM)
	if math.IsInf(spare, 1) {
		b.book.judge(id, true, Fail, run.DeepestMM, run.DeepestMM, "mm", says, "", "machine.travel")
		return
	}
	b.book.atLeast(id, spare, 0, "mm", says+fmt.Sprintf("; the travel leaves %s", mm(spare)),
		"the way is longer than the machine's travel", "machine.travel")
}
