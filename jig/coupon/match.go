package coupon

import (
	"errors"
	"fmt"
	"math"

	"reseat/jig/reading"
	"reseat/jig/units"
)

// sameDrawnMM is what a program for tables may round a drawn size by.
const sameDrawnMM = 0.0006

// Match holds a form against a coupon: its checksum and pin, and that every row is one
// that can be taken of it, with the size it was drawn with. The error says what to do;
// rows are named by their lines.
func Match(c *Coupon, f Form) error {
	switch {
	case f.Checksum != c.Checksum:
		return fmt.Errorf("the form is of coupon %s, this one is %s: process, material, thickness, pin or number of holes "+
			"differ; give the job that the coupon was written for, or write the coupon anew and fill in its form",
			f.Checksum, c.Checksum)
	case math.Abs(f.PinMM-c.Pin.NominalMM) > sameDrawnMM || f.PinClass != c.Pin.Class:
		return fmt.Errorf("the form's pin is %s, the coupon's %s; leave the form's first line as it was written", f.Pin(),
			c.Form().Pin())
	case len(f.Rows) == 0:
		return errors.New("the form has no rows; fill in those that coupon.csv has")
	}
	var faults []error
	for _, r := range f.Rows {
		switch drawn, ok := c.drawn(r); {
		case !ok:
			faults = append(faults, fmt.Errorf("line %d: %s, kind %s, axis %q is nothing that this coupon has; leave the "+
				"first five columns as they were written", r.Line, r.ID, r.Kind, r.Axis))
		case math.Abs(drawn-r.DrawnMM) > sameDrawnMM:
			faults = append(faults, fmt.Errorf("line %d: drawn_mm of %s is %s, this coupon has %s; leave it as it was "+
				"written, and measure the piece cut from its own file", r.Line, r.ID, units.Decimal(r.DrawnMM, 4),
				units.Decimal(drawn, 4)))
		}
	}
	return reading.Joined(faults)
}
