package plate

import (
	"math"

	"reseat/jig/geom"
)

// Wedge is one of a pair of folding wedges, alike: long right trapezoids whose slopes lie on each
// other, so that the pair is as wide along its whole length, and the wider the farther one is
// driven along the other.
type Wedge struct {
	LengthMM float64  `json:"length_mm"`
	ThinMM   float64  `json:"thin_end_mm"`
	At       geom.Vec `json:"at" axes:"u_mm,v_mm"` // the middle of the board's edge that the pair pushes on
	Push     geom.Vec `json:"push" axes:"u,v"`     // where it pushes
}

// Sizes of wedges. Common practice, no source.
const (
	wedgeLengthMM = 60.0
	wedgeThinMM   = 6.0     // blunt enough for a light tap
	WedgeSlope    = 0.1     // 1 in 10: it holds by friction, and a millimetre of drive is a tenth of push
	wedgeShare    = 0.5     // of its wall, at most
	wedgeOut      = 1.0 / 3 // of its length stands out of the other when the pair just touches
	wedgeRoom     = 1.0 / 6 // of its length is free at either end of the pair
	leastWedgeMM  = 15.0    // what fingers still hold
	twoWedgesMM   = 300.0   // a wall so long takes two pairs, so that the board does not turn
)

// wedgeFor is the wedge that pushes from a wall whose pockets have corners rounded by r.
func wedgeFor(wallMM, r float64) Wedge {
	// Beside the pair two roundings at either end of the pocket, the room, and some straight.
	const corners = 7
	return Wedge{
		LengthMM: math.Min(math.Min(wedgeLengthMM, wedgeShare*wallMM), (wallMM-corners*r)/(1+wedgeOut)), ThinMM: wedgeThinMM,
	}
}

// stations are the middles of the pairs along the wall; none on one too short for a wedge.
func (k Wedge) stations(wallMM float64) []float64 {
	switch {
	case k.LengthMM < leastWedgeMM:
		return nil
	case wallMM < twoWedgesMM:
		return []float64{wallMM / 2}
	}
	return []float64{wallMM / 4, 3 * wallMM / 4}
}

// OutMM is how far either stands out of the other when the pair just touches.
func (k Wedge) OutMM() float64 { return wedgeOut * k.LengthMM }

// NominalMM is how wide the pair is when it just touches.
//
//	w = 2 thin + slope (length - out)
func (k Wedge) NominalMM() float64 {
	return 2*k.ThinMM + float64(WedgeSlope*(1-wedgeOut)*k.LengthMM)
}

// pocketMM is the length of the pair's pocket, whose corners are rounded by r.
func (k Wedge) pocketMM(r float64) float64 {
	return float64((1+wedgeOut)*k.LengthMM) + 2*math.Max(r, wedgeRoom*k.LengthMM)
}

// Outline is the wedge, counter-clockwise from its thick end's right corner at the origin, its
// straight side along +X.
func (k Wedge) Outline() geom.Loop {
	return geom.FromPoints([]geom.Vec{{}, {X: k.LengthMM}, {X: k.LengthMM, Y: k.ThinMM},
		{Y: k.thickMM()}})
}

// thickMM is the width of its thick end.
func (k Wedge) thickMM() float64 { return k.ThinMM + float64(WedgeSlope*k.LengthMM) }

// Pair is what the pair covers as it just touches, counter-clockwise.
func (k Wedge) Pair() geom.Loop {
	along := k.Push.Left().Scale((1 + wedgeOut) * k.LengthMM / 2)
	back := k.At.Sub(k.Push.Scale(k.NominalMM()))
	return geom.FromPoints([]geom.Vec{k.At.Sub(along), k.At.Add(along), back.Add(along), back.Sub(along)})
}

// wedgeApartMM is between wedges on their sheet. Common practice, no source.
const wedgeApartMM = 6.0

// LayWedges lays the wedges of pairs out beyond the far end of a plate, a pair's two turned head to
// tail, pairs side by side as far as the plate is wide.
func LayWedges(pairs []Wedge, edge geom.Loop) (out []geom.Loop) {
	box := edge.Bounds()
	at := geom.Vec{X: box.Max.X + wedgeApartMM, Y: box.Min.Y}
	deep := 0.0
	for _, k := range pairs {
		if at.Y+k.LengthMM > box.Max.Y {
			at = geom.Vec{X: at.X + deep + wedgeApartMM, Y: box.Min.Y}
			deep = 0
		}
		across := k.ThinMM + k.thickMM() + wedgeApartMM
		one := geom.Rigid{Angle: -math.Pi / 2, Shift: geom.Vec{X: at.X, Y: at.Y + k.LengthMM}}
		two := geom.Rigid{Angle: math.Pi / 2, Shift: geom.Vec{X: at.X + across, Y: at.Y}}
		out = append(out, one.Loop(k.Outline()), two.Loop(k.Outline()))
		at.Y += k.LengthMM + wedgeApartMM
		deep = math.Max(deep, across)
	}
	return out
}
