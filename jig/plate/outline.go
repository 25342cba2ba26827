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
//
// With hollow radius R, depth d and lip radius f, seen from the notch's middle on
// the edge, the hollow's centre lies R - d outside and each lip's centre f inside,
// R + f apart:
//
//	sin(phi) = (f + R - d)/(R + f),  half width = (R + f) cos(phi)
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
	e := l.Edge(at)
	sin := (notchLipMM + notchRadiusMM - notchDepthMM) / (notchRadiusMM + notchLipMM)
	cos := math.Sqrt(1 - sin*sin)
	half := (notchRadiusMM + notchLipMM) * cos
	// The left half of the edge takes the notch with its room on both sides.
	k := math.Min(1, (e.P.Y-e.Q.Y)/2/(2*half+2*notchRoomMM))
	c := geom.Vec{X: e.P.X, Y: e.P.Y - k*(notchRoomMM+half)}
	put := func(x, y, bulge float64) geom.Vertex {
		return geom.Vertex{Vec: c.Add(geom.Vec{X: k * x, Y: k * y}), Bulge: bulge}
	}
	turn := math.Pi/2 - math.Asin(sin) // of each lip
	lip, hollow := math.Tan(turn/4), -math.Tan(turn/2)
	share := notchRadiusMM / (notchRadiusMM + notchLipMM)
	tx, ty := -(notchRadiusMM-notchDepthMM)+share*(notchLipMM+notchRadiusMM-notchDepthMM), share*half
	out := append(geom.Loop(nil), l[:at+1]...)
	out[at].Bulge = 0
	out = append(out, put(0, half, lip), put(tx, ty, hollow), put(tx, -ty, lip), put(0, -half, 0))
	return append(out, l[at+1:]...)
}

// Inside returns the room to the edge of a plate that Outline drew with the margin, in
// closed form: to the rounded rectangle and to the notch's hollow. The lips round off
// what lies between the two, so it is exact from their radius inward, where every hole
// stands.
func Inside(l geom.Loop, margin float64) func(geom.Vec) float64 {
	in := l.Bounds().Rounded(corner(margin))
	for i := range l {
		if e := l.Edge(i); e.Bulge < 0 {
			hollow := e.Arc()
			return func(p geom.Vec) float64 { return math.Min(in(p), p.Dist(hollow.C)-hollow.R) }
		}
	}
	return in
}
