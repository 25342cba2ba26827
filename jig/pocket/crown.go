package pocket

import "math"

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

// surface returns the height of the top above the underside at v as it is bored.
func (b Board) surface(v float64) float64 { return b.ThicknessMM - drop(b.CrownRadiusMM, v) }

// finished returns the same after sanding; sanding adds no wood.
func (b Board) finished(v float64) float64 {
	r := b.FinalRadiusMM
	if r == 0 {
		r = b.CrownRadiusMM
	}
	return math.Min(b.surface(v), b.ThicknessMM-b.SandMM-drop(r, v))
}

// Seat is how a pocket and its inlay sit in the board. Heights and depths in
// millimetres; the inlay's figures are 0 without an inlay.
type Seat struct {
	FloorMM        float64 // floor above the board's underside
	DepthMM        float64 // floor below the surface on the datum line
	SurfaceDepthMM float64 // floor below the surface at the pocket's centre
	DropMM         float64 // surface at the centre below that on the datum line
	NearVMM        float64 // |v| of the disc's point nearest to the datum line
	FarVMM         float64 // |v| of its farthest point

	HasInlay     bool
	LeastProudMM float64 // inlay's top over the surface at NearVMM; negative: under it
	MostProudMM  float64 // at FarVMM
	LeftMM       float64 // least thickness of inlay after sanding, over the whole disc
	LeastDepthMM float64 // floor below the surface at FarVMM; not above 0: no full pocket
	UnderMM      float64 // board left under the floor, or under the hole there when it is deeper, over the hollow
	ShimMM       float64 // the hole there is deeper than the floor by this; 0: no shim
}

// seat computes the seat of an inlay on the flat floor of a bore.
//
//	floor  = surface(near) + proud - t       when no depth is given
//	proud  = floor + t - surface(v)          least at near, most at far
//	left   = min(t, finished(v) - floor)     least at far
//	under  = min(floor, T - depth of the hole there) - hollow
//
// surface and finished fall with |v|, so the extremes over the disc are exact.
func (f Feature) seat(b Board, boreMM float64) Seat {
	v, r, t := math.Abs(f.VMM), boreMM/2, f.InlayThicknessMM
	s := Seat{NearVMM: math.Max(0, v-r), FarVMM: v + r, HasInlay: t > 0}
	switch {
	case f.DepthMM == 0:
		s.FloorMM = b.surface(s.NearVMM) + f.ProudMM - t
	case f.DepthFrom == LocalSurface:
		s.FloorMM = b.surface(v) - f.DepthMM
	default:
		s.FloorMM = b.ThicknessMM - f.DepthMM
	}
	s.DepthMM = b.ThicknessMM - s.FloorMM
	s.DropMM = drop(b.CrownRadiusMM, v)
	s.SurfaceDepthMM = s.DepthMM - s.DropMM
	s.LeastDepthMM = b.surface(s.FarVMM) - s.FloorMM
	s.UnderMM = math.Min(s.FloorMM, b.ThicknessMM-f.HoleDepthMM) - f.HollowMM
	if f.HoleDepthMM > 0 {
		s.ShimMM = math.Max(0, f.HoleDepthMM-s.DepthMM)
	}
	if s.HasInlay {
		s.LeastProudMM = s.FloorMM + t - b.surface(s.NearVMM)
		s.MostProudMM = s.FloorMM + t - b.surface(s.FarVMM)
		s.LeftMM = math.Min(t, b.finished(s.FarVMM)-s.FloorMM)
	}
	return s
}
