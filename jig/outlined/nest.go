// Package outlined seats a board of any outline in its window: what holds it, where a push
// brings it, and whether the push is a sure one.
package outlined

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/plate"
	"reseat/jig/seat"
	"reseat/jig/units"
)

// Nest is a board of any outline in its window.
type Nest struct {
	seat.Contour
	plate.Opened             // the window, so that the board lies right when it is pushed home
	Home         seat.Home   // where the push brings it; zero without one
	Fault        error       // why nothing holds the board
	holds        []seat.Stop // what keeps a free board in
	// Landed is the window of the plate from sheet that the board is glued in; nil: another, or none.
	Landed *plate.LandedWindow
}

// NestOf returns the nest of a job; nil for a straight-sided board and one on pins. A cutter
// of radius rc cuts the window, 0: none does. The error is of an outline that no window can
// be cut for.
func NestOf(j *job.Job, rc float64) (*Nest, error) {
	t := j.Template
	if j.Board.Outline == nil || t.Seat != "nest" {
		return nil, nil
	}
	w, ok := plate.WindowOf(j.Board.Outline, plate.Cut{
		ClearanceMM: t.ClearanceMM, RadiusMM: rc, KerfMM: t.Make.KerfMM,
		WebMM: plate.LeastWebMM(t.Material, t.Make.By, t.ThicknessMM, t.Make.NozzleMM, j.Dowel.DiameterMM),
	})
	if !ok {
		says := "its edges lie too near each other for a window: it closes on itself"
		if rc > 0 {
			says += fmt.Sprintf(", or a cutter of %s mm does not go round in it", units.Decimal(2*rc, 3))
		}
		return nil, errors.New(says)
	}
	n := &Nest{Opened: w}
	var err error
	if n.Landed, err = landedOf(j); err != nil {
		return nil, err
	}
	n.Outline, n.Gaps = standing(j.Board.Outline, w, t.ClearanceMM)
	if side, pushed := map[string]float64{"left": 1, "right": -1}[t.Push]; pushed {
		n.Push, n.Home, n.Fault = n.Contour.Toward(side)
	} else {
		n.holds, n.Fault = n.Holds()
	}
	if n.Fault == nil && n.Push != (geom.Vec{}) && n.Home.Stops == nil {
		n.Fault = fmt.Errorf("pushed that way the board slides or turns on along its window, without three places to stop at")
	}
	if n.Home.Stops != nil {
		r := n.Home.Rest
		back := geom.Rigid{Angle: r.Theta, Shift: geom.Vec{X: r.DU, Y: r.DV}}.Inverse()
		n.Walls, n.Wanted, n.Window = back.Loop(n.Walls), back.Loop(n.Wanted), back.Loop(n.Window)
		for i, at := range n.Reliefs {
			n.Reliefs[i] = back.Apply(at)
		}
	}
	return n, nil
}

// Free is the seat of the board when it is not held to its stops.
func (n *Nest) Free() (seat.Seat, error) {
	c := n.Contour
	c.Push = geom.Vec{}
	return c.Seat()
}

// Against are the places that a pushed board lies against, and those that keep a free one in its
// window; none of another.
func (n *Nest) Against() []seat.Stop {
	switch {
	case n == nil:
		return nil
	case n.Push == geom.Vec{}:
		return n.holds
	}
	return n.Home.Stops
}

// stopHalfMM is half the length in which a stop is drawn.
const stopHalfMM = 4.0

// Stop is a place of the window that the pushed board lies against, drawn as a short line.
type Stop struct{ A, B geom.Vec }

// Stops are the places that a pushed board lies against.
func (n *Nest) Stops() (out []Stop) {
	for _, s := range n.Home.Stops {
		along := s.Normal.Left().Scale(stopHalfMM)
		out = append(out, Stop{s.At.Sub(along), s.At.Add(along)})
	}
	return out
}

// LeastTurn is how far a push by hand may be out of its direction, either way, before the board
// leaves its stops: a hand is out by that much. Common practice, no source.
const LeastTurn = 10 * math.Pi / 180

// PushDeg is the direction of the push, in degrees off the datum line, towards the start end.
func (n *Nest) PushDeg() float64 { return degrees(math.Atan2(math.Abs(n.Push.Y), -n.Push.X)) }

// Sticks reports whether friction may hold the board short of its place with the push as wrong
// as a hand's may be.
func (n *Nest) Sticks() bool { return n.Home.FrictionDirection < LeastTurn }

// Says tells where a pushed board touches, and how sure its place is.
func (n *Nest) Says() string {
	says := fmt.Sprintf("pushed home, %.0f degrees off the datum line, the board touches at %s; it stays there as long "+
		"as the push is out of its direction by no more than %.0f degrees, or aside by %.0f mm", n.PushDeg(),
		places(n.Home.Stops), math.Floor(degrees(n.Home.Direction)), math.Floor(n.Home.AsideMM))
	if n.Sticks() {
		says += "; friction may hold it before, so that it is tapped round as it is pushed"
	}
	return says
}

// Surer tells what makes the push a surer one: three places that stay, the walls set back elsewhere.
func (n *Nest) Surer(features []geom.Vec) string {
	says := "push it the other way (template.push), or not at all and a smaller template.clearance"
	c, ok, err := n.Choose(features, LeastTurn)
	if err != nil || !ok {
		return says
	}
	return says + fmt.Sprintf("; or file the window's walls back by a few tenths but for %.0f mm at %s, which hold the board "+
		"with the push out by %.0f degrees", 2*stopHalfMM, places(c.Stops), math.Floor(degrees(c.Direction)))
}

func places(stops []seat.Stop) string {
	var at []string
	for _, s := range stops {
		at = append(at, fmt.Sprintf("u %.1f v %.1f", s.At.X, s.At.Y))
	}
	return strings.Join(at, ", ")
}

func degrees(rad float64) float64 { return rad * 180 / math.Pi }
