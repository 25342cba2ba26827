package seat

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"reseat/jig/geom"
)

// Stop is a place where a pushed board touches its window, or one that keeps a free one in.
type Stop struct {
	At     geom.Vec // on the outline, where the board was drawn
	Normal geom.Vec // unit, out of the board
	// PerMM is how the board moves when the wall there stands off by a millimetre more.
	PerMM Pose
	// Wall numbers the stretches of wall that err by themselves: stops of one err alike.
	Wall int
}

// Home is how a pushed board comes to rest: the load is a sum of the stops' normals, each
// with a factor of zero or more (force closure, without friction). Two stops hold it where
// their walls are round, at the lowest place of a hollow as it were, and friction anywhere near.
//
// Reference: Nguyen, The Synthesis of Force-Closure Grasps, MIT, 1985 (hdl.handle.net/1721.1/6430).
type Home struct {
	Rest  Pose
	Stops []Stop // two or three; a side that lies along its wall touches at two ends
	// FrictionMove is how far along round walls friction may hold the board from the place of rest,
	// either way, to first order, the gap at most; zero with three stops.
	FrictionMove Pose
	// How far the push may be out of its direction, and its line aside, either way, before the
	// board leaves a stop for another or turns: the place of rest moves by more than leaveShare
	// of the gap. Radians, mm; 0: it turns as it is pushed.
	Direction, AsideMM float64
	// FrictionDirection is the same with friction, which may also hold the board on two of three
	// stops before it meets the third; 0: it may as it is pushed, as on two.
	FrictionDirection float64
}

// Friction is the coefficient between board and wall. Common practice, no source: 0.2 to 0.3
// for wood on plastics and wood.
const Friction = 0.25

// leaveShare is by how much of the least gap the place of rest may move before the board has
// left its stops. On round walls it shifts as the push turns, by the gap times the angle. Practice.
const leaveShare = 0.2

// touchMM is how close to a wall the board touches it; restTolMM, and the rounding of
// what is found at other places, are below.
const touchMM = 1e-6

// contact is a place on the outline that touches its wall, as the polytope sees it.
type contact struct {
	Stop
	a r3.Vec // of its half-space
	// On a round wall the place slides as the board moves: the limit bends by
	// bend (slide.x)^2.
	slide r3.Vec
	bend  float64
	gap   float64
}

// touchMost is how many touching places are looked at: of more, as where a board fills its window,
// every second, again and again.
const touchMost = 40

// touching returns the places where the board touches its window in a pose.
func (f contourFrame) touching(x r3.Vec) (out []contact) {
	add := func(c contact) {
		for _, o := range out {
			if r3.Norm(r3.Sub(o.a, c.a)) < 1e-6 { // a smooth joint, met from either side
				return
			}
		}
		out = append(out, c)
	}
	for i := range f.sides {
		one := f
		one.sides = f.sides[i : i+1]
		if s := f.sides[i]; s.radius == 0 {
			for _, p := range []geom.Vec{s.edge.P, s.edge.Q} {
				if h := f.halfspace(p, s.n, s.gap); h.excess(x) >= -touchMM {
					add(contact{Stop: Stop{At: p, Normal: s.n}, a: h.a, gap: s.gap})
				}
			}
			continue
		}
		if h, id, excess := one.deepest(x); excess >= -touchMM {
			s, n := f.sides[i], geom.Vec{X: h.a.X, Y: h.a.Y}
			c := contact{Stop: Stop{At: s.at.Add(n.Scale(s.out * s.radius)), Normal: n}, a: h.a, gap: s.gap}
			if id[1] < 0 {
				c.slide, c.bend = f.halfspace(s.at, n.Left(), 0).a, 1/s.gap
			}
			add(c)
		}
	}
	for n := len(out); len(out) > touchMost; n = len(out) {
		for i := range n / 2 {
			out[i] = out[2*i]
		}
		out = out[:n/2]
	}
	return out
}

// dual returns vectors whose product with a load tells what each of three contacts carries of
// it, and which are how the board moves when its wall stands off by one. ok: they hold a board.
func dual(a, b, c r3.Vec) (out [3]r3.Vec, ok bool) {
	det := r3.Dot(a, r3.Cross(b, c))
	if !(math.Abs(det) >= leastHold) { // of nothing, too
		return out, false
	}
	for i, n := range [3]r3.Vec{r3.Cross(b, c), r3.Cross(c, a), r3.Cross(a, b)} {
		out[i] = r3.Scale(1/det, n)
	}
	return out, true
}

// leastHold is the triple product of three contacts below which they hold nothing: normals
// are of length one and levers shares of the board's length, so that it is a share as well.
const leastHold = 1e-6

// carryShare is the part of the load that contacts may seem to miss or to pull by: places on
// round walls are found to about 1e-3 rad.
const carryShare = 3e-3

// margins tells how far a load at the middle may turn and go aside, either way, before one of
// three contacts carries nothing; negative when one would have to pull.
//
//	carried(turn) = A cos(turn) + B sin(turn),  carried(aside) = A + dual.Z aside |load|/length
func (f frame) margins(d [3]r3.Vec, load geom.Vec) (turn, aside float64) {
	turn, aside = math.Inf(1), math.Inf(1)
	for _, n := range d {
		v := geom.Vec{X: n.X, Y: n.Y}
		a := v.Dot(load)
		turn = math.Min(turn, math.Pi/2-math.Abs(math.Atan2(v.Dot(load.Left()), a)))
		aside = math.Min(aside, a*f.length/(math.Abs(n.Z)*load.Norm()))
	}
	return turn, aside
}

// triples calls do for every three of n.
func triples(n int, do func(i, j, k int)) {
	for i := range n {
		for j := range i {
			for k := range j {
				do(i, j, k)
			}
		}
	}
}

// carry chooses of the contacts those that carry the load: three, of several the three that
// bear the largest turn of it, or two on round walls, with the move that friction leaves
// there. nil: none do.
func (f frame) carry(all []contact, load geom.Vec) (out []Stop, frictionMove r3.Vec) {
	most := -carryShare
	stops := func(d [3]r3.Vec, of ...contact) {
		out = nil
		for i, c := range of {
			c.PerMM, c.Wall = f.pose(d[i]), i
			out = append(out, c.Stop)
		}
	}
	triples(len(all), func(i, j, k int) {
		if d, ok := dual(all[i].a, all[j].a, all[k].a); ok {
			if turn, _ := f.margins(d, load); turn > most+alike {
				most = turn
				stops([3]r3.Vec{d[2], d[1], d[0]}, all[k], all[j], all[i])
			}
		}
	})
	out = f.joined(out, load)
	w := r3.Vec{X: load.X, Y: load.Y}
	for i := 0; out == nil && i < len(all); i++ {
		for j := range i {
			a, b := all[j], all[i]
			// Along z both stay on their walls; what bends there is the third that holds.
			z := r3.Unit(r3.Cross(a.a, b.a))
			d, ok := dual(a.a, b.a, z)
			if !ok || math.Abs(r3.Dot(d[2], w)) > carryShare*r3.Norm(w) || min(r3.Dot(d[0], w), r3.Dot(d[1], w)) < 0 {
				continue
			}
			// Off by s along z the load draws it back by stiff s, and friction holds it by drag at most.
			var bent r3.Vec
			drag := 0.0
			for k, c := range []contact{a, b} {
				bears := r3.Dot(d[k], w)
				bent = r3.Add(bent, r3.Scale(bears*c.bend*r3.Dot(c.slide, z), c.slide))
				drag += Friction * bears * math.Abs(r3.Dot(f.halfspace(c.At, c.Normal.Left(), 0).a, z))
			}
			if d, ok := dual(a.a, b.a, r3.Unit(bent)); ok {
				stops(d, a, b)
				frictionMove = r3.Scale(math.Min(drag/r3.Dot(bent, z), a.gap), z)
			}
		}
	}
	return out, frictionMove
}

// joined makes one of two stops that lie on one wall, as on neighbouring chords of a curve: the
// wall's place errs for both.
func (f frame) joined(stops []Stop, load geom.Vec) []Stop {
	for i := range stops {
		for j := range i {
			a, b := stops[j], stops[i]
			if a.At.Dist(b.At) > oneWallShare*f.length || a.Normal.Dot(b.Normal) < oneWallCos {
				continue
			}
			// Each by what it carries of the load.
			p, q := f.carries(a, load), f.carries(b, load)
			stops[j] = Stop{
				At: a.At.Lerp(b.At, q/(p+q)), Normal: a.Normal.Lerp(b.Normal, q/(p+q)).Unit(),
				Wall: a.Wall, PerMM: Pose{a.PerMM.DU + b.PerMM.DU, a.PerMM.DV + b.PerMM.DV, a.PerMM.Theta + b.PerMM.Theta},
			}
			return slices.Delete(stops, i, i+1)
		}
	}
	return stops
}

// carries is what a stop carries of a load at the middle: the work that the load does when its wall
// gives way.
func (f frame) carries(s Stop, load geom.Vec) float64 { return s.PerMM.Motion(f.middle).Dot(load) }

// Two stops nearer to each other than oneWallShare of the board's length, with normals of a
// larger cosine than oneWallCos, are of one wall: a corner turns more, chords of a curve less. Practice.
const (
	oneWallShare = 0.03
	oneWallCos   = 0.98
)

// trustedPushRad is how far a push by hand may well be out of its direction, either way. Practice.
const trustedPushRad = 20 * math.Pi / 180

// pushes are the angles from the datum line, towards the start, that Toward tries; the first
// serves a board with straight sides.
var pushes = []float64{45, 35, 55, 25, 65, 15, 75}

// Toward returns the push against the start end and a side, 1 left or -1 right, that may be out
// of its direction most, with and without friction, more than trustedPushRad counting for no more. Of
// several it is the one whose stops' errors move the corners of the board's bounds least.
// Errors as of Seat.
func (c Contour) Toward(side float64) (push geom.Vec, home Home, err error) {
	f, p, err := c.poses()
	if err != nil {
		return push, home, err
	}
	corners := geom.Rect(c.Outline.Bounds()).Corners()
	sure, least := -1.0, math.Inf(1)
	for _, deg := range pushes {
		load := geom.Polar(1, deg*math.Pi/180)
		load = geom.Vec{X: -load.X, Y: side * load.Y}
		h := f.homeOf(&p, load)
		bears := math.Min(h.Direction, trustedPushRad) + math.Min(h.FrictionDirection, trustedPushRad)
		moves := mostMove(h.Stops, corners)
		if bears > sure+pushTie || bears > sure-pushTie && moves < least*(1-lessMoveShare) {
			push, home, sure, least = load, h, bears, moves
		}
	}
	return push, home, nil
}

// Pushes count as equally sure to pushTie, radians, far over rounding; another is taken for
// features that move by a share of lessMoveShare less.
const (
	pushTie       = 1e-6
	lessMoveShare = 0.05
)

// mostMove is the most that a place moves, as the root of the sum of squares, when each stop's
// wall stands off by a millimetre.
func mostMove(stops []Stop, places []geom.Vec) (most float64) {
	for _, at := range places {
		sum := 0.0
		for _, s := range stops {
			m := s.PerMM.Motion(at)
			sum += m.Dot(m)
		}
		most = math.Max(most, math.Sqrt(sum))
	}
	return most
}

// homeOf is Home with a push of its own; p is made exact where the push ends up.
func (f contourFrame) homeOf(p *polytope, push geom.Vec) Home {
	_, x := f.home(p, push)
	touching := f.touching(x)
	h := Home{Rest: f.pose(x)}
	stops, slack := f.carry(touching, push)
	if h.Stops = stops; stops == nil {
		return h
	}
	h.FrictionMove = f.pose(slack)
	stays := func(turn, aside float64) bool {
		load := turned(push, turn)
		w := r3.Vec{X: load.X, Y: load.Y, Z: aside * load.Norm() / f.length}
		far, most := x, math.Inf(-1)
		for _, k := range p.corners {
			if work := r3.Dot(w, k.x); work > most {
				far, most = k.x, work
			}
		}
		d := r3.Sub(far, x)
		return math.Hypot(d.X, d.Y)+math.Abs(d.Z)/2 <= leaveShare*f.least
	}
	h.Direction = within(math.Pi/2, func(turn float64) bool { return stays(turn, 0) })
	h.AsideMM = within(f.length, func(aside float64) bool { return stays(0, aside) })
	if len(h.Stops) == 3 {
		h.FrictionDirection = within(h.Direction, func(turn float64) bool { return !f.sticks(touching, turned(push, turn)) })
	}
	return h
}

// turned returns v turned by phi.
func turned(v geom.Vec, phi float64) geom.Vec { return geom.Rigid{Angle: phi}.Apply(v) }

// within returns how far a value may go to either side of 0 before ok first fails, at
// most the limit: in steps, the last one halved.
func within(limit float64, ok func(float64) bool) float64 {
	const steps, halvings = 90, 20
	lo := 0.0
	for k := range steps + 1 {
		hi := limit * float64(k) / steps
		if ok(hi) && ok(-hi) {
			lo = hi
			continue
		}
		if k == 0 {
			return 0
		}
		for range halvings {
			if mid := (lo + hi) / 2; ok(mid) && ok(-mid) {
				lo = mid
			} else {
				hi = mid
			}
		}
		break
	}
	return lo
}

// sticks reports whether friction may hold the board under a load on two of its contacts: the
// load is a sum of forces within the friction's angle of their normals.
func (f frame) sticks(touching []contact, load geom.Vec) (held bool) {
	w := r3.Vec{X: load.X, Y: load.Y}
	for i := range touching {
		for j := range i {
			var edges []r3.Vec
			for _, s := range []contact{touching[i], touching[j]} {
				for _, side := range []float64{-Friction, Friction} {
					edges = append(edges, f.halfspace(s.At, s.Normal.Add(s.Normal.Left().Scale(side)), 0).a)
				}
			}
			triples(len(edges), func(i, j, k int) {
				d, ok := dual(edges[i], edges[j], edges[k])
				held = held || ok && min(r3.Dot(d[0], w), r3.Dot(d[1], w), r3.Dot(d[2], w)) >= 0
			})
		}
	}
	return held
}
