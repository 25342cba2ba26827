package dowel

import (
	"math"
	"strings"

	"reseat/fit"
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
	Source    string
}

// MeanMM is the middle of the limits.
func (p Pin) MeanMM() float64 { return (p.MinMM + p.MaxMM) / 2 }

// Inch reports whether the pin is of an inch series.
func (p Pin) Inch() bool { return p.Standard == asmeInch }

// check refuses limits that are none.
func (p Pin) check() error {
	for _, v := range []float64{p.NominalMM, p.MinMM, p.MaxMM} {
		if math.IsNaN(v) || v <= 0 || v > largestPinMM {
			return requestFault("the pin has a diameter of %g mm; want one over 0, up to %g", v, largestPinMM)
		}
	}
	if p.MinMM > p.MaxMM {
		return requestFault("the pin's least diameter %g mm is over its greatest %g", p.MinMM, p.MaxMM)
	}
	if math.IsNaN(p.SDMM) || p.SDMM < 0 || p.SDMM > largestPinMM {
		return requestFault("the pin's standard deviation is %g mm; want 0 or more", p.SDMM)
	}
	return nil
}

// largestPinMM is the largest pin of ISO 2338.
const largestPinMM = 50.0

// The standards, as they are written.
const (
	iso2338  = "iso 2338"
	iso8734  = "iso 8734"
	din6325  = "din 6325"
	asmeInch = "asme b18.8.2"
	asmeMM   = "asme b18.8.5m"
	rod      = "rod"
	measured = "measured"
)

// A series is one standard: its diameters and the classes it has.
type series struct {
	name    string
	classes []string // the first is the default; none: limits of its own
	rows    []row    // by diameter; none: any diameter
	source  string
}

// A row is one diameter of a standard.
type row struct {
	nominal, chamfer float64 // mm
	from, to         float64 // commercial lengths, mm; 0: not known
	low, high        float64 // limits, mm, where there is no class
}

// Standards lists the names that Lookup knows.
func Standards() []string {
	var out []string
	for _, s := range allSeries {
		out = append(out, s.name)
	}
	return out
}

// Diameters lists the nominal diameters of a standard, mm, ascending; nil for a
// standard that has any ("rod").
func Diameters(standard string) ([]float64, error) {
	s, err := findSeries(standard)
	if err != nil {
		return nil, err
	}
	return s.diameters(), nil
}

// Classes lists the tolerance classes of a standard, its default first; nil for
// one that has limits of its own.
func Classes(standard string) ([]string, error) {
	s, err := findSeries(standard)
	if err != nil {
		return nil, err
	}
	return append([]string(nil), s.classes...), nil
}

func (s *series) diameters() []float64 {
	var out []float64
	for _, r := range s.rows {
		out = append(out, r.nominal)
	}
	return out
}

// tidy makes "ISO-8734", "iso8734" and "ISO 8734" one.
func tidy(s string) string {
	return strings.NewReplacer(" ", "", "-", "", "_", "").Replace(strings.ToLower(strings.TrimSpace(s)))
}

func findSeries(standard string) (*series, error) {
	want := tidy(standard)
	for i := range allSeries {
		if tidy(allSeries[i].name) == want {
			return &allSeries[i], nil
		}
	}
	return nil, &StandardError{Got: standard, Known: Standards(), DidYouMean: nearest(want)}
}

// nearest is the standard whose number stands in a text, "" when none does.
func nearest(text string) string {
	for _, s := range allSeries {
		number := strings.TrimLeft(tidy(s.name), "abcdefghijklmnopqrstuvwxyz")
		if number != "" && strings.Contains(text, number) {
			return s.name
		}
	}
	return ""
}

// sameSizeMM is how near a diameter must be to a nominal one to be meant by it:
// an inch size written with three decimals (0.188 for 3/16 = 0.1875) is out by
// 0.0127, but a mm one such as 4.763 for 4.7625 only by this.
const sameSizeMM = 1e-3

// Lookup gives the pin of a standard ("iso 2338", "iso 8734", "din 6325",
// "asme b18.8.2", "asme b18.8.5m", "rod", in any case) with a nominal diameter in
// mm (6.35 for 1/4 in) and a tolerance class ("" for the standard's own).
//
// Errors: *StandardError, *DiameterError with the nearest diameters and
// *ClassError with the classes there are.
func Lookup(standard string, diameterMM float64, class string) (Pin, error) {
	s, err := findSeries(standard)
	if err != nil {
		return Pin{}, err
	}
	if math.IsNaN(diameterMM) || diameterMM <= 0 || diameterMM > largestPinMM {
		return Pin{}, &DiameterError{Standard: s.name, GotMM: diameterMM, KnownMM: s.diameters()}
	}
	r := row{nominal: diameterMM}
	if s.rows != nil {
		at := nearestRow(s.rows, diameterMM)
		if math.Abs(s.rows[at].nominal-diameterMM) > sameSizeMM {
			return Pin{}, &DiameterError{Standard: s.name, GotMM: diameterMM, KnownMM: s.diameters()}
		}
		r = s.rows[at]
	}
	p := Pin{
		Standard: s.name, NominalMM: r.nominal, MinMM: r.low, MaxMM: r.high,
		ChamferMM: r.chamfer, LengthsMM: lengths(r.from, r.to), Source: s.source,
	}
	class = strings.TrimSpace(class)
	if len(s.classes) == 0 {
		if class != "" {
			return Pin{}, &ClassError{Standard: s.name, Got: class}
		}
	} else if err := p.setClass(s, class); err != nil {
		return Pin{}, err
	}
	p.SDMM = (p.MaxMM - p.MinMM) / (2 * fit.Normal95)
	return p, nil
}

func (p *Pin) setClass(s *series, class string) error {
	if class == "" {
		class = s.classes[0]
	}
	known := ""
	for _, c := range s.classes {
		if strings.EqualFold(c, class) {
			known = c
		}
	}
	if known == "" {
		return &ClassError{Standard: s.name, Got: class, Known: s.classes}
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

func nearestRow(rows []row, d float64) int {
	best := 0
	for i, r := range rows {
		if math.Abs(r.nominal-d) < math.Abs(rows[best].nominal-d) {
			best = i
		}
	}
	return best
}
