package foolproof

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"reseat/jig/geom"
	"reseat/jig/minimax"
	"reseat/jig/units"
)

// WrongWay is a wrong way to lay a board into its window: turned by Angle (0 to 2 pi,
// in whole degrees, counter-clockwise seen from above), after it was turned over about the
// datum line where Over is set. LackMM is in whole hundredths.
type WrongWay struct {
	Angle  float64 `json:"angle_deg"`
	Over   bool    `json:"over"`
	LackMM float64 `json:"lack_mm"` // as Lack's
}

// Misplacement is the wrong way that w is one of. A half turn stands here for every angle but the
// right one.
func (w WrongWay) Misplacement() Misplacement {
	switch {
	case !w.Over:
		return HalfTurn
	case math.Cos(w.Angle) >= 0:
		return FlipLong
	}
	return FlipShort
}

// WaysIn finds the wrong ways in which a board of any outline, simple and counter-clockwise,
// comes nearest to going into a window, each the best of all placements near it, those that
// lack least first; MostLackMM and more are left out. Lack is how far every wall of the window
// must stand farther out, over all shifts and angles, asked of points of the board's contour
// no more than a millimetre or a 600th of it apart.
//
// Angles are scanned with the middles on each other; from each angle that is better than its
// neighbours the placement is improved step by step: how far every point stands out is
// linear for small moves, and the move that makes the largest least is that of a linear
// programme of four variables (sequential linear programming with a trust region). That is
// done with few points first, and with all where these leave doubt: in ways that let the
// board in, but for DoubtMM, and in the best of each turn.
func WaysIn(window, board geom.Loop) (out []WrongWay) {
	var least [FlipShort + 1]float64
	for i := range least {
		least[i] = MostLackMM
	}
	for _, over := range []bool{false, true} {
		f := newBoardInWindow(window, board, over)
		// news reports whether a pose is near to none of others, nor to the right one.
		news := func(p pose, others []found) bool {
			same := func(o found) bool { return math.Abs(math.Remainder(o.angle-p.angle, 2*math.Pi)) < rightRad }
			return (over || !same(found{})) && !slices.ContainsFunc(others, same)
		}
		var first, last []found
		for _, k := range lowest(f.scan(window)) {
			at := pose{angle: 2 * math.Pi * float64(k) / scanAngles}
			if at, lack := f.improve(f.few, at, f.span/20, roughReachMM); news(at, first) {
				first = append(first, found{at, lack})
			}
		}
		slices.SortStableFunc(first, func(a, b found) int { return alike(a.lack, b.lack) })
		for _, r := range first {
			t := f.way(r).Misplacement()
			if r.lack > math.Max(DoubtMM, least[t]) || r.lack >= MostLackMM {
				continue
			}
			at, lack := f.improve(f.points, r.pose, 8*roughReachMM, leastReachMM)
			if lack < MostLackMM && news(at, last) {
				last = append(last, found{at, lack})
				least[t] = math.Min(least[t], lack)
			}
		}
		for _, r := range last {
			out = append(out, f.way(r))
		}
	}
	slices.SortStableFunc(out, func(a, b WrongWay) int {
		return cmp.Or(cmp.Compare(a.LackMM, b.LackMM), cmp.Compare(a.order(), b.order()))
	})
	return out
}

// order is turned before turned over, each by its angle.
func (w WrongWay) order() float64 {
	if w.Over {
		return w.Angle + 2*math.Pi
	}
	return w.Angle
}

// alike compares lengths in micrometres, so that the order of those that a symmetry makes equal
// does not hang on last digits.
func alike(a, b float64) int { return cmp.Compare(math.Round(a*1e3), math.Round(b*1e3)) }

// found is a pose, and what the board lacks there.
type found struct {
	pose
	lack float64
}

// way is a pose as it is told.
func (f *boardInWindow) way(r found) WrongWay {
	deg := math.Mod(math.Round(r.angle*180/math.Pi)+720, 360)
	return WrongWay{deg * math.Pi / 180, f.over, units.Round(r.lack, 2)}
}

const (
	// MostLackMM: a board that lacks as much does not go in by any error. Common practice, no
	// source.
	MostLackMM = 1.0
	// DoubtMM is what a board may lack by few points and be looked at with all: over what gives
	// way to a firm push. Practice.
	DoubtMM = 0.5
	// scanAngles are the angles that are looked at first.
	scanAngles = 120
	// fewPoints of the board's contour are asked there.
	fewPoints = 40
	// mostLows is how many of the best angles are looked into.
	mostLows = 12
	// rightRad is how near two angles must be to be one way, the right one too: a board that
	// stands askew by more does not pass for one that lies right. Common practice, no source.
	rightRad = 3 * math.Pi / 180
)

// pose is where a board lies: turned about its middle, the middle shifted off the window's.
type pose struct {
	angle float64
	shift geom.Vec
}

// boardInWindow is a window and the points of a board about its middle.
type boardInWindow struct {
	over     bool
	walls    []near
	prepared *geom.Prepared
	middle   geom.Vec // of the window
	points   []geom.Vec
	few      []geom.Vec // of them
	span     float64    // of the farthest point
}

// near is a wall of the window, and a disc that holds it.
type near struct {
	geom.ArcEdge
	middle geom.Vec
	radius float64
}

// newBoardInWindow puts points on the board's contour.
func newBoardInWindow(window, board geom.Loop, over bool) boardInWindow {
	f := boardInWindow{over: over, prepared: geom.Prepare(window), middle: centroid(window)}
	for i := range window {
		box := geom.Loop{window[i], {Vec: window.Edge(i).Q}}.Bounds()
		f.walls = append(f.walls, near{window.Edge(i).WithArc(), box.Center(), box.Size().Norm() / 2})
	}
	middle := centroid(board)
	if over {
		board, middle.Y = geom.Rigid{Mirror: true}.Loop(board), -middle.Y
	}
	step := math.Max(1, board.Length()/600)
	pts := board.Flatten(arcTolMM)
	for i, p := range pts {
		q := pts[(i+1)%len(pts)]
		n := int(math.Ceil(p.Dist(q) / step))
		for k := range n {
			r := p.Lerp(q, float64(k)/float64(n)).Sub(middle)
			f.points = append(f.points, r)
			f.span = math.Max(f.span, r.Norm())
		}
	}
	for k := range fewPoints {
		f.few = append(f.few, f.points[k*len(f.points)/fewPoints])
	}
	return f
}

// arcTolMM is how far the points of an arc may leave its chord, mm.
const arcTolMM = 0.002

// centroid is the middle of the area.
func centroid(l geom.Loop) geom.Vec {
	var sum geom.Vec
	area, pts := 0.0, l.Flatten(arcTolMM)
	for i, p := range pts {
		q := pts[(i+1)%len(pts)]
		c := p.Sub(pts[0]).Cross(q.Sub(pts[0]))
		area += c
		sum = sum.Add(p.Add(q).Add(pts[0]).Scale(c / 3))
	}
	return sum.Scale(1 / area)
}

// at are the points with the board in a pose.
func (f *boardInWindow) at(points []geom.Vec, m pose) []geom.Vec {
	out := make([]geom.Vec, len(points))
	for i, p := range points {
		out[i] = geom.Rigid{Angle: m.angle, Shift: f.middle.Add(m.shift)}.Apply(p)
	}
	return out
}

// out is how far each place stands out of the window, negative inside, and the most of it.
func (f *boardInWindow) out(places []geom.Vec) (each []float64, most float64) {
	each = make([]float64, len(places))
	for i, q := range places {
		each[i] = -f.prepared.Depth(q)
	}
	return each, slices.Max(each)
}

// widths are those of a shape from 0 to 180 degrees, in steps of the scan.
func widths(points []geom.Vec) (out [scanAngles / 2]float64) {
	for k := range out {
		along := geom.Polar(1, 2*math.Pi*float64(k)/scanAngles)
		least, most := math.Inf(1), math.Inf(-1)
		for _, p := range points {
			d := p.Dot(along)
			least, most = min(least, d), max(most, d)
		}
		out[k] = most - least
	}
	return out
}

// scan returns what the board lacks at evenly spaced angles, by few of its points; +Inf where
// it is wider some way than the window, so that no place within half a step lets it in.
func (f *boardInWindow) scan(window geom.Loop) []float64 {
	out := make([]float64, scanAngles)
	room, board := widths(window.Flatten(arcTolMM)), widths(f.points)
	most := 2 * (MostLackMM + f.span*math.Pi/scanAngles)
	for k := range out {
		for j, r := range room {
			if board[(j+scanAngles-k)%len(board)]-r > most {
				out[k] = math.Inf(1)
			}
		}
		if out[k] == 0 {
			_, out[k] = f.out(f.at(f.few, pose{angle: 2 * math.Pi * float64(k) / scanAngles}))
		}
	}
	return out
}

// lowest returns the places in a ring that are no higher than both neighbours, the lowest
// first; the first of level ones.
func lowest(ring []float64) []int {
	n := len(ring)
	var out []int
	for k, v := range ring {
		if v < ring[(k+n-1)%n]-flatMM && v <= ring[(k+1)%n]+flatMM {
			out = append(out, k)
		}
	}
	if len(out) == 0 {
		for k := 0; k < n; k += n / mostLows {
			out = append(out, k) // level all round
		}
	}
	out = slices.DeleteFunc(out, func(k int) bool { return math.IsInf(ring[k], 1) })
	slices.SortStableFunc(out, func(i, j int) int { return alike(ring[i], ring[j]) })
	return out[:min(len(out), mostLows)]
}

// flatMM is the difference below which two angles are as good, mm.
const flatMM = 1e-6

// improve moves the board until it lacks no less nearby, by moves of reach at first
// and end at least, mm.
func (f *boardInWindow) improve(points []geom.Vec, m pose, reach, end float64) (pose, float64) {
	places := f.at(points, m)
	each, lack := f.out(places)
	for reach > end {
		x, hope := minimax.LeastOfLargest(f.stands(m, places, each, lack-12*reach), reach, lack)
		if lack-hope < end {
			reach /= 8
			continue
		}
		next := f.snapped(pose{m.angle + x.Z/f.span, m.shift.Add(geom.Vec{X: x.X, Y: x.Y})})
		moved := f.at(points, next)
		then, now := f.out(moved)
		if lack-now > (lack-hope)/8 {
			m, places, each, lack, reach = next, moved, then, now, min(2*reach, f.span/20)
		} else {
			reach /= 4
		}
	}
	return m, lack
}

// snapped is the pose on a grid: last digits, which differ between processors, are lost and do not
// grow from step to step.
func (f *boardInWindow) snapped(p pose) pose {
	on := func(x, grid float64) float64 { return math.Round(x/grid) * grid }
	return pose{on(p.angle, snapMM/f.span), geom.Vec{X: on(p.shift.X, snapMM), Y: on(p.shift.Y, snapMM)}}
}

// snapMM is the grid: far above rounding, far below leastReachMM.
const snapMM = 1e-7

// leastReachMM ends the search, mm: the lack is then off by a few times as much, less than is told; roughReachMM
// that with few points, which are farther off. Practice.
const (
	leastReachMM = 1e-4
	roughReachMM = 0.05
)

// stands is how far the places that stand out by more than least do, each as a function
// of a small move: shift, and turn by a millimetre at the farthest point. For a place inside
// it is the largest over the edges, for one outside the least.
func (f *boardInWindow) stands(m pose, places []geom.Vec, each []float64, least float64) (all []minimax.Linear) {
	middle := f.middle.Add(m.shift)
	for k, q := range places {
		out := each[k]
		if out <= least {
			continue
		}
		far := max(out+flatMM, -least) // walls farther off say nothing
		for _, w := range f.walls {
			if off := q.Sub(w.middle); off.Dot(off) > (far+w.radius)*(far+w.radius) {
				continue
			}
			d := w.Distance(q)
			if out > 0 && d > out+flatMM || out <= 0 && -d <= least {
				continue
			}
			n := outward(w.ArcEdge, q)
			all = append(all, minimax.Linear{
				Row: r3.Vec{X: n.X, Y: n.Y, Z: n.Dot(q.Sub(middle).Left()) / f.span},
				At:  math.Copysign(d, out),
			})
		}
	}
	return all
}

// outward is the unit direction in which a point q beside the edge stands out more.
func outward(e geom.ArcEdge, q geom.Vec) geom.Vec {
	share := e.Along(q)
	foot := e.At(share)
	n := e.Q.Sub(e.P).Unit().Left().Scale(-1)
	if e.IsArc() {
		n = foot.Sub(e.Arc().C).Unit().Scale(math.Copysign(1, e.Bulge))
	}
	// Beside an end the way to it counts.
	if off := q.Sub(foot); off.Norm() > flatMM {
		n = off.Unit().Scale(math.Copysign(1, off.Dot(n)))
	}
	return n
}
