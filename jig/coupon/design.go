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

// Feature is a hole, a slot or a bar of the coupon, or a gap beside a bar. Lengths are
// mm, X and Y the machine's axes, the lower left of the piece at (0, 0), its top up.
type Feature struct {
	ID     string // "H01", "S01", "B01"; "" of a gap
	Kind   Kind   // Hole, Slot or Bar; of a gap Slot
	Axis   string // that the size of a slot or a bar is measured along
	At     geom.Vec
	SizeMM float64 // diameter or width, as drawn
	LongMM float64 // of a slot or a gap, from end to end; of a bar that of its gaps
}

// Coupon is the test piece of a process.
type Coupon struct {
	Spec
	Checksum string // of all that is measured
	Features []Feature
	Gaps     []Feature // beside the bars: room for the jaws, not measured
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

// Straight reports whether the process also cuts straight walls: a drill and a reamer
// make round holes alone.
func (s Spec) Straight() bool { return s.By != fit.Drill && s.By != fit.Ream }

// thinMM is how thick a coupon is printed or routed at most: a millimetre at either face and
// one between are told apart, and it is made in the time of a tea break or an afternoon, not
// of a day. A print has 15 layers of 0.2 mm; sheets of 3 mm are sold everywhere. Common
// practice, no source.
const thinMM = 3.0

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
	c.Steps = c.ask()
	for _, r := range c.Rows() {
		if r.Kind != Ring {
			c.LongMM = math.Max(c.LongMM, r.DrawnMM)
		}
	}
	c.Checksum = c.checksum()
	return c, nil
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
	parts, err := part.Of(j)
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
