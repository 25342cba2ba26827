package pocket

import (
	"errors"
	"fmt"
	"math"

	"reseat/jig/geom"
)

// Spec is what the pockets are planned from: sizes that a job file can hold.
type Spec struct {
	Board       Board
	Features    []Feature
	CutterMM    float64 // as measured over its cutting edges
	GlueGapMM   float64 // bore over inlay, on the diameter; 0: none
	UndersizeMM float64 // first cut under the finished diameter; 0: one cut
	StepMM      float64 // on the diameter, from cut to cut
	OpaqueMM    float64 // least inlay left that does not show the floor
}

// Board is the tapered board. Lengths in millimetres.
type Board struct {
	Outline                            geom.Loop // of a board that is not straight-sided; nil: none
	LengthMM, WidthStartMM, WidthEndMM float64
	ThicknessMM                        float64 // on the datum line
	CrownRadiusMM                      float64 // of the top as it is bored; 0: flat
	// FinalRadiusMM is the crown that the board and its inlays are sanded to
	// afterwards; 0: CrownRadiusMM. A flat board that is radiused only after the
	// inlays are in has CrownRadiusMM 0 and FinalRadiusMM given.
	FinalRadiusMM float64
	SandMM        float64 // what sanding takes off the datum line
	// Under: the pockets are cut into the flat underside; crown and sanding are the other
	// face's.
	Under bool
	Frets []Fret
}

// Fret is a slot across the whole board.
type Fret struct {
	Name      string
	StationMM float64 // of the slot's middle
	WidthMM   float64 // of the slot
}

// Feature is a pocket to be bored again, with an inlay or without.
type Feature struct {
	Name     string
	UMM, VMM float64
	BoreMM   float64   // finished diameter; without an inlay
	InlaysMM []float64 // measured diameters of the inlays that must enter

	// InlayThicknessMM is the thickness of the thinnest inlay; 0: no inlay, and then
	// DepthMM is needed.
	InlayThicknessMM float64
	// ProudMM is how far the inlay must at least stand out over its whole rim before
	// it is sanded.
	ProudMM float64
	// DepthMM of the floor below the face at the feature's middle; 0: the least depth that
	// a flat floor may have for ProudMM.
	DepthMM float64
	// FallMM is how far a bowed board's face lies lower here than where Z0 is touched.
	FallMM float64
	// ThereMM is the diameter of the bore that is there already, and ThereDeepMM its depth
	// at the feature's middle; 0: none, or not known.
	ThereMM, ThereDeepMM float64
}

// Common practice, no source, where nothing else is said.
const (
	leastFloorMM = 1.5  // of board under a pocket: a thinner floor gives under the cutter or breaks through
	leastWebMM   = 1.0  // of wood between a pocket and a fret, an edge or a pocket: a thinner web crumbles
	visibleGapMM = 0.2  // on the diameter, from which a glue line shows
	bushWallMM   = 0.5  // of a bush between bore and disc: a thinner ring is hard to turn
	tooDeepMM    = 0.05 // of a bore under its disc: a sheet of paper
	inlayOffMM   = 0.5  // from the median of its batch: more is a slip, or an inlay for another pocket
	mostCuts     = 200

	// oneMoreOdds is the probability that one more inlay of the batch should enter with.
	oneMoreOdds = 0.95
	// fewestInlays that a spread is told from.
	fewestInlays = 3
	// micrometerMM is the error of one reading, plus or minus, 95 %: half of the 4 um that
	// ISO 3611 allows a micrometer (recalled).
	micrometerMM = 0.002

	// mergeMM is the least increase that is worth a cut of its own: a machine that counts
	// in micrometres cannot do half of one.
	mergeMM = 0.0005
	// leastHelixMM is the smallest circle that a cutter's centre can run on; below it the
	// cutter is plunged.
	leastHelixMM = 0.005
	// sameMM forgives rounding: a nanometre.
	sameMM = 1e-6
)

// check returns what cannot be meant.
func (s Spec) check() error {
	var faults []error
	if n := s.UndersizeMM / s.StepMM; s.UndersizeMM > 0 && !(n <= mostCuts-1) {
		faults = append(faults, fmt.Errorf("steps of %.4g mm from %.4g mm under size are more than %d cuts; "+
			"take larger steps", s.StepMM, s.UndersizeMM, mostCuts))
	}
	for _, f := range s.Features {
		if len(f.InlaysMM) == 0 {
			continue
		}
		m := median(f.InlaysMM)
		for i, d := range f.InlaysMM {
			if math.Abs(d-m) > inlayOffMM {
				faults = append(faults, fmt.Errorf("%s: inlay %d measures %g mm where the middle one measures %g; "+
					"more than %g mm off is a slip, or an inlay for another pocket", f.Name, i+1, d, m, inlayOffMM))
			}
		}
	}
	return errors.Join(faults...)
}
