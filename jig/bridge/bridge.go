// Package bridge holds the bridges of uncut wood that keep a part in the frame of its blank while
// it is cut free, and until it is glued: how many, where, and what they bear.
//
// Lengths are millimetres, forces newtons, stresses megapascals.
package bridge

import (
	"fmt"
	"math"

	"reseat/jig/beam"
	"reseat/jig/geom"
)

// Spec is a part that is cut free along both long sides, its grain along them.
type Spec struct {
	LengthMM, WidthMM, ThicknessMM float64 // of the part; the width is the least
	Wood                           beam.Material
	GapMM                          float64 // between part and frame: the cutter's way, and the bridges' length
	BridgeWidthMM                  float64 // of a bridge along the side
	BridgeMM                       float64 // how thick it is left
	SidewaysN, LiftN               float64 // most of the cutter (package holddown)
}

// Plan is where bridges stand, and what the worst of them bears.
type Plan struct {
	PerSide    int
	At         []float64 // stations of their middles, the same on both sides
	ShareMost  float64   // of the cutter's force that one bridge bears, the cutter at an end
	SideMM     float64   // how far the part's end gives sideways
	LiftMM     float64   // how far it is lifted: at its end, or midway between bridges if that is more
	StressMPa  float64   // largest in a bridge, across the grain
	AllowedMPa float64
}

// WidthMM is the width of a bridge along the side. Common practice, no source.
const WidthMM = 6.0

// Thickness is how thick a bridge is left of a part: a third of it, 1.5 to 4 mm, which a small saw
// parts without a split. Common practice, no source.
func Thickness(partMM float64) float64 { return min(partMM, max(1.5, min(4, partMM/3))) }

const (
	// factor over the cutter's force, as for tape (package holddown). Common practice, no source.
	factor = 2.0
	// apartMM is how far apart bridges stand at most. Common practice, no source.
	apartMM = 150.0
	// mostDeflectionMM is what the part may give under the cutter: it is seen in the cut edge, which the
	// strips' trimming takes off. Common practice, no source.
	mostDeflectionMM = 0.1
	// leastEnd is how far the outermost bridges stand from the ends, in parts of the distance
	// between bridges. Common practice: a half, so that each holds as much of the side.
	leastEnd  = 0.5
	mostCount = 40
)

// Outlines are the bridges from above: beside the board, on either side at each station, as long as
// the cutter's way is wide; none where the board has no side.
func Outlines(board geom.Loop, at []float64, cutterMM float64) (out []geom.Loop) {
	for _, u := range at {
		sides := board.Across(u, chordMM)
		if len(sides) == 0 {
			continue
		}
		for _, v := range [2]float64{sides[0] - cutterMM, sides[len(sides)-1]} {
			out = append(out, geom.Rect(geom.Box{Min: geom.Vec{X: u - WidthMM/2, Y: v},
				Max: geom.Vec{X: u + WidthMM/2, Y: v + cutterMM}}))
		}
	}
	return out
}

// chordMM is how closely a round side is followed.
const chordMM = 0.05

// Lay returns the fewest bridges that hold with a factor of two; the error says what would do.
func Lay(s Spec) (Plan, error) {
	for n := max(2, int(math.Ceil(s.LengthMM/apartMM))); n <= mostCount; n++ {
		if float64(n)*s.BridgeWidthMM*2 > s.LengthMM {
			break
		}
		if p := s.with(n); p.StressMPa <= p.AllowedMPa && p.SideMM <= mostDeflectionMM && p.LiftMM <= mostDeflectionMM {
			return p, nil
		}
	}
	return Plan{}, fmt.Errorf("no number of bridges %g mm wide and %g thick holds the part: leave them wider or "+
		"thicker, or "+
		"cut in shallower passes", s.BridgeWidthMM, s.BridgeMM)
}

// with is the plan of n bridges on each side.
//
// The part is taken as stiff between them and turns on them as on springs. A force at its end,
// half the length from the middle, loads the outermost by
//
//	share = 1/(2 n) + (L/2) x_n / (2 sum x^2)
//
// Each bridge is a bar that no end of can turn, bent along the side, drawn across it or bent up:
//
//	d = F l^3/(12 E I) + F l/(k G A),  sigma = 6 (F l/2)/(b h^2)
//
// E is that across the grain: the bridges of a long side break across it, and are its weakest
// place. Reference: Roark, as package beam.
func (s Spec) with(n int) Plan {
	p := Plan{PerSide: n, AllowedMPa: s.Wood.Strength.Least / factor}
	pitch := s.LengthMM / float64(n)
	squares := 0.0
	for i := range n {
		u := pitch * (leastEnd + float64(i))
		p.At = append(p.At, u)
		squares += (u - s.LengthMM/2) * (u - s.LengthMM/2)
	}
	p.ShareMost = 1/(2*float64(n)) + s.LengthMM/2*(p.At[n-1]-s.LengthMM/2)/(2*squares)

	e := s.Wood.Across.Least
	along := beam.Bar{WidthMM: s.BridgeMM, HeightMM: s.BridgeWidthMM, ModulusMPa: e, ShearMPa: rolling * s.Wood.Shear}
	up := beam.Bar{WidthMM: s.BridgeWidthMM, HeightMM: s.BridgeMM, ModulusMPa: e, ShearMPa: rolling * s.Wood.Shear}
	area := s.BridgeWidthMM * s.BridgeMM
	side, lift := p.ShareMost*s.SidewaysN, p.ShareMost*s.LiftN
	// The part's end moves more than its outermost bridge, by its lever.
	lever := s.LengthMM / 2 / (p.At[n-1] - s.LengthMM/2)
	p.SideMM = lever * max(along.Guided(s.GapMM, side), side*s.GapMM/(e*area))
	// Midway between four bridges the part is a bar held at both ends: F S^3/(192 E I).
	part := beam.Bar{WidthMM: s.WidthMM, HeightMM: s.ThicknessMM, ModulusMPa: s.Wood.Modulus.Least}
	midway := s.LiftN*pitch*pitch*pitch/(192*part.Stiffness()) + up.Guided(s.GapMM, s.LiftN/4)
	p.LiftMM = max(lever*up.Guided(s.GapMM, lift), midway)
	// At worst along the side and up at once.
	p.StressMPa = along.Stress(side*s.GapMM/2) + up.Stress(lift*s.GapMM/2) + side/area
	return p
}

// rolling is the shear modulus across the grain in parts of that along it: 195 of 595 MPa (standard:
// beech, Journal of Wood Science 2019, s10086-019-1794-4, table 1).
const rolling = 195.0 / 595
