package coupon

import "strings"

// A Kind says what one reading of the coupon was taken of, and how.
type Kind string

// The kinds of readings.
const (
	Hole Kind = "hole" // inside jaws in a round hole, or whether the pin enters it
	Slot Kind = "slot" // inside jaws between the straight walls of an opening
	Bar  Kind = "bar"  // outside jaws on a straight piece
	Web  Kind = "web"  // outside jaws, from wall to wall between two features: "H01-H02"
	Span Kind = "span" // inside jaws, over the far walls of two features: "H01-H02"
	Pin  Kind = "pin"  // the pin itself, with the outside jaws
	Ring Kind = "ring" // the bore of a ball bearing, with the inside jaws: what they read too small
)

// Faces at which the jaws' tips were held. At neither the jaws went through the full
// thickness: inside jaws then read the narrowest, outside jaws the widest.
const (
	Top   = "top"
	Under = "under"
)

// Answers to whether the pin enters a hole.
const (
	Passes = "yes"   // right through, by hand
	Tight  = "tight" // it starts and does not pass
	No     = "no"
)

// Pair returns the two features that the id of a web or a span names; an id of one feature
// names it twice.
func Pair(id string) (first, second string) {
	if first, second, ok := strings.Cut(id, "-"); ok {
		return strings.TrimSpace(first), strings.TrimSpace(second)
	}
	return id, id
}

// Row is one line of the form. The same ID is the same feature: repeats and other faces are
// further rows.
type Row struct {
	Line     int    // of the file
	ID       string // "H01"; of a web or a span "H01-H02"
	Kind     Kind
	Axis     string   // "x" or "y": the direction that was measured; "": none in particular
	Face     string   // Top, Under or ""
	DrawnMM  float64  // as in the coupon's file: size, or distance from wall to wall
	Measured *float64 // mm; nil: not measured
	Enters   string   // Passes, Tight, No, or "": not tried
}

// Form is a coupon's form, filled in or not.
type Form struct {
	Checksum string // of the coupon that it belongs to
	PinMM    float64
	PinClass string
	Rows     []Row
}
