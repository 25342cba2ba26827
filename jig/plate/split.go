package plate

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"reseat/jig/geom"
)

// A printed plate longer than the printer's bed is cut across into parts. The seams
// run straight across, between the pins; every bar that a seam cuts is held by a
// dovetail key that lies flat and goes in from above. The faces butt and set the
// length, the key keeps them together, and its clearance is what the joint adds to
// the error.

// Sizes of a key. All: common practice, no source.
const (
	keyShare    = 0.4  // length of a key in widths of its head
	keyNeck     = 0.6  // width of the neck in widths of the head
	mostKeyMM   = 24.0 // a wider head gains nothing
	leastKeyMM  = 6.0  // a narrower one breaks when the parts are pushed together
	keyWallMM   = 3.0  // least material on either side of a head
	leastPartMM = 30.0 // a shorter part is not worth a seam
)

// MostKeyMM is the longest key, from its seam.
const MostKeyMM = keyShare * mostKeyMM

// mostSeams bounds the search: nine parts of a 220 mm bed make the longest board.
const mostSeams = 12

// Circle is a hole with all of its travel.
type Circle struct {
	At geom.Vec
	R  float64
}

// Whole is a plate to be cut into parts.
type Whole struct {
	Outline, Window geom.Loop // Window nil: none
	Holes           []Circle
	Rails           []geom.Loop // that stand on it
	WebMM           float64     // least material between a hole and a seam or a key
	ClearanceMM     float64     // of a key in its socket, per side
}

// Split is a plate cut into parts.
type Split struct {
	Pieces  []Piece
	SeamsMM []float64 // stations
	ApartMM float64   // least distance between the outer keys of a seam
}

// Piece is one part of a plate.
type Piece struct {
	Outline geom.Loop
	Window  geom.Loop // only of a plate that is not cut through it
	From    float64   // u of the seam at its near end; -Inf: none
	To      float64   // and at its far end; +Inf: none
}

// Uncut is the plate as its only piece.
func (w Whole) Uncut() Piece {
	return Piece{Outline: w.Outline, Window: w.Window, From: math.Inf(-1), To: math.Inf(1)}
}

// FitsBed reports whether a plate lies on a printer's bed, one way or the other.
func FitsBed(size geom.Vec, bedX, bedY float64) bool {
	const rounding = 1e-6
	fits := func(x, y float64) bool { return x <= bedX+rounding && y <= bedY+rounding }
	return fits(size.X, size.Y) || fits(size.Y, size.X)
}

// Split cuts the plate with the fewest seams whose parts fit a bed of the given sides,
// lying either way, and among those the ones nearest to equal parts. The error says
// why no seams do.
func (w Whole) Split(bedX, bedY float64) (Split, error) {
	size := w.Outline.Bounds().Size()
	longest := 0.0 // a part may be this long
	for _, b := range [][2]float64{{bedX, bedY}, {bedY, bedX}} {
		if size.Y <= b[1] {
			longest = math.Max(longest, b[0])
		}
	}
	if longest == 0 {
		return Split{}, fmt.Errorf("the plate cannot be split: it is %.1f mm wide and the bed %.0f x %.0f mm; seams "+
			"run across only",
			size.Y, bedX, bedY)
	}
	places := w.places()
	for n := 1; n <= mostSeams; n++ {
		seams := w.choose(places, n, longest)
		if seams == nil {
			continue
		}
		out := Split{Pieces: w.pieces(seams), ApartMM: math.Inf(1)}
		for _, m := range seams {
			out.SeamsMM = append(out.SeamsMM, m.u)
			out.ApartMM = math.Min(out.ApartMM, m.keys[len(m.keys)-1].v-m.keys[0].v)
		}
		return out, nil
	}
	return Split{}, fmt.Errorf(
		"the plate cannot be split: no seams leave parts of at most %.0f mm and stay clear of pins and corners", longest)
}

// choose takes n of the places so that every part fits, each as near as can be to the
// equal division; nil when none do. The largest deviation is made least by dynamic
// programming: cost[i] is the best with the latest seam at places[i].
func (w Whole) choose(places []seam, n int, longest float64) []seam {
	box := w.Outline.Bounds()
	cost, path := make([]float64, len(places)), make([][]seam, len(places))
	for i := range cost[1:] {
		cost[1+i] = math.Inf(1)
	}
	for k := 1; k <= n+1; k++ {
		want := box.Min.X + float64(box.Size().X*float64(k))/float64(n+1)
		nextCost, nextPath := make([]float64, len(places)), make([][]seam, len(places))
		for i, p := range places {
			nextCost[i] = math.Inf(1)
			from := -1
			for h, q := range places[:i] {
				if math.IsInf(cost[h], 1) || p.u-q.u < leastPartMM+q.far || p.u+p.far-q.u > longest {
					continue
				}
				if c := math.Max(cost[h], math.Abs(p.u-want)); c < nextCost[i] {
					nextCost[i], from = c, h
				}
			}
			if from >= 0 {
				nextPath[i] = append(slices.Clone(path[from]), p)
			}
		}
		cost, path = nextCost, nextPath
	}
	if out := path[len(places)-1]; out != nil {
		return out[:n]
	}
	return nil
}

// pieces cuts the plate at the seams, near end first, right before left.
func (w Whole) pieces(seams []seam) []Piece {
	var out []Piece
	for i := range len(seams) + 1 {
		lo, hi := seam{u: math.Inf(-1)}, seam{u: math.Inf(1)}
		if i > 0 {
			lo = seams[i-1]
		}
		if i < len(seams) {
			hi = seams[i]
		}
		p := Piece{From: lo.u, To: hi.u}
		if w.Window != nil && inRange(w.Window.Bounds(), lo.u, hi.u) {
			p.Window = w.Window // no seam cuts it
		}
		for _, l := range w.between(lo, hi) {
			p.Outline = l
			out = append(out, p)
		}
	}
	return out
}

func inRange(b geom.Box, from, to float64) bool { return b.Min.X > from && b.Max.X < to }

// between returns the contours of the plate between two seams, an infinite one being
// the plate's own end. It walks outline and window with the material on its left and
// goes over to the seam's other crossing where it meets one.
func (w Whole) between(lo, hi seam) []geom.Loop {
	loops := []geom.Loop{w.Outline}
	if w.Window != nil && !inRange(w.Window.Bounds(), lo.u, hi.u) {
		loops = append(loops, w.Window.Reverse())
	}
	var chains []geom.Loop // open, from crossing to crossing
	for _, l := range loops {
		chains = append(chains, clip(l, lo.u, hi.u)...)
	}
	var out []geom.Loop
	used := make([]bool, len(chains))
	for i := range chains {
		var l geom.Loop
		for at := i; at >= 0 && !used[at]; {
			used[at] = true
			l = append(l, chains[at]...)
			end := l[len(l)-1]
			var over []geom.Vec
			if end.X == hi.u {
				over = w.along(hi, end.Y, 1)
			} else {
				over = w.along(lo, end.Y, -1)
			}
			for _, p := range over[:len(over)-1] {
				l = append(l, geom.Vertex{Vec: p})
			}
			at = slices.IndexFunc(chains, func(c geom.Loop) bool { return c[0].Dist(over[len(over)-1]) <= crossingMM })
		}
		if l != nil {
			out = append(out, l)
		}
	}
	slices.SortStableFunc(out, func(a, b geom.Loop) int {
		return cmp.Compare(a.Bounds().Center().Y, b.Bounds().Center().Y)
	})
	return out
}

// crossingMM is how near two crossings computed from either end of an edge lie: far
// above rounding, far below any wall.
const crossingMM = 1e-6

// along runs along a seam from the crossing at v to the other side of its bar: to the
// left (+1) on the near part, over the keys, to the right (-1) on the far part, over
// the sockets.
func (w Whole) along(m seam, v float64, way int) []geom.Vec {
	var out []geom.Vec
	for _, b := range m.bars {
		end, grown := b.left, 0.0
		if way < 0 {
			end, grown = b.right, w.ClearanceMM
		}
		if math.Abs(b.right+b.left-end-v) > crossingMM {
			continue
		}
		for _, k := range m.keys {
			if k.v > b.right && k.v < b.left {
				out = append(out, k.corners(m.u, grown)...)
			}
		}
		if way < 0 {
			slices.Reverse(out)
		}
		return append(out, geom.Vec{X: m.u, Y: end})
	}
	return []geom.Vec{{X: m.u, Y: v}} // no bar starts there; never on a legal seam
}

// clip returns the stretches of a contour between the lines across at from and to.
func clip(l geom.Loop, from, to float64) []geom.Loop {
	var pts geom.Loop // with the crossings put in
	for i := range l {
		e := l.Edge(i)
		pts = append(pts, l[i])
		cuts := []float64{from, to}
		if e.Q.X < e.P.X {
			cuts = []float64{to, from}
		}
		for _, u := range cuts {
			if (e.P.X < u) != (e.Q.X < u) {
				pts = append(pts, geom.Vertex{Vec: geom.Vec{X: u, Y: across(e, u)}})
			}
		}
	}
	n := len(pts)
	in := func(i int) bool {
		middle := (pts[i%n].X + pts[(i+1)%n].X) / 2
		return middle > from && middle < to
	}
	var out []geom.Loop
	for i := range pts {
		if !in(i) || in(i+n-1) {
			continue
		}
		k := i
		for in(k) {
			k++
		}
		var c geom.Loop
		for m := i; m <= k; m++ {
			c = append(c, pts[m%n])
		}
		c[len(c)-1].Bulge = 0
		out = append(out, c)
	}
	return out
}

// Holds reports whether a point of the plate belongs to the piece.
func (k Piece) Holds(p geom.Vec) bool {
	return p.X > k.From && p.X < k.To && k.Outline.Contains(p)
}

// railSeamMM is the gap that the rails of two parts leave at a seam. Common practice,
// no source.
const railSeamMM = 0.2

// Trim cuts a rail, a convex contour, off at the piece's seams; empty when nothing of
// it stands on the piece.
func (k Piece) Trim(l geom.Loop) geom.Loop {
	pts := l.Corners()
	for _, cut := range []struct{ at, way float64 }{{k.From + railSeamMM/2, 1}, {k.To - railSeamMM/2, -1}} {
		if math.IsInf(cut.at, 0) {
			continue
		}
		var out []geom.Vec
		for i, p := range pts {
			q := pts[(i+1)%len(pts)]
			dp, dq := cut.way*(p.X-cut.at), cut.way*(q.X-cut.at)
			if dp >= 0 {
				out = append(out, p)
			}
			if dp >= 0 != (dq >= 0) {
				out = append(out, p.Lerp(q, dp/(dp-dq)))
			}
		}
		pts = out
	}
	return geom.FromPoints(pts)
}
