// Package calibration is what a coupon tells of a process: its quantities, each with its
// interval, the rows that do not go with the others, and what a picture of both shows.
package calibration

// Keys of the quantities. A spread and a position are plus or minus, 95 %.
const (
	Kerf     = "kerf_mm"     // laser: how much wider than drawn an opening with straight walls comes out, at mid thickness
	Bias     = "bias_mm"     // how much larger than drawn a round hole comes out, at mid thickness; laser: beside the kerf
	Edge     = "edge_mm"     // router and print: as Kerf, of straight walls
	Spread   = "spread_mm"   // of one feature's size about the mean
	Taper    = "taper_mm"    // an opening's size at the top less that at the underside
	Position = "position_mm" // how far a feature lies from its place, per axis
	ScaleX   = "scale_x_pct" // made length less drawn, percent of the drawn one
	ScaleY   = "scale_y_pct"
	PinSize  = "pin_size_mm" // what a pin finds of a round hole, less the drawn size: kerf and bias less half the taper
)

// Quantity is one figure with its 95 % interval.
type Quantity struct {
	Key              string
	Value, Low, High float64 // in the unit of the key
	Determined       bool    // false: the readings do not determine it, or one end of the interval alone
	Says             string  // what is missing: the row that would tell it
}

// Outlier is a row that does not go with the others.
type Outlier struct {
	ID   string
	Line int // of the form
	Says string
}

// Point is one reading as the picture shows it: the size that was made at mid thickness and
// in the middle of the piece, which is what was read less the error of the jaws, what the
// taper and the scale do at that face and length, and the drift.
type Point struct {
	Row                         int // of the rows that were given
	DrawnMM, MadeMM, ResidualMM float64
	Round, Outlier              bool
}

// Trial is one answer of the pin. Odds is how likely the fit holds "yes" at that drawn size.
type Trial struct {
	Row           int
	DrawnMM, Odds float64
	Enters        string
	Outlier       bool
}

// Result is what a form tells.
type Result struct {
	Quantities []Quantity
	Outliers   []Outlier
	Points     []Point // readings of holes, slots and bars
	Trials     []Trial
	SigmaMM    float64 // of one reading, one standard deviation, mm
}

// Quantity is that of a key; nil: there is none.
func (r *Result) Quantity(key string) *Quantity {
	for i := range r.Quantities {
		if r.Quantities[i].Key == key {
			return &r.Quantities[i]
		}
	}
	return nil
}
