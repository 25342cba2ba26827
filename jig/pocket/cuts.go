package pocket

import "math"

// Cut is one boring of a pocket: the next larger size.
type Cut struct {
	Step     int     // from 1
	BoreMM   float64 // diameter
	HelixMM  float64 // radius of the circle that the cutter's centre runs on
	Finished bool    // the last cut, at the finished diameter
}

const (
	// mergeMM is the least increase that is worth a cut of its own: a machine that
	// counts in micrometres cannot do half of one.
	mergeMM = 0.0005
	// leastHelixMM is the smallest circle that a cutter's centre can run on; below it
	// the cutter is plunged.
	leastHelixMM = 0.005
)

// cuts lists the borings up to the finished diameter:
//
//	bore(n) = min(final, final - undersize + (n-1) step),   helix = (bore - cutter)/2
//
// A cut that the cutter does not go into, or that is no larger than the hole there,
// is left out. The last is the finished diameter itself, and none is larger.
func cuts(final, hole float64, k Cutting) []Cut {
	var out []Cut
	from := math.Max(k.CutterMM+2*leastHelixMM, hole+mergeMM)
	add := func(bore float64, last bool) {
		out = append(out, Cut{Step: len(out) + 1, BoreMM: bore, HelixMM: (bore - k.CutterMM) / 2, Finished: last})
	}
	if k.UndersizeMM > 0 {
		for i := range mostCuts {
			bore := final - k.UndersizeMM + float64(i)*k.StepMM
			if bore > final-mergeMM {
				break
			}
			if bore >= from {
				add(bore, false)
			}
		}
	}
	add(final, true)
	return out
}
