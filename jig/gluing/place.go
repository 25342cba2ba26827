package gluing

import (
	"math"

	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/motion"
	"reseat/jig/seat"
)

// Hold is what holds the board sideways until the glue grips.
type Hold string

// The ways. A board that is held lies against its side rail and the start stop; with a film between
// them the rails are drawn so that it then lies in its place.
const (
	Free   Hold = "free"   // between two rails, moved by what the closing does
	Wedged Hold = "wedged" // by wedges that hold by friction, however much bears on them
	Sprung Hold = "sprung" // by a finger, which gives way to more than its own force
)

// PlacedBoard is a board between its rails, on a plate that stands on pins in the blank.
type PlacedBoard struct {
	LengthMM, WidthStartMM, WidthEndMM float64
	// Contour is a board of any outline between its lands, MiddleMM the v of the middle of its bounds;
	// nil: straight sides.
	Contour  *seat.Contour
	MiddleMM float64

	StripMM float64 // of the neck beside the board, per side
	// RoomMM is what is left between board and rails with the film in: left, right, start, far end.
	RoomMM [4]float64
	Hold   Hold
	Film   geom.Vec // by how much a film holds the board off walls that are drawn for it without one
	Side   string   // "left" or "right": the rail that a held board lies against

	SideN, SpringN float64 // side load of the closing force; what a finger presses with
	DeflectionMM   float64 // rail deflection under it
	GrowsMM        float64 // of the width, by the glue's water

	Pins         motion.Pins // places of the plate's pins, round and slot first
	OnPins       budget.Play // of the plate's holes on them
	OnPinsScale  budget.ClearanceShare
	PlateHoleMM  float64 // place of a hole in the plate, 95 %
	BlankHoleMM  float64 // the same of the blank's
	LeanRad      float64 // of a pin, per axis, 95 %
	LeanHeightMM float64 // of the plate's middle above where the pins are held
	WallMM       float64 // of a rail's face, at either end, 95 %: kerf spread and straightness
	WidthErrorMM float64 // of the board as measured, 95 %

	Features []budget.Feature
	Trials   int // of the simulation; 0: those of package budget
	Seed     uint64
}

// Edge is how much of the neck stands out beside the board at one place of its edge.
type Edge struct {
	Name      string  `json:"edge"`
	StationMM float64 `json:"u_mm"`
	LowMM     float64 `json:"low_mm"` // in 95 % of gluings, to HighMM
	HighMM    float64 `json:"high_mm"`
	LeastMM   float64 `json:"least_mm"` // at worst, to MostMM
	MostMM    float64 `json:"most_mm"`
}

func (p PlacedBoard) board() (motion.Board, error) {
	b := motion.Board{
		LengthMM: p.LengthMM, WidthStartMM: p.WidthStartMM, WidthEndMM: p.WidthEndMM, Push: "none", MiddleMM: p.MiddleMM,
	}
	if p.Hold != Free {
		b.Push = p.Side
	}
	var err error
	if p.Contour != nil {
		b.Stops, err = p.Contour.Holds()
	}
	return b, err
}

// touch is a place of the board that lies on a rail when it skates, with the normal out of it.
type touch struct {
	at, normal geom.Vec
	room       float64
}

// touches are those on one side, left or right.
func (p PlacedBoard) touches(left bool) (out []touch) {
	if p.Contour == nil {
		c, n, room := p.corners(), p.normal(left), p.RoomMM[1]
		ends := []geom.Vec{c[0], c[1]}
		if left {
			ends, room = c[2:], p.RoomMM[0]
		}
		for _, e := range ends {
			out = append(out, touch{e, n, room})
		}
		return out
	}
	for i := range p.Contour.Outline {
		gap, e := p.Contour.Gaps[i], p.Contour.Outline.Edge(i)
		start, end := e.Tangents()
		for _, k := range []struct{ at, along geom.Vec }{{e.P, start}, {e.At(0.5), e.Q.Sub(e.P).Unit()}, {e.Q, end}} {
			n := k.along.Left().Scale(-1)
			if !math.IsInf(gap, 1) && math.Abs(n.Y) > leastAcross && (n.Y > 0) == left {
				out = append(out, touch{k.at, n, gap})
			}
		}
	}
	return out
}

// leastAcross is the part across of the normal of a wall that stops what slides across: less, and
// it is an end. Rounding.
const leastAcross = 1e-6

// corners are the board's, counter-clockwise from the start end's right one.
func (p PlacedBoard) corners() []geom.Vec {
	a, b := p.WidthStartMM/2, p.WidthEndMM/2
	return []geom.Vec{{Y: -a}, {X: p.LengthMM, Y: -b}, {X: p.LengthMM, Y: b}, {Y: a}}
}

// normal is the unit vector out of the board's left side, or of its right one.
func (p PlacedBoard) normal(left bool) geom.Vec {
	c := p.corners()
	if left {
		return c[3].Sub(c[2]).Unit().Left().Scale(-1)
	}
	return c[1].Sub(c[0]).Unit().Left().Scale(-1)
}

// between is the board in what its rails and stops leave.
func (p PlacedBoard) between() (seat.Seat, error) {
	if p.Contour != nil {
		return p.Contour.Seat()
	}
	c := p.corners()
	// Each wall out by its room, met with the next: left, right, start, far.
	line := func(at, out geom.Vec, room float64) (geom.Vec, geom.Vec) { return at.Add(out.Scale(room)), out.Left() }
	meet := func(a, d, b, e geom.Vec) geom.Vec { return a.Add(d.Scale(b.Sub(a).Cross(e) / d.Cross(e))) }
	la, ld := line(c[3], p.normal(true), p.RoomMM[0])
	ra, rd := line(c[0], p.normal(false), p.RoomMM[1])
	sa, sd := line(c[0], geom.Vec{X: -1}, p.RoomMM[2])
	fa, fd := line(c[1], geom.Vec{X: 1}, p.RoomMM[3])
	n := seat.Nest{Board: c, Window: []geom.Vec{
		meet(ra, rd, sa, sd), meet(ra, rd, fa, fd), meet(la, ld, fa, fd), meet(la, ld, sa, sd),
	}}
	if p.Hold != Free {
		n.Push = []seat.Wall{n.WallToward(p.normal(p.Side == "left")), n.WallToward(geom.Vec{X: -1})}
	}
	return n.Seat()
}

// skated is a free board that slides across, wherever it lay and however it was turned, until it
// touches the rail to one side or the other: wet glue holds nothing, and no closing force is square.
type skated struct {
	seat.Seat
	left, right []touch
}

// Place draws the side by the first number, which it stretches for the pose.
func (s skated) Place(u [3]float64) seat.Pose {
	left := u[0] < 0.5
	if u[0] *= 2; !left {
		u[0]--
	}
	q, side, on := s.Seat.Place(u), -1.0, s.right
	if left {
		side, on = 1, s.left
	}
	shift := math.Inf(1)
	for _, k := range on {
		shift = min(shift, (k.room-k.normal.Dot(q.Motion(k.at)))/math.Abs(k.normal.Y))
	}
	if !math.IsInf(shift, 1) { // nothing is to that side
		q.DV += float64(side * max(0, shift))
	}
	return q
}

// Sources lists what moves the board on the neck, in the order in which it is reported.
func (p PlacedBoard) Sources() ([]budget.Source, error) {
	between, err := p.between()
	if err != nil {
		return nil, err
	}
	b, err := p.board()
	if err != nil {
		return nil, err
	}
	across := geom.Vec{Y: 1}
	var play budget.Play = between
	if p.Hold == Free {
		play = skated{between, p.touches(true), p.touches(false)}
	}
	out := []budget.Source{{
		Name: "rail clearance", Play: play, Key: "rails.gap",
		Remedy: "Wedge the board against one rail and the start stop, or leave less gap beside the film.",
	}}
	if away := p.SideN - p.SpringN; p.Hold == Sprung && away > 0 {
		side, room := 1.0, p.RoomMM[0]
		if p.Side == "left" {
			side, room = -1, p.RoomMM[1]
		}
		out = append(out, budget.Source{
			Name: "skating off the spring", Remedy: "Wedges instead of the finger: they do not give way.",
			Vars: []budget.Var{
				{Field: budget.Shift(across.Scale(side)), Half: room / 2, Law: budget.Fixed},
				{Field: budget.Shift(across), Half: room / 2, Law: budget.Uniform},
			},
		})
	}
	if p.Film != (geom.Vec{}) {
		out = append(out, budget.Source{
			Name: "film at the stops", Key: "rails.film", Vars: []budget.Var{{Field: budget.Shift(p.Film), Half: 1,
				Law: budget.Fixed}},
			Remedy: "Wax in place of film (rails.film: 0), or a plate of its own (rails.plate: sheet): its stops stand back by the film.",
		})
	}
	growth := p.GrowsMM / max(p.WidthStartMM, p.WidthEndMM) / 2
	out = append(out, budget.Source{
		Name: "rail deflection", Vars: []budget.Var{{Field: budget.Shift(across), Half: p.DeflectionMM, Law: budget.Uniform}},
		Remedy: "Close from the middle outwards, clamps square to the joint and tightened in turn; a wider rail, more pins.",
	}, budget.Source{
		Name: "rail's face", Vars: b.Walls(p.WallMM), Key: "template.make.spread",
		Remedy: "File the rails true to a straightedge, or measure what the cut really does.",
	})
	if p.Hold != Free {
		out = append(out, budget.Source{
			Name: "measured width of the board", Vars: b.Sides(p.WidthErrorMM / 2), Key: "board.width_error",
			Remedy: "Measure the board's width at both ends with a micrometer.",
		})
	}
	out = append(out, budget.Source{
		Name: "pin clearance", Play: p.OnPins, PlayScale: p.OnPinsScale, Key: "template.make.spread", Remedy: "Closer holes in the plate: ream them.",
	}, budget.Source{
		Name: "hole position, plate", Vars: p.Pins.HoleErrors(p.PlateHoleMM), Key: "template.make.position",
		Remedy: "Cut the plate on the machine that bores the blank.",
	}, budget.Source{
		Name: "hole position, blank", Vars: p.Pins.PinErrors(p.BlankHoleMM), Key: "machine.position",
		Remedy: "Bore the blank's holes in one sitting with the neck's own outline.",
	}, budget.Source{
		Name: "pin lean", Vars: p.Pins.PinErrors(p.LeanRad * p.LeanHeightMM), Key: "dowel.lean_deg",
		Remedy: "Stand the pins square: bore their holes deeper.",
	}, budget.Source{
		// From nothing to all of it, as the water comes and goes while the glue sets.
		Name: "swelling by the glue's water", Vars: []budget.Var{
			{Field: budget.Strain(0, growth, b.Held()), Half: 1, Law: budget.Fixed},
			{Field: budget.Strain(0, growth, b.Held()), Half: 1, Law: budget.Uniform},
		}, Remedy: "Less glue, and none on the board: spread it on the neck.",
	})
	return out, nil
}

// Budget returns the error of the board's place on the neck at every feature, and how much of the
// neck stands out beside the edges at both ends and midway.
func (p PlacedBoard) Budget() (budget.Budget, []Edge, error) {
	sources, err := p.Sources()
	if err != nil {
		return budget.Budget{}, nil, err
	}
	features := append([]budget.Feature{}, p.Features...)
	edges, at := p.edges()
	for i, e := range edges {
		features = append(features, budget.Feature{Name: e.Name, At: at[i]})
	}
	all, err := budget.Compute(budget.Spec{Sources: sources, Features: features, Trials: p.Trials, Seed: p.Seed})
	if err != nil {
		return budget.Budget{}, nil, err
	}
	n := len(p.Features)
	for i := range edges {
		f := all.Features[n+i]
		edges[i].LowMM, edges[i].HighMM = p.StripMM-f.P95AcrossMM, p.StripMM+f.P95AcrossMM
		edges[i].LeastMM, edges[i].MostMM = p.StripMM-f.AcrossWorstMM, p.StripMM+f.AcrossWorstMM
	}
	all.Features = all.Features[:n]
	return all, edges, nil
}

// edges are the places of the board's edge that are reported, at both ends and midway, or of any
// outline where it reaches farthest to either side.
func (p PlacedBoard) edges() (out []Edge, at []geom.Vec) {
	add := func(name string, u, v float64) {
		out, at = append(out, Edge{Name: name, StationMM: u}), append(at, geom.Vec{X: u, Y: v})
	}
	if p.Contour != nil {
		all := p.Contour.Outline.Flatten(edgeTolMM)
		far := [2]geom.Vec{all[0], all[0]} // right, left
		for _, q := range all {
			for k, side := range []float64{-1, 1} {
				if side*q.Y > side*far[k].Y {
					far[k] = q
				}
			}
		}
		add("farthest left", far[1].X, far[1].Y)
		add("farthest right", far[0].X, far[0].Y)
		return out, at
	}
	for i, name := range []string{"start end", "middle", "far end"} {
		u := p.LengthMM * float64(i) / 2
		half := (p.WidthStartMM + (p.WidthEndMM-p.WidthStartMM)*float64(i)/2) / 2
		add(name+", left", u, half)
		add(name+", right", u, -half)
	}
	return out, at
}

// edgeTolMM is how closely an outline is followed for its farthest places.
const edgeTolMM = 0.05
