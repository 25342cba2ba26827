package plate

import (
	"math"

	"reseat/jig/geom"
	"reseat/jig/offset"
)

// LandedOutline is what the window of a plate from sheet is drawn from, that keeps a board of any
// outline from sliding while it is glued.
type LandedOutline struct {
	Board      geom.Loop // simple and counter-clockwise
	GapMM      float64   // lands to board
	CutterMM   float64   // radius of the cutter; 0: a laser
	SqueezeMM3 float64   // glue that needs room beside the board
	DeepMM     float64   // thickness of the plate
}

// squeezeRounds bounds how often the window is set back farther for the squeeze-out: what lands
// take grows with it.
const squeezeRounds = 5

// Window returns the opening; Outline and Bears of it say where the board is held. ok is false
// where the board has no window that lets it in, or no land stands.
//
// The opening is the outline grown by gap and setback. From it a tongue is taken at every land,
// up to the outline grown by the gap, and its corners are rounded: what a disc of the radius
// does not reach of the plate goes, and what it does not reach of the opening stays. Lands lie
// along straight edges and along curves, at each of which the outline has no corner.
func (l LandedOutline) Window() (w LandedWindow, ok bool) {
	r := cornerRadius(l.CutterMM)
	back := math.Max(leastSetback(r), r-l.GapMM) // round the sharpest corner too
	fine, one := outermost(offset.Grow([]geom.Loop{l.Board}, l.GapMM, offset.Round))
	if !one {
		return w, false
	}
	for range squeezeRounds {
		if w, ok = l.draw(fine, back, r); !ok || w.RoomMM3 >= l.SqueezeMM3 {
			return w, ok
		}
		back *= squeezeOver * l.SqueezeMM3 / w.RoomMM3
	}
	return w, false
}

// squeezeOver is by how much more the window is set back than in proportion. Practice.
const squeezeOver = 1.01

// outermost is the contour of a region that lies round all others: an island of plate in the
// opening would fall out.
func outermost(region []geom.Loop) (out geom.Loop, ok bool) {
	for _, c := range region {
		if a := c.Area(); a > 0 && (out == nil || a > out.Area()) {
			out = c
		}
	}
	return out, out != nil
}

// land is where the board bears: from one arc length of a run to another.
type land struct {
	run
	from, to float64
}

// draw lays out the window set back by d, its corners rounded by r; fine is the outline grown by
// the gap.
func (l LandedOutline) draw(fine geom.Loop, d, r float64) (w LandedWindow, ok bool) {
	wide, ok := outermost(offset.Grow([]geom.Loop{l.Board}, l.GapMM+d, offset.Round))
	if !ok {
		return w, false
	}
	var lands []land
	var tongues []geom.Loop
	for _, k := range runsOf(l.Board) {
		for _, at := range k.stations(landMM/2 + d + r + landRoomMM) {
			half := math.Min(landMM, math.Max(2*leastHalfMM, landShare*k.long)) / 2
			half = math.Min(half, landBend*k.least(at, half))
			if half < math.Max(r, leastHalfMM) || k.long/2 < half+d+r && !k.closed || !k.fitsCutter(l.Board, at, half,
				r-l.GapMM) {
				continue
			}
			tongues = append(tongues, k.tongue(l.Board, at, half, l.GapMM, d))
			bears := half - float64(r*math.Tan(math.Pi/8)) // between the roundings of its ends
			lands = append(lands, land{k, at - bears, at + bears})
		}
	}
	if w.Loop, ok = outermost(offset.Union(append(offset.Subtract(wide, tongues...), fine)...)); !ok {
		return w, false
	}
	for _, by := range []float64{r, -2 * r, r} {
		if w.Loop, ok = outermost(offset.Grow([]geom.Loop{w.Loop}, by, offset.Round)); !ok {
			return w, false
		}
	}
	w.SetbackMM, w.RoomMM3 = d, (w.Loop.Area()-fine.Area())*l.DeepMM
	prepared := geom.Prepare(w.Loop)
	for _, p := range fine.Flatten(landTolMM) {
		if prepared.Depth(p) < -2*landTolMM {
			return w, false // a rounding closed the way in
		}
	}
	stands := func(p geom.Vec) bool { return math.Abs(prepared.Depth(p)) < landTolMM }
	var bearing []land
	for _, k := range lands {
		a, _ := k.at(l.Board, k.from, l.GapMM)
		m, _ := k.at(l.Board, (k.from+k.to)/2, l.GapMM)
		b, _ := k.at(l.Board, k.to, l.GapMM)
		if stands(a) && stands(m) && stands(b) {
			w.Lands, bearing = append(w.Lands, geom.Edge{P: a, Q: b}), append(bearing, k)
		}
	}
	w.Outline, w.Bears = bears(l.Board, bearing)
	return w, len(w.Lands) > 0
}

const (
	// landTolMM is how far off its place a land may be for rounding.
	landTolMM = 1e-3
	// leastHalfMM is half the length of the shortest land, and landBend the most of a bend's radius
	// that half a land is long: it bears on the tip of a tighter one alone. Common practice, no
	// source.
	leastHalfMM = 3.0
	landBend    = 1.0 / 3
)

// run is a part of an outline without a corner: so many edges from one on. A closed one goes all
// round.
type run struct {
	edges  []int
	shares []float64 // arc length at which each edge starts
	radii  []float64 // of each edge; +Inf: straight
	long   float64
	closed bool
}

// runsOf are the runs of an outline, without the roundings between walls.
func runsOf(l geom.Loop) (out []run) {
	n, rounds := len(l), Roundings(l)
	parts := func(i int) bool { // a corner at the start of edge i, or a rounding beside it
		before := (i + n - 1) % n
		return rounds[i] || rounds[before] || math.Abs(turn(l.Edge(before), l.Edge(i))) > tangentRad
	}
	start, cornered := 0, false
	for i := range l {
		if parts(i) {
			start, cornered = i, true
			break
		}
	}
	k := run{closed: !cornered}
	for step := range n {
		i := (start + step) % n
		if step > 0 && parts(i) {
			out, k = append(out, k), run{}
		}
		e, radius := l.Edge(i), math.Inf(1)
		if e.IsArc() {
			radius = e.Arc().R
		}
		if !rounds[i] {
			k.edges, k.shares, k.radii = append(k.edges, i), append(k.shares, k.long), append(k.radii, radius)
			k.long += e.Length()
		}
	}
	return append(out, k)
}

// stations are the middles of the lands, the first and last so far from the run's ends.
func (k run) stations(end float64) []float64 {
	switch {
	case len(k.edges) == 0:
		return nil
	case !k.closed:
		return stations(k.long, end)
	}
	n := math.Max(leastRound, math.Ceil(k.long/landApartMM))
	var out []float64
	for i := range int(n) {
		out = append(out, (float64(i)+0.5)*k.long/n)
	}
	return out
}

// leastRound is how many lands a board without corners has at least: fewer hold nothing.
const leastRound = 3

// least is the smallest radius of a run within so much of a place.
func (k run) least(at, within float64) float64 {
	out := math.Inf(1)
	for i, from := range k.shares {
		to := k.long
		if i+1 < len(k.shares) {
			to = k.shares[i+1]
		}
		if to > at-within && from < at+within {
			out = math.Min(out, k.radii[i])
		}
	}
	return out
}

// at is the place beside an arc length, so far out of the outline, and the direction there.
func (k run) at(l geom.Loop, s, out float64) (p, along geom.Vec) {
	i := len(k.edges) - 1
	for i > 0 && s < k.shares[i] {
		i--
	}
	e := l.Edge(k.edges[i])
	share := (s - k.shares[i]) / e.Length()
	along, _ = e.Tangents()
	if e.IsArc() {
		a := e.Arc()
		along = geom.Polar(math.Copysign(1, a.Sweep), a.Start+float64(share*a.Sweep)+math.Pi/2)
	}
	return e.At(share).Sub(along.Left().Scale(out)), along
}

// fitsCutter reports whether a cutter of radius r passes inside all along a land: not in a tip.
func (k run) fitsCutter(l geom.Loop, s, half, r float64) bool {
	for _, at := range []float64{s - half, s, s + half} {
		if p, _ := k.at(l, at, -r); l.Depth(p) < r-landTolMM {
			return false
		}
	}
	return true
}

// tongue is what of the plate reaches up to a land from behind the opening, with ends of 45
// degrees, and on into the board.
func (k run) tongue(l geom.Loop, s, half, gap, d float64) geom.Loop {
	back := d + float64(half*landBend) + 1 // beyond the opening, however it bends
	beside := func(s, x, y float64) geom.Vec {
		p, along := k.at(l, s, y)
		return p.Add(along.Scale(x))
	}
	return geom.FromPoints([]geom.Vec{
		beside(s, 0, -1), beside(s-half, 0, -1), beside(s-half, 0, gap), beside(s-half, -back, gap+back),
		beside(s, 0, gap+back), beside(s+half, back, gap+back), beside(s+half, 0, gap), beside(s+half, 0, -1),
	})
}

// bears cuts the edges of an outline at the ends of its lands, and tells which parts bear.
func bears(l geom.Loop, lands []land) (out geom.Loop, on []bool) {
	for i := range l {
		e := l.Edge(i)
		long, last := e.Length(), 0.0
		add := func(to float64, bears bool) {
			if to > last {
				bulge := math.Tan(float64(math.Atan(e.Bulge) * (to - last)))
				out, on = append(out, geom.Vertex{Vec: e.At(last), Bulge: bulge}), append(on, bears)
				last = to
			}
		}
		for _, k := range lands { // in the order of the run
			for j, edge := range k.edges {
				from, to := (k.from-k.shares[j])/long, (k.to-k.shares[j])/long
				if edge == i && to > 0 && from < 1 {
					add(math.Max(0, from), false)
					add(math.Min(1, to), true)
				}
			}
		}
		add(1, false)
	}
	return out, on
}
