package coupon

import (
	"fmt"
	"io"
	"strings"

	"reseat/jig/units"
)

// Columns of the form.
var header = []string{"id", "kind", "axis", "face", "drawn_mm", measured, "enters"}

// Write writes the form as Read takes it.
func Write(w io.Writer, f Form) error {
	var b strings.Builder
	fmt.Fprintf(&b, "# coupon %s, pin %s\n%s\n", f.Checksum, f.Pin(), strings.Join(header, ","))
	for _, r := range f.Rows {
		measured := ""
		if r.Measured != nil {
			measured = units.Decimal(*r.Measured, 4)
		}
		fmt.Fprintf(&b, "%s,%s,%s,%s,%s,%s,%s\n", r.ID, r.Kind, r.Axis, r.Face, units.Decimal(r.DrawnMM, 4), measured,
			r.Enters)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Pin names the form's pin: "6 m6"; one of a standard with limits of its own by its
// diameter alone.
func (f Form) Pin() string { return strings.TrimSpace(units.Decimal(f.PinMM, 4) + " " + f.PinClass) }
