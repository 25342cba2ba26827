package dowel

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"reseat/fit"
	"reseat/jig/units"
)

// A Pin is a parallel dowel pin with the limits of its diameter.
type Pin struct {
	NominalMM float64 `json:"nominal_mm"` // the diameter by name
	MinMM     float64 `json:"min_mm"`     // its limits
	MaxMM     float64 `json:"max_mm"`
	Standard  string  `json:"standard,omitempty"`  // "iso 8734"; "measured"
	Class     string  `json:"class,omitempty"`     // "m6"; "" where the standard has limits of its own
	LengthMM  float64 `json:"length_mm,omitempty"` // of the pin at hand; 0: not given

	// SDMM is the standard deviation of the diameter. For a standard pin the
	// limits are taken as 95 % of a normal distribution: wider than a good maker's.
	SDMM float64
	// ChamferMM is the lead at the end: the axial length of the chamfer (ISO, DIN);
	// for ASME B18.8.2 the step from body to point, on the radius. 0: not known.
	ChamferMM float64
	LengthsMM []float64 // standard lengths, ascending; nil: not known
	LengthsOf string    // the standard that has them, as printed, when it is another
	Source    string
}

// Name is what the pin is asked for by: standard, diameter, class; a measured pin has its
// diameter alone.
func (p Pin) Name() string {
	d := strings.TrimSuffix(p.SizeSold(p.NominalMM), " mm")
	if p.Standard == measured {
		return d + " (measured)"
	}
	return strings.TrimSpace(p.Title() + " " + d + " " + p.Class)
}

// Title is the standard as it is printed: "ISO 8734"; a rod or a measured pin is of none.
func (p Pin) Title() string { return title(p.Standard) }

// Title is the standard as it is printed, as that of a Pin.
func (s PinSeries) Title() string { return title(s.Name) }

func title(standard string) string {
	if standard == rod || standard == measured {
		return standard
	}
	return strings.ToUpper(standard)
}

// SizeSold writes a diameter or length of the pin with its unit, as it is sold: an inch pin's in inches.
func (p Pin) SizeSold(mm float64) string {
	if p.IsInch() {
		return units.Inches(mm) + " in"
	}
	return units.Decimal(mm, 3) + " mm"
}

// MeanMM is the middle of the limits.
func (p Pin) MeanMM() float64 { return (p.MinMM + p.MaxMM) / 2 }

// IsInch reports whether the pin is of an inch series.
func (p Pin) IsInch() bool { return p.Standard == asmeInch }

// LargestMM is the largest pin of ISO 2338.
const LargestMM = 50.0

// A LookupError is a standard, diameter or class that there is not.
type LookupError struct {
	What string // "standard", "diameter" or "class", as the job file calls it
	Says string
}

func (e *LookupError) Error() string { return e.Says }

func lookupFault(what, format string, a ...any) error {
	return &LookupError{what, fmt.Sprintf(format, a...)}
}

// Standards lists the names that Lookup knows.
func Standards() []string {
	var out []string
	for _, s := range Series() {
		out = append(out, s.Name)
	}
	return out
}

// Diameters lists the nominal diameters of a standard, mm, ascending; nil for a
// standard that has any ("rod").
func Diameters(standard string) ([]float64, error) {
	s, err := findSeries(standard)
	return s.DiametersMM, err
}

var apart = strings.NewReplacer(" ", "", "-", "", "_", "")

// normalName makes "ISO-8734", "iso8734" and "ISO 8734" one.
func normalName(standard string) string {
	return apart.Replace(strings.ToLower(strings.TrimSpace(standard)))
}

func findSeries(standard string) (PinSeries, error) {
	near, wanted := "", normalName(standard)
	for _, s := range allSeries() {
		name := normalName(s.Name)
		if name == wanted {
			return s, nil
		}
		number := strings.TrimLeft(name, "abcdefghijklmnopqrstuvwxyz")
		if near == "" && number != "" && strings.Contains(wanted, number) {
			near = fmt.Sprintf(" (did you mean %s?)", s.Name)
		}
	}
	return PinSeries{}, lookupFault("standard", "no pin standard %q; there are %s%s", standard,
		strings.Join(Standards(), ", "), near)
}

// sameSizeMM is how near a diameter must be to a nominal one to be meant by it:
// an inch size written with three decimals (0.188 for 3/16 = 0.1875) is out by
// 0.0127, but a mm one such as 4.763 for 4.7625 only by this.
const sameSizeMM = 1e-3

// Nearest is the place of the nearest diameter in a series that has some, and
// whether it is the one that is meant.
func (s PinSeries) Nearest(diameterMM float64) (at int, same bool) {
	for i, d := range s.DiametersMM {
		if math.Abs(d-diameterMM) < math.Abs(s.DiametersMM[at]-diameterMM) {
			at = i
		}
	}
	return at, math.Abs(s.DiametersMM[at]-diameterMM) <= sameSizeMM
}

// Lookup gives the pin of a standard ("iso 2338", "iso 8734", "din 6325",
// "asme b18.8.2", "asme b18.8.5m", "rod", in any case) with a nominal diameter in
// mm (6.35 for 1/4 in) and a tolerance class ("" for the standard's own). The error
// is a *LookupError with the nearest that there is.
func Lookup(standard string, diameterMM float64, class string) (Pin, error) {
	s, err := findSeries(standard)
	if err != nil {
		return Pin{}, err
	}
	if math.IsNaN(diameterMM) || diameterMM <= 0 || diameterMM > LargestMM {
		return Pin{}, lookupFault("diameter", "a pin of %s mm; want a diameter over 0, up to %g", short(diameterMM),
			LargestMM)
	}
	p := Pin{Standard: s.Name, NominalMM: diameterMM, Source: s.Source}
	if s.DiametersMM != nil {
		at, same := s.Nearest(diameterMM)
		p.NominalMM = s.DiametersMM[at]
		if !same {
			inch := ""
			if p.IsInch() {
				inch = fmt.Sprintf(" (%s in)", units.Inches(p.NominalMM))
			}
			return Pin{}, lookupFault("diameter", "%s has no pin of %s mm; the nearest is %s mm%s", s.Name,
				short(diameterMM), short(p.NominalMM), inch)
		}
		r := s.rows[at]
		p.MinMM, p.MaxMM, p.ChamferMM, p.LengthsMM = r.low, r.high, r.chamfer, lengths(r.from, r.to)
	}
	if err := p.setClass(s, strings.TrimSpace(class)); err != nil {
		return Pin{}, err
	}
	p.SDMM = (p.MaxMM - p.MinMM) / (2 * fit.Normal95)
	return p, nil
}

// setClass takes the limits of a class where the standard has none of its own.
func (p *Pin) setClass(s PinSeries, class string) error {
	switch {
	case len(s.Classes) == 0 && class == "":
		return nil
	case len(s.Classes) == 0:
		return lookupFault("class", "%s has limits of its own and no class %s; leave the class out", s.Name, class)
	case class == "":
		class = s.Classes[0]
	}
	for _, known := range s.Classes {
		if !strings.EqualFold(known, class) {
			continue
		}
		c, err := fit.ParseClass(known)
		if err != nil {
			return err
		}
		l, err := fit.ClassLimits(p.NominalMM, c)
		if err != nil {
			return err
		}
		p.Class, p.MinMM, p.MaxMM = known, p.NominalMM+l.Lower/1000, p.NominalMM+l.Upper/1000
		return nil
	}
	return lookupFault("class", "%s has no class %s; there are %s", s.Name, class, strings.Join(s.Classes, ", "))
}

// StockLengths are the lengths that the pin is sold in, or cut to, mm, ascending, and what
// says so.
func (p Pin) StockLengths() (mm []float64, from string) {
	switch {
	case p.LengthsMM != nil:
		return p.LengthsMM, cmp.Or(p.LengthsOf, p.Title())
	case p.IsInch():
		for _, eighths := range inchLengths {
			mm = append(mm, eighths*units.MMPerInch/8)
		}
		return mm, p.Title() + " (lengths recalled)"
	}
	return lengthSeries, "the lengths of ISO 2338"
}

// inchLengths are usual lengths of inch pins, eighths of an inch (recalled).
var inchLengths = []float64{3, 4, 5, 6, 7, 8, 10, 12, 14, 16, 18, 20, 24}

// LeadMM is how far from its end a pin is not yet of full diameter: the chamfer; for ASME
// B18.8.2 the crown, at most 0.34 d (its table 2); where none is known 0.2 d, the most
// that ISO 2338 has.
func (p Pin) LeadMM() float64 {
	switch {
	case p.IsInch():
		return float64(0.34 * p.NominalMM)
	case p.ChamferMM > 0:
		return p.ChamferMM
	}
	return float64(0.2 * p.NominalMM)
}

// LengthTolerance is how much a pin of a nominal length may be longer or shorter, mm:
// 0.01 in for ASME B18.8.2, else as ISO 2338 and ISO 8734 have it.
func (p Pin) LengthTolerance(lengthMM float64) float64 {
	if p.IsInch() {
		return 0.01 * units.MMPerInch
	}
	return lengthTolerance(lengthMM)
}

// WithFormOf takes chamfer and lengths from the standard's pin of the same size: what
// micrometer readings do not tell. A standard without that size leaves the pin as it is.
func (p Pin) WithFormOf(standard string) Pin {
	if like, err := Lookup(standard, p.NominalMM, ""); err == nil {
		p.ChamferMM, p.LengthsMM, p.LengthsOf = like.ChamferMM, like.LengthsMM, like.Title()
	}
	return p
}

// lengthTolerance is how much a pin of a nominal length in mm may be longer or
// shorter: 0.25 to 10 mm, 0.5 to 50, 0.75 above (ISO 2338 and ISO 8734 (standard), as
// transcribed in testdata/reference/pins_iso_lengths.csv).
func lengthTolerance(lengthMM float64) float64 {
	switch {
	case lengthMM <= 10:
		return 0.25
	case lengthMM <= 50:
		return 0.5
	}
	return 0.75
}

// short writes a length with at most four decimals and no trailing zeros.
func short(v float64) string { return units.Decimal(v, 4) }
