package pocket

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Size is the bore and what it follows from, on the diameter, millimetres.
type Size struct {
	BoreMM       float64 // finished
	Inlays       int     // measured; 0: the bore was given, and the rest is 0
	LargestMM    float64
	LoosestGapMM float64 // bore less smallest inlay

	// OneMore is the probability that one more inlay of the batch enters; ok is false for
	// fewer than three.
	OneMore struct {
		Odds float64
		OK   bool
	}
}

func median(x []float64) float64 {
	s := slices.Sorted(slices.Values(x))
	n := len(s)
	return (s[(n-1)/2] + s[n/2]) / 2
}

// size chooses the bore. Every measured inlay enters with the glue gap:
//
//	bore = max(largest + gap, the bore that is there)
//
// Of n diameters with mean m and standard deviation s, one more of the batch enters with
// the probability of Student's t with n-1 degrees of freedom below
//
//	(bore - m) / (s sqrt(1 + 1/n))
//
// s never under half the micrometer's error (standard: the prediction interval of a normal
// batch, any textbook of statistics).
func (f Feature) size(gapMM float64) Size {
	n := len(f.InlaysMM)
	if n == 0 {
		return Size{BoreMM: f.BoreMM}
	}
	z := Size{Inlays: n, LargestMM: slices.Max(f.InlaysMM)}
	z.BoreMM = max(z.LargestMM+gapMM, f.ThereMM)
	z.LoosestGapMM = z.BoreMM - slices.Min(f.InlaysMM)
	if n >= fewestInlays {
		mean, s := stat.MeanStdDev(f.InlaysMM, nil)
		t := distuv.StudentsT{Sigma: 1, Nu: float64(n - 1)}
		z.OneMore.OK = true
		z.OneMore.Odds = t.CDF((z.BoreMM - mean) / (math.Max(s, micrometerMM/2) * math.Sqrt(1+1/float64(n))))
	}
	return z
}

// Extremes returns the smallest hole that is to be cut, the first cut of the narrowest
// pocket, and the depth of the deepest below the face on the datum line.
func (s Spec) Extremes() (leastMM, deepestMM float64) {
	leastMM = math.Inf(1)
	for _, f := range s.Features {
		size := f.size(s.GlueGapMM)
		leastMM = math.Min(leastMM, size.BoreMM-s.UndersizeMM)
		deepestMM = math.Max(deepestMM, f.seat(s.Board, size.BoreMM).DepthMM)
	}
	return leastMM, deepestMM
}

// Cut is one boring of a pocket: the next larger size.
type Cut struct {
	BoreMM  float64 // diameter
	HelixMM float64 // radius of the circle that the cutter's centre runs on
}

// cuts lists the borings up to the finished diameter:
//
//	bore(n) = min(final, final - undersize + (n-1) step),   helix = (bore - cutter)/2
//
// A cut that the cutter does not go into is left out, and so is one of air: within air, the
// diameter of a bore that is there and is deep enough. The last is the finished diameter
// itself, and none is larger.
func (s Spec) cuts(final, air float64) []Cut {
	var out []Cut
	add := func(bore float64) {
		if bore > air+mergeMM {
			out = append(out, Cut{bore, (bore - s.CutterMM) / 2})
		}
	}
	for i := 0; s.UndersizeMM > 0; i++ {
		bore := final - s.UndersizeMM + float64(float64(i)*s.StepMM)
		if bore > final-mergeMM {
			break
		}
		if bore >= s.CutterMM+2*leastHelixMM {
			add(bore)
		}
	}
	add(final)
	return out
}
