// Package program plans the router's programs of a job: the pin holes of bed and blank,
// and the features bored again. It takes the cutter of each and judges it.
package program

import (
	"cmp"
	"errors"
	"fmt"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/setup"
	"reseat/jig/toolpath"
)

// Program is one file for the router: the moves, and the holes that they make.
type Program struct {
	Path    *toolpath.Program
	Dialect string // "plain" or "ngc"
	Part    string // "bed", "blank", "board"
	Holes   []Hole
	Tool    CutterChoice // of an end mill
	// ApartMM is how deep the tool would go if blank and bed, which it bores together, were
	// bored apart; 0: they are not bored together.
	ApartMM float64
}

// Hole is a round hole that a program makes, in the machine frame.
type Hole struct {
	ID         string   `json:"id"`
	At         geom.Vec `axes:"x_mm,y_mm"`
	DiameterMM float64  `json:"diameter_mm"`
	DepthMM    float64  `json:"depth_mm"`               // below the stock's top; on a board below Z0
	FallMM     float64  `json:"bow_lower_mm,omitempty"` // of that, what a bowed board's face lies lower there
}

// Runs are the programs as the set-ups that run them see them.
func Runs(all []Program) (out []setup.Run) {
	for _, q := range all {
		run := setup.Run{File: q.Path.File, Tool: q.Path.Name, CutterMM: q.Path.DiameterMM,
			DeepestMM: q.Path.Run.DeepestMM()}
		for _, h := range q.Holes {
			run.Holes = append(run.Holes, setup.Bore{Name: h.ID, BoreMM: h.DiameterMM, FallMM: h.FallMM})
		}
		out = append(out, run)
	}
	return out
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

// BoredPart is a part with the pin holes that the router itself makes.
type BoredPart struct {
	File           string
	Part, Material string // "bed"
	ThicknessMM    float64
	Drilled        bool
	Tool           CutterChoice // an end mill
	OverMM         float64      // how far the highest thing of the set-up stands over Z0
	Pressed        bool         // the pins are driven in
	Holes          []PinHole
	Blank          *BoredPart // that lies on it and is bored with it, in one clamping; nil: none
}

// up is which face of a stock lies up and how, as its operator sees it; "" for a bed, whose
// faces are alike.
func (s BoredPart) up(j *job.Job) string {
	start := ", START near you"
	if j.Machine.LongAxis == "x" {
		start = ", START to the left"
	}
	switch {
	case s.Part != "blank":
		return ""
	case j.Template.Seat == "nest":
		return ", its glue land up" + start
	}
	return ", top up" + start
}

// smallest is the hole that a cutter fits most tightly, and how deep the deepest is.
func (s BoredPart) smallest() (least Hole, deepest float64) {
	for i, h := range s.Holes {
		if i == 0 || h.DiameterMM < least.DiameterMM {
			least = Hole{ID: h.ID, At: h.At, DiameterMM: h.DiameterMM}
		}
		deepest = max(deepest, s.depth(h))
	}
	if s.Blank != nil { // its holes are the wider ones
		deepest += s.Blank.ThicknessMM
	}
	return least, deepest
}

// depth is how deep a hole is bored, flat floor or full diameter.
func (s BoredPart) depth(h PinHole) float64 { return cmp.Or(h.DepthMM, s.ThicknessMM+breakThroughMM) }

// With is the stock with the cutter of its program: c, when the job names it for the part,
// or else the best that there is.
func (s BoredPart) With(j *job.Job, c job.Cutter, named bool) BoredPart {
	least, deepest := s.smallest()
	s.Tool = ChooseCutter(j, c, named, s.Part+".make.cutter", least.DiameterMM, deepest)
	return s
}

// PinHole is one pin hole in the machine frame, as it is drawn; DepthMM 0 goes through.
type PinHole struct {
	ID                 string
	At                 geom.Vec
	DiameterMM, SlotMM float64
	LeastMM            float64 // that it is finished to: least diameter, or width of a slot
	AngleRad           float64 // of a slot
	DepthMM, PointMM   float64 // PointMM: a drill's point below that
}

// Bores plans the pin holes of a part. The error says what the tool cannot make, once for
// all pins that it concerns.
func Bores(j *job.Job, p BoredPart) (Program, error) {
	if p.Blank != nil {
		return together(j, *p.Blank, p)
	}
	r, drilling := millOf(j, p.Tool.Cutter), ""
	if p.Drilled {
		r, drilling = drillOf(j, p.Holes[0].DiameterMM, p.Material)
		p.Tool = CutterChoice{Why: drilling}
	}
	r.SafeMM += p.OverMM
	through := false
	var cuts []*toolpath.Cut
	var round []Hole
	var wrong faultsByID
	for _, h := range p.Holes {
		depth := p.depth(h)
		through = through || depth+h.PointMM >= p.ThicknessMM
		hole := toolpath.Hole{ID: h.ID, At: h.At, DiameterMM: h.DiameterMM, DepthMM: depth}
		var c *toolpath.Cut
		var err error
		switch {
		case p.Drilled:
			c, err = r.Drill(hole)
			round = append(round, Hole{ID: h.ID, At: h.At, DiameterMM: h.DiameterMM, DepthMM: depth})
		case h.SlotMM > 0:
			c, err = r.Slot(toolpath.Slot{
				ID: h.ID, At: h.At, WidthMM: h.DiameterMM, DepthMM: depth, AngleRad: h.AngleRad, TravelMM: h.SlotMM,
			})
		default:
			c, err = r.Bore(hole)
			round = append(round, Hole{ID: h.ID, At: h.At, DiameterMM: h.DiameterMM, DepthMM: depth})
		}
		wrong.add(h.ID, err)
		cuts = append(cuts, c)
	}
	if err := wrong.err(); err != nil {
		return Program{}, err
	}
	says := append([]string(nil), cautions...)
	says = append(says,
		fmt.Sprintf("Stock: %s, %s, %.4g mm thick%s.", p.Part, p.Material, p.ThicknessMM, p.up(j)),
		fmt.Sprintf("Zero: X0 Y0 where the datum line starts, Z0 on top of the %s.", p.Part),
	)
	if p.Drilled {
		says = append(says, drilling)
	}
	if through {
		says = append(says, fmt.Sprintf("The tool comes out below: lay scrap under the %s.", p.Part))
	}
	if p.Pressed {
		says = append(says, "The pins are driven into these holes; try one in scrap first.")
	}
	path, err := r.Program(toolpath.Head{File: p.File, Title: j.Title, Says: says}, cuts)
	cautionTool(path, err)
	return Program{Path: path, Dialect: j.Cutting.Dialect, Part: p.Part, Holes: round, Tool: p.Tool}, err
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
