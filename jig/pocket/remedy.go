package pocket

import (
	"fmt"
	"math"
)

// Remedy is what would help against a finding, and as data: what it changes and the least or
// largest figure that makes the finding go away, to a hundredth on the safe side.
type Remedy struct {
	// Of is "bore", "depth", "inlay.measured" (all of them), "inlay.thickness" or "cutter";
	// "": nothing of the plan.
	Of   string
	ToMM float64
	Says string
}

// floorSaidMM keeps a floor that is bored deeper clear of the surface. Derived: the
// fineness of what is told.
const floorSaidMM = 0.01

// floorDown and ceilUp round to hundredths, forgiving what arithmetic loses.
func floorDown(x float64) float64 { return math.Floor(x*100+sameMM) / 100 }

func ceilUp(x float64) float64 { return math.Ceil(x*100-sameMM) / 100 }

func up(x float64) string { return fmt.Sprintf("%.2f mm", ceilUp(x)) }

func atLeast(what, of string, mm float64) Remedy {
	return Remedy{of, ceilUp(mm), fmt.Sprintf("%s of at least %s", what, up(mm))}
}

func atMost(what, of string, mm float64) Remedy {
	return Remedy{of, floorDown(mm), fmt.Sprintf("%s of at most %.2f mm", what, floorDown(mm))}
}

// thicker asks for inlays that are thicker by mm.
func (f Feature) thicker(mm float64) Remedy {
	return atLeast("inlays", "inlay.thickness", f.InlayThicknessMM+mm)
}

// deeper asks for a floor that is lower by mm, negative for a higher one. Under an inlay
// the floor follows from its thickness.
func (f Feature) deeper(mm float64) Remedy {
	what, of, from := "a depth", "depth", f.DepthMM
	if f.InlayThicknessMM > 0 && f.DepthMM == 0 {
		what, of, from = "inlays", "inlay.thickness", f.InlayThicknessMM
	}
	if mm < 0 {
		return atMost(what, of, from+mm)
	}
	return atLeast(what, of, from+mm)
}

// smaller asks for a bore whose rim lies farther in by mm; where the cutter would not go
// into that, for another place.
func (f Feature) smaller(bore, mm float64, s Spec) Remedy {
	bore -= 2 * mm
	switch {
	case bore < s.CutterMM+2*leastHelixMM || bore < f.ThereMM:
		return Remedy{Says: fmt.Sprintf("another place, %.2f mm away", ceilUp(mm))}
	case len(f.InlaysMM) > 0:
		return atMost("inlays", "inlay.measured", bore-s.GlueGapMM)
	}
	return atMost("a bore", "bore", bore)
}

// loose reports whether the bore that is there leaves an inlay more than a glue line.
func (f Feature) loose(z Size) bool {
	return f.ThereMM > 0 && z.BoreMM <= f.ThereMM+mergeMM && z.LoosestGapMM > visibleGapMM+sameMM
}

// air is the diameter within which a cut would meet no wood, or serve no inlay; 0: none.
// Above a floor that must go deeper a cut under size is of use: it shows by its ledge
// whether it lies in the middle.
func (f Feature) air(z Size, h Seat) float64 {
	if f.loose(z) || f.ThereDeepMM >= h.AtFeatureMM-mergeMM {
		return f.ThereMM
	}
	return 0
}

// tighter asks for inlays that fill the bore that is there, or for another bore.
func (f Feature) tighter(z Size, gapMM float64) Remedy {
	r := atLeast("inlays", "inlay.measured", f.ThereMM-visibleGapMM)
	r.Says += fmt.Sprintf(" (%.2f mm would fit as wanted)", floorDown(f.ThereMM-gapMM))
	if wall := (f.ThereMM - z.LargestMM) / 2; wall >= bushWallMM {
		r.Says += fmt.Sprintf(", or a bush with a wall of %.2f mm", floorDown(wall-gapMM))
	}
	r.Says += fmt.Sprintf("; or glue in plugs of %.2f mm and bore them to %.2f mm (leave bore out of the job)",
		floorDown(f.ThereMM-gapMM), z.LargestMM+gapMM)
	return r
}
