package gcode

import (
	"bytes"
	"math"

	"reseat/jig/geom"
	"reseat/jig/toolpath"
)

// Room for rounding when the file is compared with the program, in steps of the
// grid; the excess over whole halves is for the float64 arithmetic itself.
const (
	halfStep   = 0.501                          // one rounded coordinate
	centerStep = (searchSteps + 0.501) * 1.4143 // a centre as it was looked for
	sweepStep  = 2 * (centerStep + 1)           // way along an arc: both ends, seen from a moved centre
	feedStep   = 0.501                          // mm/min, one rounded feed
)

// readBack reads the text again and compares every move with the program.
func (t *text) readBack(p *toolpath.Program) {
	q, o, err := Read(bytes.NewReader(t.Bytes()))
	if err != nil {
		t.fault(-1, "does not read back: %v", err)
		return
	}
	if o != t.o {
		t.fault(-1, "reads back with options %+v instead of %+v", o, t.o)
	}
	tol := halfStep * t.g.unit()
	if !near(q.SafeZ, p.SafeZ, tol) || !near(q.Park.X, p.Park.X, tol) || !near(q.Park.Y, p.Park.Y, tol) || !near(q.SpindleRPM, p.SpindleRPM, halfStep) {
		t.fault(-1, "reads back with another safe height, parking place or spindle speed")
	}
	if len(q.Moves) != len(t.kept) {
		t.fault(-1, "reads back as %d moves instead of %d", len(q.Moves), len(t.kept))
		return
	}
	at := q.Start()
	for i, k := range t.kept {
		m := p.Moves[k.move]
		if !t.same(k.from, m, at, q.Moves[i]) {
			t.fault(k.move, "reads back as %+v instead of %+v", q.Moves[i], m)
		}
		at = q.Moves[i].To
	}
}

// same reports whether a move that was read is the one that was meant.
func (t *text) same(from toolpath.Point, want toolpath.Move, at toolpath.Point, got toolpath.Move) bool {
	u := t.g.unit()
	tol := halfStep * u
	if got.Kind != want.Kind || !near(got.To.X, want.To.X, tol) || !near(got.To.Y, want.To.Y, tol) || !near(got.To.Z, want.To.Z, tol) {
		return false
	}
	if want.Kind == toolpath.Rapid {
		return true
	}
	if !near(got.FeedMMmin, want.FeedMMmin, feedStep) {
		return false
	}
	if !want.Kind.IsArc() {
		return true
	}
	r := from.XY().Dist(want.Center)
	return got.Center.Dist(want.Center) <= centerStep*u &&
		sameWay(from.XY(), want, at.XY(), got, r, sweepStep*u)
}

// sameWay compares how far two arcs turn, as a length at radius r.
func sameWay(from geom.Vec, want toolpath.Move, at geom.Vec, got toolpath.Move, r, tol float64) bool {
	a := want.Sweep(toolpath.Point{X: from.X, Y: from.Y})
	b := got.Sweep(toolpath.Point{X: at.X, Y: at.Y})
	return near(a*r, b*r, tol)
}

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol }
