package jig

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/toolpath"
)

// Program is one file for the router: the moves, and the holes that they make.
type Program struct {
	Path    *toolpath.Program
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
	"Safety: wear eye, hearing and breathing protection, hold the work down, keep hands clear while the spindle turns.",
	"The machine's manual, local rules and trained people come before this file.",
}

// routerOf is a tool with the job's cutting figures.
func routerOf(c job.Cutting, name string, diameterMM float64) toolpath.Router {
	return toolpath.Router{
		Tool:      toolpath.Tool{Name: name, DiameterMM: diameterMM},
		FeedMMmin: c.FeedMMmin, PlungeMMmin: c.PlungeMMmin, SpindleRPM: c.SpindleRPM,
		PassMM: c.TurnMM, FinishMM: c.FinishMM, SafeMM: c.SafeMM,
	}.Filled()
}

// programs plans the pin holes of bed and blank, where the router itself makes them.
func (b *builder) programs() {
	for _, c := range []struct {
		file string
		part part
		of   func(Pin) Hole
	}{
		{"bores.nc", b.bd, func(p Pin) Hole { return p.Bed }},
		{"bores-blank.nc", b.blank, func(p Pin) Hole { return *p.Blank }},
	} {
		by := c.part.make.By
		if len(b.d.Pins) == 0 || c.part.name == "" || by != "router" && by != "drill" {
			continue
		}
		p, err := pinBores(b.job, b.d.Frame, c.file, c.part, b.d.Pins, c.of)
		b.addProgram(c.file, c.part.name, p, err)
	}
}

// pinBores plans one part's pin holes. The error says what the tool cannot make, once for
// all pins that it goes for.
func pinBores(j *job.Job, frame Frame, file string, p part, pins []Pin, of func(Pin) Hole) (Program, error) {
	drilled := p.make.By == "drill"
	r := routerOf(j.Cutting, "end mill", p.make.CutterMM)
	if drilled {
		r = routerOf(j.Cutting, "drill", of(pins[0]).DrawnMM)
	}
	through := false
	var cuts []*toolpath.Cut
	var round []ProgramHole
	var wrong faultsByID
	for _, q := range pins {
		h := of(q)
		depth, reach := h.DepthMM, h.DepthMM
		if depth == 0 {
			depth = p.thickness + breakThroughMM
		}
		if reach = depth; drilled {
			reach += toolpath.PointMM(r.DiameterMM)
		}
		through = through || reach >= p.thickness
		hole := toolpath.Hole{ID: q.ID, At: q.Machine, DiameterMM: h.DrawnMM, DepthMM: depth}
		var c *toolpath.Cut
		var err error
		switch {
		case drilled:
			c, err = r.Drill(hole)
		case h.SlotMM > 0:
			c, err = r.Slot(toolpath.Slot{
				ID: q.ID, At: q.Machine, WidthMM: h.DrawnMM, DepthMM: depth,
				AngleRad: h.SlotAngle + frame.ToMachine.Angle, TravelMM: h.SlotMM,
			})
		default:
			c, err = r.Bore(hole)
			round = append(round, ProgramHole{q.ID, q.Machine, h.DrawnMM, depth})
		}
		wrong.add(q.ID, err)
		cuts = append(cuts, c)
	}
	if err := wrong.err(); err != nil {
		return Program{}, err
	}
	says := append([]string(nil), cautions...)
	says = append(says,
		fmt.Sprintf("Stock: %s, %s, %.4g mm thick.", p.name, p.material, p.thickness),
		fmt.Sprintf("Zero: X0 Y0 where the datum line starts, Z0 on top of the %s.", p.name),
	)
	if through {
		says = append(says, fmt.Sprintf("The tool comes out below: lay scrap under the %s.", p.name))
	}
	if of(pins[0]).Pressed {
		says = append(says, "The pins are driven into these holes; try one in scrap first.")
	}
	path, err := r.Program(toolpath.Head{File: file, Title: j.Title, Says: says}, cuts)
	return Program{path, j.Cutting.Dialect, p.name, round}, err
}

// faultsByID gathers faults and tells each once, with all that it goes for.
type faultsByID struct {
	says []string
	ids  map[string][]string
}

func (f *faultsByID) add(id string, err error) {
	if err == nil {
		return
	}
	if f.ids == nil {
		f.ids = map[string][]string{}
	}
	says := err.Error()
	if f.ids[says] == nil {
		f.says = append(f.says, says)
	}
	f.ids[says] = append(f.ids[says], id)
}

func (f *faultsByID) err() error {
	var all []error
	for _, s := range f.says {
		all = append(all, fmt.Errorf("%s: %s", strings.Join(f.ids[s], ", "), s))
	}
	return errors.Join(all...)
}

// addProgram adds a program with the rule on the travel, or the rule that says why there
// is none.
func (b *builder) addProgram(file, part string, p Program, err error) {
	if err != nil {
		b.book.judge("program-"+part, false, Warn, 0, 0, "", file+" is not written", err.Error(), "cutting")
		return
	}
	b.d.Programs = append(b.d.Programs, p)
	b.book.travelRule(p)
}

// travelRule holds a program's way against the machine's travel.
func (b *ruleBook) travelRule(p Program) {
	run, travel := p.Path.Run, b.job.Machine.TravelMM
	spare := math.Inf(1)
	for i, size := range []float64{run.Max.X - run.Min.X, run.Max.Y - run.Min.Y, run.Max.Z - run.Min.Z} {
		if travel[i] > 0 {
			spare = math.Min(spare, travel[i]-size)
		}
	}
	id := "program-" + p.Part
	says := fmt.Sprintf("%s: %d cuts, %.0f min, X %.1f to %.1f, Y %.1f to %.1f, %.2f mm deep, %.2f mm per pass",
		p.Path.File, len(p.Path.Cuts), math.Ceil(run.TimeS/60), run.Min.X, run.Max.X, run.Min.Y, run.Max.Y, run.DeepestMM(), run.PassMM)
	if math.IsInf(spare, 1) {
		b.judge(id, true, Fail, run.DeepestMM(), run.DeepestMM(), "mm", says, "", "machine.travel")
		return
	}
	b.atLeast(id, spare, 0, "mm", says+fmt.Sprintf("; the travel leaves %s", mm(spare)),
		"the way is longer than the machine's travel", "machine.travel")
}
