package pocket

import "fmt"

// From names the surface that a given depth is measured from.
type From string

// The surfaces of a depth. The zero value is the datum line.
const (
	DatumLine    From = ""        // the surface on the datum line
	LocalSurface From = "surface" // the surface at the pocket's centre
)

// Spec is what the pockets are planned from.
type Spec struct {
	Board    Board
	Features []Feature
	Cutting  Cutting
	Limits   Limits
}

// Board is the tapered board. Lengths in millimetres.
type Board struct {
	LengthMM, WidthStartMM, WidthEndMM float64
	ThicknessMM                        float64 // on the datum line
	CrownRadiusMM                      float64 // of the top as it is bored; 0: flat
	// FinalRadiusMM is the crown that the board and its inlays are sanded to
	// afterwards; 0: CrownRadiusMM. A flat board that is radiused only after the
	// inlays are in has CrownRadiusMM 0 and FinalRadiusMM given.
	FinalRadiusMM float64
	SandMM        float64 // what sanding takes off the datum line
	Frets         []Fret
}

// Fret is a slot across the whole board.
type Fret struct {
	Name      string
	StationMM float64 // of the slot's middle
	WidthMM   float64 // of the slot; 0: a line
}

// Feature is a pocket to be bored again.
type Feature struct {
	Name     string
	UMM, VMM float64
	// BoreMM is the finished diameter wanted. It may be left 0 with InlaysMM, which
	// win when both are given.
	BoreMM   float64
	InlaysMM []float64 // measured diameters of the inlays that must enter

	// InlayThicknessMM is the thickness of the thinnest inlay; 0: no inlay, and then
	// DepthMM is needed.
	InlayThicknessMM float64
	// ProudMM is how far the inlay must at least stand out over its whole rim before
	// it is sanded.
	ProudMM float64
	// DepthMM of the floor; 0: the least depth that a flat floor may have for
	// ProudMM, see New.
	DepthMM   float64
	DepthFrom From

	HoleMM      float64 // diameter of the hole that is there already; 0: none
	HoleDepthMM float64 // its depth below the surface on the datum line; 0: not known
	HollowMM    float64 // what is cut away under the pocket, from the underside: a channel's depth
}

// Cutting says how the pockets are bored.
type Cutting struct {
	CutterMM    float64 // as measured over its cutting edges
	GlueGapMM   float64 // bore over inlay, on the diameter; 0: none
	UndersizeMM float64 // first cut under the finished diameter; 0: one cut
	StepMM      float64 // on the diameter, from cut to cut
	// OneMore makes the bore large enough for one more inlay of the batch, with
	// 95 %, where that is larger than all measured ones. It needs three of them.
	OneMore bool
}

// Limits are the figures that findings are judged by; 0 of each means its default.
type Limits struct {
	OpaqueMM float64 // least inlay left that does not show the floor: UsualOpaqueMM
	FloorMM  float64 // least board left under a pocket: UsualFloorMM
	WebMM    float64 // least wood between a pocket and a fret, an edge or a pocket: UsualWebMM
}

// Defaults of Limits.
const (
	// UsualOpaqueMM: common practice, no source; shell and light wood show the glue
	// and the floor when they are thinner.
	UsualOpaqueMM = 1.0
	// UsualFloorMM: common practice, no source; a thinner floor gives under the
	// cutter or breaks through.
	UsualFloorMM = 1.5
	// UsualWebMM: common practice, no source; a thinner web crumbles at the cutter's
	// edge.
	UsualWebMM = 1.0
)

// Bounds of what can be meant. Common practice, no source, and wide: only a slip
// or a wrong unit falls outside.
const (
	longestMM     = 5000.0
	widestMM      = 1000.0
	thickestMM    = 200.0
	flattestMM    = 1e5 // a crown of 100 m drops 0.02 mm in the width of the widest neck
	smallestMM    = 0.3 // diameter of a bore, an inlay, a cutter
	largestMM     = 200.0
	widestSlotMM  = 20.0
	largestGapMM  = 2.0
	finestStepMM  = 0.005 // a cutter springs by more
	mostCuts      = 200
	mostFeatures  = 1000
	mostInlays    = 10000
	inlayOffMM    = 0.5 // from the median: more is a slip, or an inlay for another pocket
	leastThickMM  = 0.05
	mostProudMM   = 20.0
	sameLengthMM  = 1e-6 // lengths that differ by rounding only: a nanometre
	leastRadiusMM = 1.0
)

// checker gathers faults.
type checker struct {
	feature string
	faults  []error
}

func (c *checker) add(e error) { c.faults = append(c.faults, e) }

// within asks that v lies between least and most; NaN does not.
func (c *checker) within(what string, v, least, most float64) bool {
	ok := v >= least && v <= most
	if !ok {
		c.add(&InputError{c.feature, what, v, fmt.Sprintf("%g to %g", least, most)})
	}
	return ok
}

// or is within for an entry that may be left 0.
func (c *checker) or(what string, v, least, most float64) bool {
	return v == 0 || c.within(what, v, least, most)
}

func (s Spec) check() []error {
	var c checker
	s.Board.check(&c)
	s.Cutting.check(&c)
	c.within("least opaque thickness (mm)", s.Limits.OpaqueMM, 0, thickestMM)
	c.within("least floor (mm)", s.Limits.FloorMM, 0, thickestMM)
	c.within("least web (mm)", s.Limits.WebMM, 0, widestMM)
	if n := len(s.Features); n == 0 || n > mostFeatures {
		c.add(&InputError{"", "number of features", float64(n), fmt.Sprintf("1 to %d", mostFeatures)})
		return c.faults
	}
	for i, f := range s.Features {
		f.check(&c, f.called(i), s.Cutting)
	}
	return c.faults
}

// called is the feature's name in messages.
func (f Feature) called(i int) string {
	if f.Name == "" {
		return fmt.Sprintf("feature %d", i+1)
	}
	return f.Name
}

func (b Board) check(c *checker) {
	c.within("length of the board (mm)", b.LengthMM, 1, longestMM)
	wide := c.within("width at the start (mm)", b.WidthStartMM, 1, widestMM)
	wide = c.within("width at the end (mm)", b.WidthEndMM, 1, widestMM) && wide
	thick := c.within("thickness of the board (mm)", b.ThicknessMM, 0.1, thickestMM)
	radius := c.or("crown radius (mm)", b.CrownRadiusMM, leastRadiusMM, flattestMM)
	radius = c.or("crown radius after sanding (mm)", b.FinalRadiusMM, leastRadiusMM, flattestMM) && radius
	sand := c.within("sanded off the datum line (mm)", b.SandMM, 0, thickestMM)
	for i, f := range b.Frets {
		name := fretName(f, i)
		c.within("station of fret "+name+" (mm)", f.StationMM, -longestMM, 2*longestMM)
		c.within("slot of fret "+name+" (mm)", f.WidthMM, 0, widestSlotMM)
	}
	if wide && thick && radius && sand {
		b.checkCrown(c)
	}
}

// checkCrown asks that the crown reaches over the board and leaves it an edge.
func (b Board) checkCrown(c *checker) {
	half := max(b.WidthStartMM, b.WidthEndMM) / 2
	for _, r := range []float64{b.CrownRadiusMM, b.FinalRadiusMM} {
		if r != 0 && r < half {
			c.add(&InputError{"", "crown radius (mm)", r, fmt.Sprintf("at least half the board's width, %g", half)})
			return
		}
	}
	if edge := b.finished(half); edge <= 0 {
		c.add(&InputError{"", "board's edge after sanding (mm)", edge, "more than 0: a thicker board or a flatter crown"})
	}
}

func (k Cutting) check(c *checker) {
	c.within("diameter of the cutter (mm)", k.CutterMM, smallestMM, largestMM)
	c.within("glue gap (mm)", k.GlueGapMM, 0, largestGapMM)
	under := c.within("undersize of the first cut (mm)", k.UndersizeMM, 0, largestMM)
	if k.UndersizeMM > 0 || k.StepMM != 0 {
		if c.within("step (mm)", k.StepMM, finestStepMM, largestMM) && under && k.UndersizeMM/k.StepMM > mostCuts-1 {
			c.add(&InputError{"", "step (mm)", k.StepMM, fmt.Sprintf("at least %.4g, so that there are at most %d cuts", k.UndersizeMM/(mostCuts-1), mostCuts)})
		}
	}
}

func (f Feature) check(c *checker, name string, k Cutting) {
	c.feature = name
	defer func() { c.feature = "" }()
	c.within("u (mm)", f.UMM, -longestMM, 2*longestMM)
	c.within("v (mm)", f.VMM, -widestMM, widestMM)
	if len(f.InlaysMM) == 0 {
		c.within("bore (mm)", f.BoreMM, smallestMM, largestMM)
	} else {
		c.or("bore (mm)", f.BoreMM, smallestMM, largestMM)
	}
	f.checkInlays(c, k)
	c.or("thickness of the inlay (mm)", f.InlayThicknessMM, leastThickMM, thickestMM)
	c.within("proud height (mm)", f.ProudMM, 0, mostProudMM)
	c.or("depth (mm)", f.DepthMM, leastThickMM, thickestMM)
	if f.InlayThicknessMM == 0 && f.DepthMM == 0 {
		c.add(&InputError{name, "depth (mm)", 0, "a depth, or the thickness of the inlay that it follows from"})
	}
	if f.InlayThicknessMM == 0 && f.ProudMM > 0 {
		c.add(&InputError{name, "thickness of the inlay (mm)", 0, "a thickness, when the inlay is to stand proud"})
	}
	if f.DepthFrom != DatumLine && f.DepthFrom != LocalSurface {
		c.add(&FromError{name, f.DepthFrom})
	}
	c.or("diameter of the hole there (mm)", f.HoleMM, smallestMM, largestMM)
	c.or("depth of the hole there (mm)", f.HoleDepthMM, leastThickMM, thickestMM)
	c.within("hollow under the pocket (mm)", f.HollowMM, 0, thickestMM)
}
