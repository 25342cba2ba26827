package plate

import (
	"math"

	"reseat/jig/geom"
)

// The plate has a notch in its start end, left of the datum line, so that it tells
// by sight and touch which way it lies. It is a shallow hollow with rounded lips: a
// router's cutter follows it, acrylic does not crack from it, and every arc meets
// its neighbour tangentially, so that kerf and chamfers offset it exactly.
// All sizes: common practice, no source.
const (
	notchDepthMM  = 3.0
	notchRadiusMM = 6.0 // of the hollow: a cutter of up to 12 mm goes in
	notchLipMM    = 2.0 // radius of the lips
	notchRoomMM   = 4.0 // from the lip to the end of the straight edge
)

// cornerMM is the corner radius of a sheet or printed plate: blunt to the hand and no
// crack starter in acrylic. Common practice, no source.
const cornerMM = 4.0

// corner is the corner radius of a plate with the given margin.
func corner(margin float64) float64 { return math.Min(cornerMM, margin/2) }

// Outline returns the rounded rectangle that leaves at least margin round the box, with
// the notch in its start end. Its sides are rounded up to whole steps from the datum's
// start, so that the plate can be cut to a ruler.
func Outline(box geom.Box, margin, step float64) geom.Loop {
	b := box.Grow(margin)
	b = geom.Box{
		Min: geom.Vec{X: -UpTo(-b.Min.X, step), Y: -UpTo(-b.Min.Y, step)},
		Max: geom.Vec{X: UpTo(b.Max.X, step), Y: UpTo(b.Max.Y, step)},
	}
	return notched(geom.RoundCorners(geom.Rect(b), corner(margin)))
}

// notched returns the plate's outline, a rounded rectangle counter-clockwise, with
// the notch in its start end. On a plate too narrow for it to stand clear of the
// datum line the notch is made smaller in proportion.
func notched(l geom.Loop) geom.Loop {
	at := -1
	for i := range l {
		if e := l.Edge(i); !e.IsArc() && e.P.X == e.Q.X && e.P.Y > e.Q.Y {
			at = i
		}
	}
	if at < 0 {
		return l
	}
	notch := hollow{notchDepthMM, notchRadiusMM, notchLipMM}
	e := l.Edge(at)
	// The left half of the edge takes the notch with its room on both sides.
	k := math.Min(1, (e.P.Y-e.Q.Y)/2/(2*notch.half()+2*notchRoomMM))
	notch = hollow{k * notchDepthMM, k * notchRadiusMM, k * notchLipMM}
	return notch.into(l, at, 1, func(geom.Edge) float64 { return k*notchRoomMM + notch.half() })
}

// hollow is a round hollow in a straight edge, with rounded lips that meet edge and
// hollow tangentially.
//
// With radius R, depth d and lip radius f, seen from the hollow's middle on the edge, its
// centre lies R - d outside and each lip's centre f inside, R + f apart:
//
//	sin(phi) = (f + R - d)/(R + f),  half width = (R + f) cos(phi)
type hollow struct{ depth, radius, lip float64 } // mm

// sin is that of phi.
func (h hollow) sin() float64 { return (h.lip + h.radius - h.depth) / (h.radius + h.lip) }

// half is half the width, lips included.
func (h hollow) half() float64 {
	return (h.radius + h.lip) * math.Sqrt(1-float64(h.sin()*h.sin()))
}

// into returns l with the hollow in its edge i, its middle as far from the edge's start
// as at tells: to the left of the edge (side 1), or to the right (-1).
func (h hollow) into(l geom.Loop, i int, side float64, at func(geom.Edge) float64) geom.Loop {
	e := l.Edge(i)
	dir := e.Q.Sub(e.P).Unit()
	in, c := dir.Left().Scale(side), e.P.Add(dir.Scale(at(e)))
	put := func(x, y, bulge float64) geom.Vertex {
		return geom.Vertex{Vec: c.Add(in.Scale(x)).Sub(dir.Scale(y)), Bulge: side * bulge}
	}
	turn := math.Pi/2 - math.Asin(h.sin()) // of each lip
	lip, round := math.Tan(turn/4), -math.Tan(turn/2)
	share := h.radius / (h.radius + h.lip)
	tx, ty := -(h.radius-h.depth)+share*(h.lip+h.radius-h.depth), share*h.half()
	out := append(geom.Loop(nil), l[:i+1]...)
	out[i].Bulge = 0
	out = append(out, put(0, h.half(), lip), put(tx, ty, round), put(tx, -ty, lip), put(0, -h.half(), 0))
	return append(out, l[i+1:]...)
}

// EdgeRoom returns the room to the edge of a plate that Outline drew with the margin, in
// closed form: to the rounded rectangle and to the notch's hollow. The lips round off
// what lies between the two, so it is exact from their radius inward, where every hole
// stands.
func EdgeRoom(l geom.Loop, margin float64) func(geom.Vec) float64 {
	in := l.Bounds().Rounded(corner(margin))
	for i := range l {
		if e := l.Edge(i); e.Bulge < 0 {
			hollow := e.Arc()
			return func(p geom.Vec) float64 { return math.Min(in(p), p.Dist(hollow.C)-hollow.R) }
		}
	}
	return in
}
