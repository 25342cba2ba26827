// Package touch plans which places of a seated board are touched, so that datum, locate or
// zero can be asked where it lies: by hand, or by a program for a touch probe. It also reads
// the plan back, and makes readings of what a controller's log says about it.
package touch

import (
	"fmt"
	"math"
	"slices"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/reading"
	"reseat/jig/setup"
	"reseat/jig/toolpath"
)

// Purpose is what the readings are for: the verb that takes them.
type Purpose string

// The purposes there are.
const (
	Datum  Purpose = "datum"
	Locate Purpose = "locate"
	Zero   Purpose = "zero"
)

// Distances of a touch, mm. Common practice, no source.
const (
	belowMM    = 0.5  // a side is touched at least so far below its upper edge, chamfers and bow apart
	pinBelowMM = 1.5  // a pin, below its head: its chamfer is up to that
	gapMM      = 0.5  // from the probe to whatever it must not touch
	floorMM    = 0.2  // from the ball to the floor of a bore
	bandMM     = 0.25 // least of a bore's wall that the ball's equator can meet
	deepMM     = 1.0  // and as deep as it goes where the bore is deeper
	roomMM     = 1.0  // from the ball to the rim all round, when it goes down into a bore
	beyondMM   = 2.0  // a probing move goes on so far where it should have met something
	aboveMM    = 3.0  // over whatever is met on the way down, where a move down becomes slow
)

// approaches are how far before the touch a probing move begins, the widest first.
var approaches = []float64{3, 2, 1.25}

// Spec is what a plan is made from.
type Spec struct {
	Job     *job.Job // as the board is now
	Seat    setup.Setup
	Up      setup.Face
	Board   geom.Rigid // board frame -> machine frame with that face up
	Bow     setup.Bow
	For     Purpose
	ProbeMM float64 // diameter of the probe's ball, or of an edge finder
	// ByProgram: touched by a program with a ball; otherwise by hand, with a cylinder at sides
	// and a pointed cutter over marks.
	ByProgram bool
	Without   []string // features that are not to be touched
}

// Touch is one place to be touched. Places are the probe's centre in the machine frame.
type Touch struct {
	Number  int      `json:"number"`
	What    string   `json:"on"`             // as datum, locate and zero read it: left, datum, a feature's name, rim, top
	Mark    string   `json:"mark,omitempty"` // the feature or pin whose rim is touched; "": no rim
	Station geom.Vec `axes:"u_mm,v_mm"`      // the place that is touched
	At      geom.Vec `axes:"x_mm,y_mm"`      // when it touches as drawn
	From    geom.Vec `axes:"from_x_mm,from_y_mm"`
	Dir     geom.Vec `axes:"toward_x,toward_y"` // of the probing move from there, unit; zero: from above
	// TipMM is the height of the probe's tip over Z0 when it touches, OverMM that of what it may
	// meet on its way down: the face, or stock that may still be over it.
	TipMM  float64 `json:"tip_z_mm"`
	OverMM float64
	Line   int // of the file that it was read from
}

// IsProbed reports whether a probe meets something; otherwise a pointed cutter is held over a mark.
func (t Touch) IsProbed() bool { return t.Dir != geom.Vec{} || t.What == reading.OnTop }

// Blocked is something that cannot be touched.
type Blocked struct {
	What string `json:"on"` // left, right, start, or a feature's name
	// By is what stands in the way: "template", "rail 1"; "": the board is not cut free there;
	// "corner": no straight stretch is long enough; "bore": none, or the probe does not go in;
	// "rim": another feature or the board's edge cuts it; "outline": nowhere is it straight for long enough.
	By string `json:"by"`
	// OverMM is how far that stands above the height that the probe's tip would need; 0: not
	// of that kind.
	OverMM float64 `json:"over_mm"`
}

// Plan is the touches in their order.
type Plan struct {
	For       Purpose    `json:"for"`
	Up        setup.Face `json:"side"`
	JobSHA256 string     `json:"job_sha256"`
	ProbeMM   float64    `json:"probe_mm"`
	ByProgram bool       `json:"by_program"`
	Rim       string     `json:"rim,omitempty"` // pin whose rim is touched, from outside; "": none
	Zero      string     `json:"z0"`            // the face that Z0 lies on
	// SafeMM is the height over Z0 that clears everything, StylusMM how far the tip goes below
	// the highest thing that stands in the set-up.
	SafeMM    float64   `json:"safe_z_mm"`
	StylusMM  float64   `json:"stylus_mm"`
	ReachPart float64   `json:"reach_part,omitempty"` // Datum: part of the board's length that the touches reach over
	Touches   []Touch   `json:"touches"`
	Blocked   []Blocked `json:"not_touched"`
}

// NewPlan plans the touches; there are none where nothing can be touched. The error is for a job
// without that set-up.
func NewPlan(s Spec) (Plan, error) {
	p := Plan{For: s.For, Up: s.Up, JobSHA256: s.Job.SHA256, ProbeMM: s.ProbeMM, ByProgram: s.ByProgram}
	if s.Seat.Zero == nil {
		return p, fmt.Errorf("the design has no set-up in which the board is seated; reseat check says why")
	}
	m := maker{Spec: s, plan: &p, z0: s.Seat.Zero.ZMM, obstacles: s.Seat.Obstacles()}
	p.Zero = s.Seat.Zero.Z
	if s.For == Zero { // the face is what is looked for
		m.z0, p.Zero = m.bedTop(), "the bed"
	}
	safe := s.Job.Cutting.SafeMM
	if safe == 0 {
		safe = 5 // as every program here; common practice, no source
	}
	p.SafeMM = s.Seat.TopMM() - m.z0 + safe
	switch s.For {
	case Datum:
		m.datum()
	case Locate:
		m.locate()
	case Zero:
		m.rim()
		m.tops()
	}
	for i, t := range p.Touches {
		p.Touches[i].Number = i + 1
		p.StylusMM = max(p.StylusMM, s.Seat.TopMM()-m.z0-t.TipMM)
	}
	return p, nil
}

// maker makes one plan.
type maker struct {
	Spec
	plan      *Plan
	z0        float64             // height of Z0 over the table
	obstacles []toolpath.Obstacle // of the set-up
}

func (m *maker) radius() float64 { return m.ProbeMM / 2 }

func (m *maker) bedTop() float64 {
	for _, l := range m.Seat.Stack {
		if l.Name == "bed" {
			return l.ToMM
		}
	}
	return 0
}

// faceMM is the height over Z0 of the face that is up, at a place of the board.
//
//	crown: the surface at v is lower by R - sqrt(R^2 - v^2)
func (m *maker) faceMM(at geom.Vec) float64 {
	fall := m.Bow.KeptMM(m.Up, at.X)
	if r := m.Job.Board.CrownRadiusMM; r > 0 && m.Up == setup.Top {
		fall += r - math.Sqrt(math.Max(0, float64(r*r)-float64(at.Y*at.Y)))
	}
	return m.Seat.Zero.ZMM - m.z0 - fall
}

// overMM is the height over Z0 of what may still be over a face: of a board in its blank, the
// blank's other stock.
func (m *maker) overMM(face float64) float64 {
	for _, l := range m.Seat.Stack {
		if l.Name == "blank" {
			face = math.Max(face, l.ToMM-m.z0)
		}
	}
	return face
}

// halfWidth is how far the board reaches from the datum line at station u, to both sides.
func (m *maker) halfWidth(u float64) float64 {
	b := m.Job.Board
	if b.Outline != nil {
		right, left := b.SidesMM(u)
		return math.Max(0, math.Min(-right, left))
	}
	return (b.WidthStartMM + float64((b.WidthEndMM-b.WidthStartMM)*u)/b.LengthMM) / 2
}

// side is a touch of a side of something, from outside: at is a place on it and out the way
// that it faces, both in the board frame, faceMM the height of its upper edge. ok is false
// where the probe has no way to it; by is what stands there.
func (m *maker) side(what string, at, out geom.Vec, faceMM float64) (t Touch, by Blocked, ok bool) {
	r := m.radius()
	tip := faceMM - 2*belowMM // of a cylinder
	if m.ByProgram {
		tip = faceMM - belowMM - r
	}
	centre := at.Add(out.Scale(r))
	t = Touch{What: what, Station: at, At: m.Board.Apply(centre), TipMM: tip, OverMM: m.overMM(faceMM)}
	t.Dir = m.Board.Apply(centre.Sub(out)).Sub(t.At)
	if tip+m.z0 < m.bedTop()+gapMM {
		return t, Blocked{what, "bed", m.bedTop() + gapMM - tip - m.z0}, false
	}
	for _, a := range approaches {
		t.From = t.At.Sub(t.Dir.Scale(a))
		by = m.firstObstacle(t)
		if by.By == "" {
			return t, by, true
		}
	}
	return t, by, false
}

// firstObstacle is the first thing that the probe would come near on its way to a touch, down at
// the start and in beside what it touches.
func (m *maker) firstObstacle(t Touch) Blocked {
	const step = 0.25 // far under gapMM
	reach := t.At.Dist(t.From)
	for _, o := range m.obstacles {
		over := o.TopZ + m.Seat.Zero.ZMM - m.z0 - (t.TipMM - gapMM)
		if over <= 0 {
			continue
		}
		for d := 0.0; d < reach+step; d += step {
			p := t.From.Add(t.Dir.Scale(math.Min(d, reach)))
			away := -o.Outline.Depth(p)
			for _, w := range o.Windows {
				away = math.Max(away, w.Depth(p))
			}
			if away < m.radius()+gapMM {
				return Blocked{t.What, o.ID, over}
			}
		}
	}
	return Blocked{}
}

// features are those of the face that is up.
func (m *maker) features() []job.Feature {
	return slices.DeleteFunc(m.Job.Board.AllFeatures(), func(f job.Feature) bool {
		return f.IsUnderside() != (m.Up == setup.Under)
	})
}

// mark is a feature as it is measured: its rim at four places, one move each way along both
// axes from its centre, or a pointed cutter over it. The middle of two opposite touches is
// the centre whatever way off the first guess was. Nil where it is not to be touched, or
// cannot be, which is noted.
func (m *maker) mark(what string, f job.Feature) (all []Touch) {
	if slices.Contains(m.Without, f.Name) {
		return nil
	}
	at := geom.Vec{X: f.UMM, Y: f.VMM}
	t := m.above(what, at)
	t.Mark = f.Name
	centre, face := t.At, t.TipMM
	if !m.ByProgram {
		return []Touch{t}
	}
	r := m.radius()
	room := f.BoreMM/2 - r
	// On a crown the face falls off to one side of the bore.
	fall := math.Abs(face - m.faceMM(geom.Vec{X: at.X, Y: math.Abs(at.Y) + f.BoreMM/2}))
	deep := math.Min(deepMM+fall, f.DepthMM-r-floorMM-fall)
	by := ""
	switch {
	case deep-fall < bandMM-1e-9 || room < roomMM-1e-9: // a hair: sums of decimals
		by = "bore"
	case !m.wholeRim(f):
		by = "rim"
	}
	if by != "" {
		m.plan.Blocked = append(m.plan.Blocked, Blocked{What: f.Name, By: by})
		return nil
	}
	t.TipMM = face - deep - r
	for _, d := range []geom.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}} {
		t.Dir, t.At = d, centre.Add(d.Scale(room))
		all = append(all, t)
	}
	return all
}

// wholeRim reports whether neither another feature nor the board's edge comes near a bore's rim.
func (m *maker) wholeRim(f job.Feature) bool {
	r, at := f.BoreMM/2+gapMM, geom.Vec{X: f.UMM, Y: f.VMM}
	for _, g := range m.features() {
		if d := at.Dist(geom.Vec{X: g.UMM, Y: g.VMM}); g.Name != f.Name && g.BoreMM > 0 && d < r+g.BoreMM/2 {
			return false
		}
	}
	if b := m.Job.Board; b.Outline != nil {
		return m.Job.Template.Seat == "pins" || b.Outline.Depth(at) >= r
	}
	return m.Job.Template.Seat == "pins" ||
		at.X >= r && at.X <= m.Job.Board.LengthMM-r && math.Abs(at.Y) <= m.halfWidth(at.X)-r
}

func (m *maker) add(t ...Touch) { m.plan.Touches = append(m.plan.Touches, t...) }

// leastMarks are enough for locate to tell that one of them is wrong.
const leastMarks = 3

// Answers reports whether the touches give an answer at all, and whether a sure one: for
// datum, over enough of the length to tell the board's bow; for locate, marks or edges of
// which a wrong one shows; for zero, the pin and the face.
func (p *Plan) Answers() (some, enough bool) {
	n := map[string]int{}
	low, high := math.Inf(1), math.Inf(-1)
	for i := 0; i < len(p.Touches); i++ {
		t := p.Touches[i]
		low, high = math.Min(low, t.Station.X), math.Max(high, t.Station.X)
		if t.Mark != "" {
			n["mark"]++
		}
		n[t.What]++
		i += max(p.Bore(i)-1, 0)
	}
	marks, long := n["mark"], n[reading.OnLeft]+n[reading.OnRight]
	switch p.For {
	case Datum:
		return high-low >= leastSpanMM, p.ReachPart >= enoughPart
	case Locate:
		return marks > 1 || long > 1 && marks+n[reading.OnStart] > 0, marks >= leastMarks || long > leastMarks
	}
	return len(p.Touches) > 0, p.Rim != "" && n[reading.OnTop] >= leastMarks
}
