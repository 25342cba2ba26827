package coupon

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/dowel"
	"reseat/fit"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/part"
	"reseat/jig/units"
)

// Spec is what a coupon is asked for: it depends on nothing else.
type Spec struct {
	By          fit.ProcessKind
	Material    string
	ThicknessMM float64 // of what is made with the process
	Pin         dowel.Pin
	Holes       int // 16 or 24
}

// Numbers of holes. Fewer tell too little of spread and bias to be worth the cut.
const (
	FewHoles  = 16
	ManyHoles = 24
)

// Feature is a hole, a slot or a bar of the coupon. Lengths are mm, X and Y the machine's
// axes, the lower left of the piece at (0, 0), its top up.
type Feature struct {
	ID     string // "H01", "S01", "B01"
	Kind   Kind   // Hole, Slot or Bar
	Axis   string // that the size of a slot or a bar is measured along
	At     geom.Vec
	SizeMM float64 // diameter or width, as drawn
	LongMM float64 // of a slot, from end to end; of a bar that of the slots beside it
}

// Coupon is the test piece of a process.
type Coupon struct {
	Spec
	Checksum string // of all that is measured
	Features []Feature
	Size     geom.Vec
	PieceMM  float64 // thickness of the piece itself, which may be less than that of what it is for
	LongMM   float64 // longest reading
	Steps    []Step
}

// Step is a group of the form's rows that are measured together, in their order.
type Step struct {
	Says string // what is done, and how
	Rows []Row
}

// CutsStraight reports whether the process also cuts straight walls: a drill and a reamer
// make round holes alone.
func (s Spec) CutsStraight() bool { return s.By != fit.Drill && s.By != fit.Ream }

// thinMM is how thick a coupon is printed or routed at most: a millimetre at either face and
// one between are told apart, and it is made in the time of a tea break or an afternoon, not of a
// day. A print has 15 layers of 0.2 mm; sheets of 3 mm are sold everywhere. A print that would
// take longer than PrintMostS is thinner, down to thinnestMM, of which the tips of the jaws still
// tell two faces. Common practice, no source.
const (
	thinMM     = 3.0
	thinnestMM = 2.0
	layerMM    = 0.2
)

// How long a coupon should take to make at most, seconds.
const (
	PrintMostS  = 2 * 3600.0
	RouterMostS = 15 * 60.0
)

// Design makes the coupon of a process. The error says all that cannot be at once.
func Design(s Spec) (*Coupon, error) {
	p, err := fit.DefaultProcess(s.By, s.Material, s.ThicknessMM)
	faults := []error{err}
	if s.Holes != FewHoles && s.Holes != ManyHoles {
		faults = append(faults, fmt.Errorf("%d holes; a coupon has %d or %d", s.Holes, ManyHoles, FewHoles))
	}
	if d := s.Pin.NominalMM; !(d >= leastPinMM && d <= mostPinMM) {
		faults = append(faults, fmt.Errorf("the pin is %s mm; a coupon tells of pins from %g to %g mm",
			units.Decimal(d, 3), leastPinMM, mostPinMM))
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	c := &Coupon{Spec: s, PieceMM: s.ThicknessMM}
	if s.By == fit.Print || s.By == fit.Router {
		c.PieceMM = math.Min(s.ThicknessMM, thinMM)
	}
	c.lay(drawnSizes(s, p))
	if s.By == fit.Print {
		c.thin()
	}
	c.Steps = c.ask()
	for _, r := range c.Rows() {
		if r.Kind != Ring {
			c.LongMM = math.Max(c.LongMM, r.DrawnMM)
		}
	}
	c.Checksum = c.checksum()
	return c, nil
}

// thin makes a print as thin as it must be to be done in time.
func (c *Coupon) thin() {
	for PrintingS(c.VolumeMM3()) > PrintMostS && c.PieceMM-layerMM >= thinnestMM-1e-9 {
		c.PieceMM = units.Round(c.PieceMM-layerMM, 3)
	}
}

// VolumeMM3 is that of a print, its marks included.
func (c *Coupon) VolumeMM3() float64 {
	area := c.Outline().Area()
	for _, f := range c.Cuts() {
		area -= float64(math.Pi*f.SizeMM*f.SizeMM/4) + float64(f.Travel()*f.SizeMM)
	}
	var marks float64
	for _, m := range c.Marks() {
		for _, s := range m.Strokes {
			for i := range s[1:] {
				marks += float64(s[i+1].Sub(s[i]).Norm() * rawWidthMM * rawMarkReliefMM)
			}
		}
	}
	return float64(area*c.PieceMM) + marks
}

// Pins for which a coupon is made: thinner ones do not stand a trial by hand, for thicker
// ones the piece would be longer than most machines. Common practice, no source.
const (
	leastPinMM = 1.5
	mostPinMM  = 20.0
)

// Parts of a job whose process a coupon measures.
const (
	Template = "template"
	Blank    = "blank"
	Bed      = "bed"
	Printed  = "print" // the printer of the template, or of its gluing plate
)

// Parts lists them.
var Parts = []string{Template, Blank, Bed, Printed}

// ForJob makes the coupon of a part of a job. It depends on process, material, thickness
// and pin alone, not on figures that were measured.
func ForJob(j *job.Job, of string, holes int) (*Coupon, error) {
	parts, err := part.Lookup(j)
	if err != nil {
		return nil, err
	}
	p, ok := map[string]part.Part{
		Template: parts.Template, Blank: parts.Blank, Bed: parts.Bed, Printed: parts.Print,
	}[of]
	switch {
	case !ok:
		return nil, fmt.Errorf("no part %q; there are %s", of, strings.Join(Parts, ", "))
	case p.Name == "":
		return nil, fmt.Errorf("%s: the job has no %s", j.File, of)
	}
	pin := parts.Pin
	if named, err := dowel.Lookup(j.Dowel.Standard, j.Dowel.DiameterMM, j.Dowel.Class); err == nil {
		pin = named // not as it was measured
	}
	return Design(Spec{p.Process.Kind, p.Material, p.ThicknessMM, pin, holes})
}

func (c *Coupon) feature(id string) (Feature, bool) {
	i := slices.IndexFunc(c.Features, func(f Feature) bool { return f.ID == id })
	if i < 0 {
		return Feature{}, false
	}
	return c.Features[i], true
}

// pair returns the two features of a web or a span.
func (c *Coupon) pair(id string) (a, b Feature, ok bool) {
	first, second := Pair(id)
	a, okA := c.feature(first)
	b, okB := c.feature(second)
	return a, b, okA && okB && first != second
}

// Rows are all rows of the form, in the order of measuring.
func (c *Coupon) Rows() []Row {
	var out []Row
	for _, s := range c.Steps {
		out = append(out, s.Rows...)
	}
	return out
}

// Form is the coupon's form, not filled in.
func (c *Coupon) Form() Form {
	return Form{Checksum: c.Checksum, PinMM: c.Pin.NominalMM, PinClass: c.Pin.Class, Rows: c.Rows()}
}

// checksum tells one coupon from another: what it is of, and every place and size.
func (c *Coupon) checksum() string {
	h := sha256.New()
	fmt.Fprintf(h, "%s,%s,%.3f,%.4f,%s\n", c.By, strings.ToLower(strings.TrimSpace(c.Material)), c.ThicknessMM,
		c.Pin.NominalMM, c.Pin.Class)
	for _, f := range c.Features {
		fmt.Fprintf(h, "%s,%s,%s,%.3f,%.3f,%.3f\n", f.ID, f.Kind, f.Axis, f.At.X, f.At.Y, f.SizeMM)
	}
	return hex.EncodeToString(h.Sum(nil))[:8]
}
