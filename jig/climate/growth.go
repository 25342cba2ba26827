package climate

import "math"

// Two readings of one workshop's thermometer and hygrometer are each good to about
// this, plus or minus, 95 %; what the instrument is off in both drops out. Common
// practice, no source.
const (
	readingC     = 1.0
	readingRHPct = 2.0
)

// Where no climate is known, a workshop swings so far to either side of usual between
// making and use. Common practice, no source.
var (
	usual = Air{TempC: 20, RHPct: 50}
	swing = Air{TempC: 10, RHPct: 10}
)

// mostRHPct is the dampest air that the moisture equation is good for.
const mostRHPct = 98.0

// Growth is a Change with how far it may stray each way, mm per mm: by the error of the
// two readings and of the material's own figures (95 %), or by a workshop's whole swing.
type Growth struct {
	Change
	UnsureAlong, UnsureAcross float64
	IsKnown                   bool // the climates are; otherwise the change is nil and unsure is the swing
}

// Strainer computes the change of a material.
type Strainer func(from, to Air) (Change, error)

// GrowthBetween is a material's growth from one climate to another, both as they were read.
func GrowthBetween(from, to Air, s Strainer) (Growth, error) {
	// Both readings err.
	g, err := growth(from, to, Air{TempC: readingC * math.Sqrt2, RHPct: readingRHPct * math.Sqrt2}, s)
	g.IsKnown = true
	return g, err
}

// Swing is a material's growth where no climate is known.
func Swing(s Strainer) (Growth, error) { return growth(usual, usual, swing, s) }

func growth(from, to, step Air, s Strainer) (Growth, error) {
	c, err := s(from, to)
	if err != nil {
		return Growth{}, err
	}
	out := Growth{Change: c}
	most := func(change, unsure float64) float64 { return math.Abs(change) + unsure }
	for _, side := range []float64{-1, 1} {
		// A step that would leave the range of the equation is taken as far as it goes;
		// where that is not at all, the other side tells.
		warm, damp := to, to
		warm.TempC += side * step.TempC
		damp.RHPct = math.Max(0, math.Min(mostRHPct, damp.RHPct+side*step.RHPct))
		w, _ := s(to, warm)
		d, _ := s(to, damp)
		out.UnsureAlong = math.Max(out.UnsureAlong, math.Hypot(most(w.Along, w.Unsure), most(d.Along, d.Unsure)))
		out.UnsureAcross = math.Max(out.UnsureAcross, math.Hypot(most(w.Across, w.Unsure), most(d.Across, d.Unsure)))
	}
	// Between the two climates the material's own figures are unsure as well.
	out.UnsureAlong = math.Hypot(out.UnsureAlong, c.Unsure)
	out.UnsureAcross = math.Hypot(out.UnsureAcross, c.Unsure)
	return out, nil
}
