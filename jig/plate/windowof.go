package plate

import (
	"cmp"
	"math"
	"slices"

	"reseat/jig/geom"
	"reseat/jig/offset"
)

// Relief says where a cutter's corner reliefs lie.
type Relief int

// OnBisector eats as much of either wall; OnOneSide runs on along the longer wall, which
// stays whole, into the shorter one.
const (
	OnBisector Relief = iota
	OnOneSide
)

// Cut is how a window is cut.
type Cut struct {
	ClearanceMM float64 // window to board
	RadiusMM    float64 // of the cutter; 0: a laser or a printer
	KerfMM      float64
	Relief      Relief
	WebMM       float64 // least plate between two parts of the window
}

// Tight is a place at which a window is not as it should be.
type Tight struct {
	At      geom.Vec
	WidthMM float64
	What    Tightness
}

// Tightness says what is wrong there.
type Tightness string

// Neck: the window is narrower than the cutter. Tongue: the plate between two parts of the
// window is narrower than a web, or nothing is left of it.
const (
	Neck   Tightness = "neck"
	Tongue Tightness = "tongue"
)

// Opened is a window of any outline.
type Opened struct {
	Walls  geom.Loop // board outline moved outward by the clearance, its corners sharp
	Wanted geom.Loop // the walls with roundings beside the board's: what must be open
	Window geom.Loop // as it is cut, with reliefs
	// ReliefMM is the radius of the reliefs, 0 without any.
	ReliefMM float64
	Reliefs  []geom.Vec // where they reach to
	Tight    []Tight
}

// WindowOf returns the window of a board of any outline, simple and counter-clockwise. Its
// walls are the outline's true offset, mitred. Between walls it goes by Window's rule: the
// board's corners never touch it before its walls do, since it is sharper there. A corner
// of the board is a vertex, or an arc between walls that it is tangent to. Where a cutter
// does not reach into a corner, a round relief clears it: from where the cutter's middle
// can go to the corner. Places that are too narrow are told. ok is false where the offset
// closes round a hole, or the cutter cannot enter at all.
func WindowOf(outline geom.Loop, c Cut) (o Opened, ok bool) {
	sharp, radii := sharpened(outline)
	walls := offset.Grow([]geom.Loop{sharp}, c.ClearanceMM, offset.Mitre)
	for _, n := range offset.Narrows([]geom.Loop{outline}, 2*c.ClearanceMM) {
		if !n.Inside {
			o.Tight = append(o.Tight, Tight{n.Middle(), math.Max(0, n.Width()-2*c.ClearanceMM), Tongue})
		}
	}
	if len(walls) != 1 {
		return o, false
	}
	o.Walls = walls[0].WithoutShort()
	o.Wanted = rounded(o.Walls, func(p geom.Vec) float64 {
		_, at := nearest(sharp.Corners(), p)
		r := radii[at] - cornerUnderMM
		if r-c.KerfMM/2 < leastRadiusMM {
			return 0
		}
		return r
	})
	o.Window = o.Wanted
	if c.RadiusMM > 0 {
		ok = o.clear(c)
	}
	for _, n := range offset.Narrows([]geom.Loop{o.Window}, c.WebMM) {
		if !n.Inside {
			o.Tight = append(o.Tight, Tight{n.Middle(), n.Width(), Tongue})
		}
	}
	return o, ok || c.RadiusMM <= 0
}

// clear puts reliefs into the window where the cutter does not reach, and tells where it
// does not pass. It reports whether the window is one.
func (o *Opened) clear(c Cut) bool {
	wanted := []geom.Loop{o.Wanted}
	for _, n := range offset.Narrows(wanted, 2*c.RadiusMM) {
		if n.Inside {
			o.Tight = append(o.Tight, Tight{n.Middle(), n.Width(), Neck})
		}
	}
	centres := offset.Centres(wanted, c.RadiusMM)
	if len(centres) == 0 {
		return false
	}
	cleared := wanted
	for _, f := range unreached(o.Wanted, centres, c.RadiusMM) {
		if slices.ContainsFunc(cleared[1:], func(r geom.Loop) bool { return r.Depth(f.far) > -shortfallMM }) {
			continue
		}
		o.ReliefMM = c.RadiusMM + reliefOverMM
		o.Reliefs = append(o.Reliefs, f.far)
		cleared = append(cleared, f.relief(centres, o.ReliefMM, c.Relief))
	}
	window := offset.Union(cleared...)
	o.Window = window[0].WithoutShort()
	return len(window) == 1
}

const (
	// tangentRad is how far an arc may turn off the walls beside it and count as a rounding
	// between them: what drawings that are tangent to the eye leave. Common practice, no source.
	tangentRad = 0.02
	// mostSweepRad is the most that a rounding turns: beyond it the walls meet too far out.
	// Common practice, no source.
	mostSweepRad = 150 * math.Pi / 180
	// shortfallMM is how much of the window a cutter may leave standing in a corner without
	// a relief: less than any process here holds. Common practice, no source.
	shortfallMM = 0.005
)

// sharpened returns the outline with every rounding between walls replaced by the vertex
// that their tangents make, and the radius that each vertex had, 0 for none.
func sharpened(l geom.Loop) (out geom.Loop, radii []float64) {
	n, corner := len(l), Roundings(l)
	for i, v := range l {
		before, e := (i+n-1)%n, l.Edge(i)
		// A vertex between a rounding and a straight wall lies on the longer wall.
		started := corner[before] && !e.IsArc()
		if corner[i] {
			in, _ := e.Tangents()
			if l.Edge(before).IsArc() && !corner[before] {
				out, radii = append(out, geom.Vertex{Vec: v.Vec}), append(radii, 0)
			}
			tip := v.Vec.Add(in.Scale(e.Arc().R * math.Tan(e.Arc().Sweep/2)))
			out, radii = append(out, geom.Vertex{Vec: tip}), append(radii, e.Arc().R)
			continue
		}
		if !started {
			out, radii = append(out, v), append(radii, 0)
		}
	}
	return out, radii
}

// Roundings tells of every edge of an outline whether it rounds a corner between walls: the
// window is sharper there, and does not touch it.
func Roundings(l geom.Loop) []bool {
	n := len(l)
	out := make([]bool, n)
	for i := range l {
		out[i] = rounding(l.Edge((i+n-1)%n), l.Edge(i), l.Edge((i+1)%n))
	}
	return out
}

// rounding reports whether the arc e rounds the corner between the walls beside it.
func rounding(before, e, after geom.Edge) bool {
	if e.Bulge <= 0 || e.Arc().Sweep > mostSweepRad {
		return false
	}
	_, in := before.Tangents()
	start, end := e.Tangents()
	out, _ := after.Tangents()
	wall := func(w geom.Edge) bool { return !w.IsArc() || w.Arc().R >= 2*e.Arc().R }
	return math.Abs(in.Cross(start)) < tangentRad && math.Abs(end.Cross(out)) < tangentRad &&
		in.Dot(start) > 0 && end.Dot(out) > 0 && wall(before) && wall(after)
}

// nearest returns the distance of the nearest of the points to p, and which it is.
func nearest(points []geom.Vec, p geom.Vec) (distance float64, at int) {
	distance = math.Inf(1)
	for i, q := range points {
		if d := q.Dist(p); d < distance {
			distance, at = d, i
		}
	}
	return distance, at
}

// rounded returns l with an arc in every convex corner between straights, of the radius
// that is asked for there, where its walls carry it.
func rounded(l geom.Loop, radius func(geom.Vec) float64) geom.Loop {
	n := len(l)
	turns, backs := make([]float64, n), make([]float64, n) // backs: from the corner to the arc
	for i, v := range l {
		before, e := l.Edge((i+n-1)%n), l.Edge(i)
		turns[i] = turn(before, e)
		if turns[i] > 0 && !before.IsArc() && !e.IsArc() {
			backs[i] = radius(v.Vec) * math.Tan(turns[i]/2)
		}
	}
	var out geom.Loop
	for i, v := range l {
		before, e := l.Edge((i+n-1)%n), l.Edge(i)
		if backs[i] <= 0 || backs[i]+backs[(i+n-1)%n] > before.Length() || backs[i]+backs[(i+1)%n] > e.Length() {
			out = append(out, v)
			continue
		}
		_, in := before.Tangents()
		next, _ := e.Tangents()
		out = append(out, geom.Vertex{Vec: v.Sub(in.Scale(backs[i])), Bulge: math.Tan(turns[i] / 4)},
			geom.Vertex{Vec: v.Add(next.Scale(backs[i]))})
	}
	return out
}

// turn is the angle by which the contour turns to the left between two edges, radians.
func turn(before, after geom.Edge) float64 {
	_, in := before.Tangents()
	out, _ := after.Tangents()
	return math.Atan2(in.Cross(out), in.Dot(out))
}

// pocket is a place of a window that a cutter does not reach: its far point, and the walls
// on either side.
type pocket struct {
	far           geom.Vec
	before, after geom.Edge
	corner        bool // of two walls, or rounded between them
	stands        float64
}

// unreached returns the corners and tight arcs of l of which a cutter of radius rc with its
// middle inside centres leaves something standing, most first.
func unreached(l geom.Loop, centres []geom.Loop, rc float64) []pocket {
	n := len(l)
	var out []pocket
	add := func(p pocket) {
		_, d := offset.Nearest(centres, p.far)
		if p.stands = d - rc; p.stands > shortfallMM {
			out = append(out, p)
		}
	}
	for i, v := range l {
		before, e := l.Edge((i+n-1)%n), l.Edge(i)
		if turn(before, e) > 0 {
			add(pocket{far: v.Vec, before: before, after: e, corner: true})
		}
		if e.Bulge > 0 && e.Arc().R < rc {
			after := l.Edge((i + 1) % n)
			add(pocket{far: e.At(0.5), before: before, after: after, corner: rounding(before, e, after)})
		}
	}
	slices.SortStableFunc(out, func(a, b pocket) int {
		return cmp.Compare(math.Round(b.stands/shortfallMM), math.Round(a.stands/shortfallMM))
	})
	return out
}

// relief is what clears the pocket with the radius r: a disc through its far point where
// that joins up with what the cutter reaches, otherwise the way there.
func (p pocket) relief(centres []geom.Loop, r float64, where Relief) geom.Loop {
	from, _ := offset.Nearest(centres, p.far)
	a, b := p.before.At(p.before.Along(from)), p.after.At(p.after.Along(from))
	to := p.far.Sub(p.far.Sub(from).Unit().Scale(r))
	if where == OnOneSide && p.corner {
		// Along the longer wall, to beside the far point.
		_, along := p.before.Tangents()
		wall, foot := p.before.Q, a
		if p.after.Length() > p.before.Length() {
			along, _ = p.after.Tangents()
			wall, foot = p.after.P, b
		}
		in := along.Left()
		to = p.far.Add(in.Scale(r - p.far.Sub(wall).Dot(in)))
		from = foot.Add(in.Scale(r))
	} else if math.Max(to.Dist(a), to.Dist(b)) <= r {
		from = to
	}
	d := to.Sub(from)
	return geom.Slot(from.Lerp(to, 0.5), math.Atan2(d.Y, d.X), d.Norm(), 2*r)
}
