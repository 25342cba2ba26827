package jig

import (
	"errors"
	"fmt"
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

// unwritten is a program that there is not, and why.
type unwritten struct {
	file, part string
	fault      error
}

// bores plans the pin holes of bed and blank, where the router itself makes them.
func (p plan) bores() (out []Program, not []unwritten) {
	for _, c := range []struct {
		file string
		part part
		of   func(Pin) Hole
	}{
		{"bores.nc", p.bed, func(q Pin) Hole { return q.Bed }},
		{"bores-blank.nc", p.blank, func(q Pin) Hole { return *q.Blank }},
	} {
		by := c.part.make.By
		if len(p.pins) == 0 || by != "router" && by != "drill" {
			continue
		}
		prog, err := pinBores(p.job, c.file, c.part, p.pins, c.of)
		if err != nil {
			not = append(not, unwritten{c.file, c.part.name, err})
			continue
		}
		out = append(out, prog)
	}
	return out, not
}

// pinBores plans one part's pin holes. The error says what the tool cannot make, once for
// all pins that it goes for.
func pinBores(j *job.Job, file string, p part, pins []Pin, of func(Pin) Hole) (Program, error) {
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
		depth := h.DepthMM
		if depth == 0 {
			depth = p.thicknessMM + breakThroughMM
		}
		through = through || depth+h.PointMM >= p.thicknessMM
		hole := toolpath.Hole{ID: q.ID, At: q.Machine, DiameterMM: h.DrawnMM, DepthMM: depth}
		var c *toolpath.Cut
		var err error
		switch {
		case drilled:
			c, err = r.Drill(hole)
		case h.SlotMM > 0:
			c, err = r.Slot(toolpath.Slot{
				ID: q.ID, At: q.Machine, WidthMM: h.DrawnMM, DepthMM: depth,
				AngleRad: h.SlotAngle + FrameOf(j).ToMachine.Angle, TravelMM: h.SlotMM,
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
		fmt.Sprintf("Stock: %s, %s, %.4g mm thick.", p.name, p.material, p.thicknessMM),
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

// faultsByID gathers faults and reports each once, with all that it concerns.
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

// err is all causes in one line, each with the ids that it concerns; nil without any.
func (f *faultsByID) err() error {
	var all []string
	for _, s := range f.says {
		all = append(all, strings.Join(f.ids[s], ", ")+": "+s)
	}
	if all == nil {
		return nil
	}
	return errors.New(strings.Join(all, "; "))
}

// byCause gathers a fault that has one line "name: cause" for each feature.
func byCause(err error) error {
	var f faultsByID
	for _, line := range strings.Split(err.Error(), "\n") {
		name, cause, ok := strings.Cut(line, ": ")
		if !ok {
			return err
		}
		f.add(name, errors.New(cause))
	}
	return f.err()
}
