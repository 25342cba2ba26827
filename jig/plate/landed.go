package plate

import (
	"math"
	"slices"

	"reseat/jig/geom"
)

// A plate from sheet keeps the board from sliding while it is glued. Its window touches the board
// at lands alone; between them it stands back, so that squeeze-out has room beside the board and
// can be got at: a sheet's lower edge cannot be grooved by the process that cuts it. All sizes:
// common practice, no source.
const (
	landMM      = 25.0    // length of a land
	landShare   = 1.0 / 5 // of its wall, at most
	landApartMM = 200.0   // most between the middles of two lands
	setbackMM   = 2.0     // least: what a brush or a stick cleans
	roundMM     = 1.0     // least radius of the window's corners: no crack starts in it
	landRoomMM  = 3.0     // from a corner's rounding to the ramp of a land
)

// Landed is what such a window is drawn from.
type Landed struct {
	Board      geom.Loop  // a convex counter-clockwise quadrilateral from the start end's right corner
	Gaps       [4]float64 // of its walls, by Wall
	Free       []Wall     // that wedges push from
	CutterMM   float64    // radius of the cutter; 0: a laser
	SqueezeMM3 float64    // glue that needs room beside the board
	DeepMM     float64    // thickness of the plate
}

// LandedWindow is the opening.
type LandedWindow struct {
	Loop      geom.Loop   // counter-clockwise
	Lands     []geom.Edge // where it touches the board
	Wedges    []Wedge     // what pushes the board, in the order of the walls
	SetbackMM float64     // between the lands
	RoomMM3   float64     // for squeeze-out between them

	// Of a board of any outline: its edges cut at the ends of the lands, and which of them bear.
	Outline geom.Loop
	Bears   []bool
}

// Window returns the opening.
func (l Landed) Window() LandedWindow {
	r := cornerRadius(l.CutterMM)
	w := l.draw(leastSetback(r), r)
	if w.RoomMM3 < l.SqueezeMM3 {
		w = l.draw(w.SetbackMM*l.SqueezeMM3/w.RoomMM3, r)
	}
	return w
}

// cornerRadius is that of the window's corners, cut by a cutter of the given radius.
func cornerRadius(cutter float64) float64 {
	if cutter > 0 {
		return math.Max(roundMM, cutter+reliefOverMM)
	}
	return roundMM
}

// leastSetback is the least between lands: a ramp of 45 degrees carries the roundings r of both its
// ends.
func leastSetback(r float64) float64 {
	return math.Max(setbackMM, (float64(2*math.Tan(math.Pi/8)*r)+reliefOverMM)/math.Sqrt2)
}

// draw lays out the window, set back by d between lands and pockets, its corners rounded by r.
func (l Landed) draw(d, r float64) LandedWindow {
	w := LandedWindow{SetbackMM: d}
	back := l.Gaps
	for i := range back {
		back[i] += d
	}
	walls, corners := Walls(l.Board, l.Gaps), Walls(l.Board, back)
	var pts []geom.Vec
	for i := range walls {
		e := walls.Edge(i)
		along := e.Q.Sub(e.P).Unit()
		out := along.Left().Scale(-1)
		at := func(x, y float64) geom.Vec { return e.P.Add(along.Scale(x)).Add(out.Scale(y)) }
		// A bay of the wall that lies at a depth between two stations.
		bay := func(from, to, depth, ramp float64) {
			pts = append(pts, at(from-ramp, d), at(from, depth), at(to, depth), at(to+ramp, d))
		}
		pts = append(pts, corners[i].Vec)
		long := e.Length()
		if slices.Contains(l.Free, Wall(i)) {
			k := wedgeFor(long, r)
			for _, mid := range k.stations(long) {
				deep := k.NominalMM() - l.Gaps[i]
				bay(mid-k.pocketMM(r)/2, mid+k.pocketMM(r)/2, deep, 0)
				k.At, k.Push = at(mid, -l.Gaps[i]), out.Scale(-1)
				w.Wedges = append(w.Wedges, k)
			}
			continue
		}
		half := math.Min(landMM, landShare*long) / 2
		for _, mid := range stations(long, half+d+r+landRoomMM) {
			bay(mid-half, mid+half, 0, d)
			w.Lands = append(w.Lands, geom.Edge{P: at(mid-half, 0), Q: at(mid+half, 0)})
			w.RoomMM3 -= float64((2*half + d) * d * l.DeepMM)
		}
		w.RoomMM3 += float64(long * d * l.DeepMM)
	}
	w.Loop = geom.RoundCorners(geom.FromPoints(pts), r)
	return w
}

// stations are the middles of the lands of a wall so long, the first and last so far from its
// ends; one on a wall that is too short for two.
func stations(long, end float64) []float64 {
	if long < 4*end {
		return []float64{long / 2}
	}
	n := math.Ceil((long - 2*end) / landApartMM)
	var out []float64
	for i := 0.0; i <= n; i++ {
		out = append(out, end+i*(long-2*end)/n)
	}
	return out
}
