package pocket

import (
	"cmp"
	"math"
)

// drop returns how far a crown of radius r has fallen at v; 0 for r = 0. In the form
//
//	v^2 / (r + sqrt(r^2 - v^2))  =  r - sqrt(r^2 - v^2)
//
// which keeps its digits for flat crowns. v beyond r gives r.
func drop(r, v float64) float64 {
	switch {
	case r == 0:
		return 0
	case math.Abs(v) >= r:
		return r
	}
	return v * v / (r + math.Sqrt((r-v)*(r+v)))
}

// surface returns the height of the face that is cut above the other one at v as it is
// bored; on a crowned board whose underside is cut that of the crown's middle.
func (b Board) surface(v float64) float64 {
	if b.Under {
		return b.ThicknessMM
	}
	return b.ThicknessMM - drop(b.CrownRadiusMM, v)
}

// finished returns the same after sanding; sanding adds no wood.
func (b Board) finished(v float64) float64 {
	if b.Under {
		return b.ThicknessMM
	}
	return b.topHeight(v)
}

// topHeight returns the height of the top above the underside at v in the end.
func (b Board) topHeight(v float64) float64 {
	r := b.FinalRadiusMM
	r = cmp.Or(r, b.CrownRadiusMM)
	return math.Min(b.ThicknessMM-drop(b.CrownRadiusMM, v), b.ThicknessMM-b.SandMM-drop(r, v))
}

// Seat is how a pocket and its inlay sit in the board, in millimetres; the inlay's figures
// are 0 without an inlay.
type Seat struct {
	DepthMM      float64 // floor below the surface on the datum line, where Z zero belongs
	AtFeatureMM  float64 // floor below the surface at the feature's middle
	UnderMM      float64 // board left under the floor
	FarVMM       float64 // |v| of the disc's farthest point from the datum line
	FallMM       float64 // how far that surface lies lower here than at Z0, by the board's bow
	LeastDepthMM float64 // floor below the surface there; not above 0: no full pocket

	HasInlay     bool
	LeastProudMM float64 // inlay's top over the surface at the disc's nearest point; negative: under it
	LeftMM       float64 // least thickness of inlay after sanding, over the whole disc
}

// BelowZ0MM is how deep the program goes.
func (s Seat) BelowZ0MM() float64 { return s.DepthMM + s.FallMM }

// seat computes the seat of an inlay on the flat floor of a bore.
//
//	floor  = surface(v) - depth              when a depth is given
//	floor  = surface(near) + proud - t       otherwise
//	proud  = floor + t - surface(v)          least at near
//	left   = min(t, finished(v) - floor)     least at far
//
// surface and finished fall with |v|, so the extremes over the disc are exact.
func (f Feature) seat(b Board, boreMM float64) Seat {
	v, t := math.Abs(f.VMM), f.InlayThicknessMM
	near, far := math.Max(0, v-boreMM/2), v+boreMM/2
	floor := b.surface(v) - f.DepthMM
	if f.DepthMM == 0 {
		floor = b.surface(near) + f.ProudMM - t
	}
	s := Seat{DepthMM: b.ThicknessMM - floor, AtFeatureMM: b.surface(v) - floor, UnderMM: floor, FarVMM: far,
		LeastDepthMM: b.surface(far) - floor, HasInlay: t > 0, FallMM: f.FallMM}
	if b.Under {
		s.UnderMM -= b.ThicknessMM - b.topHeight(far)
	}
	if s.HasInlay {
		s.LeastProudMM = floor + t - b.surface(near)
		s.LeftMM = math.Min(t, b.finished(far)-floor)
	}
	return s
}
