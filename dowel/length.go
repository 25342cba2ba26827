package dowel

import (
	"fmt"
	"math"
	"strings"
)

// Engagement, in pin diameters: in the bed a pin stands fast at 1.5 d, and the
// plate on it is held by 1 d of pin or by its whole thickness. Common practice, no
// source.
const (
	BedEngagement   = 1.5
	PlateEngagement = 1.0
)

// A LengthError is a pin that is too short or too long for what it stands in.
type LengthError struct {
	LengthMM, LeastMM, MostMM float64
	StandardMM                []float64 // standard lengths that serve; nil: none or not known
}

func (e *LengthError) Error() string {
	s := fmt.Sprintf("dowel: a pin of %s mm is too short: %s mm wanted, so that it stands %.1f d in the bed and holds the plate", short(e.LengthMM), short(e.LeastMM), BedEngagement)
	if e.LengthMM > e.MostMM {
		s = fmt.Sprintf("dowel: a pin of %s mm is too long: over %s mm it stands proud into the cutter's path or comes out below the bed", short(e.LengthMM), short(e.MostMM))
	}
	if len(e.StandardMM) > 0 {
		var names []string
		for _, l := range e.StandardMM {
			names = append(names, short(l))
		}
		s += "; standard lengths that serve: " + strings.Join(names, ", ")
	}
	return s
}

// UsefulLengths gives the least and greatest length of a pin that stands in a bed
// and holds a plate on it, all mm, and the pin's standard lengths between:
//
//	least = 1.5 d + min(plate, 1 d)
//	most  = bed + plate
//
// least may be over most: then the bed or the plate is too thin for the pin.
func (p Pin) UsefulLengths(bedMM, plateMM float64) (least, most float64, standard []float64) {
	least = BedEngagement*p.NominalMM + math.Min(plateMM, PlateEngagement*p.NominalMM)
	most = bedMM + plateMM
	for _, l := range p.LengthsMM {
		if tol := LengthTolerance(l); l-tol >= least-edgeMM && l+tol <= most+edgeMM {
			standard = append(standard, l)
		}
	}
	return least, most, standard
}

// LengthTolerance is how much a pin of a nominal length in mm may be longer or
// shorter: 0.25 to 10 mm, 0.5 to 50, 0.75 above (ISO 2338,
// testdata/reference/pins_iso_lengths.csv).
func LengthTolerance(lengthMM float64) float64 {
	switch {
	case lengthMM <= 10:
		return 0.25
	case lengthMM <= 50:
		return 0.5
	}
	return 0.75
}

// CheckLength holds a pin's length against a bed and the plate on it, mm. The
// length is taken as it is, without its tolerance. It gives a *LengthError, or a
// *RequestError for a figure that cannot be.
func (p Pin) CheckLength(lengthMM, bedMM, plateMM float64) error {
	for _, v := range []float64{lengthMM, bedMM, plateMM} {
		if math.IsNaN(v) || math.IsInf(v, 0) || v <= 0 {
			return requestFault("a length of %g mm in the stack; want one over 0", v)
		}
	}
	least, most, standard := p.UsefulLengths(bedMM, plateMM)
	if lengthMM < least-edgeMM || lengthMM > most+edgeMM {
		return &LengthError{lengthMM, least, most, standard}
	}
	return nil
}
