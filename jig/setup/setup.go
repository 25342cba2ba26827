package setup

import (
	"reseat/jig/geom"
)

// Setup is one clamping of one part at one place: what lies on what, which face is up,
// what locates it, where zero is, and what is done. Heights count from the table, or the
// bench, up.
type Setup struct {
	Number    int      `json:"number"` // from 1, in the order of work
	ID        ID       `json:"id"`
	Title     string   `json:"title"`
	Place     string   `json:"place"`             // "machine", "bench", "laser", "printer"
	Part      string   `json:"part"`              // that is worked on
	FaceUp    Face     `json:"face_up,omitempty"` // of the board; "" before there is one
	Lies      string   `json:"lies,omitempty"`    // which face is up and what shows it, as the operator sees it
	LocatedBy string   `json:"located_by"`
	Stack     []Layer  `json:"stack"` // from below
	Pins      []Pin    `json:"pins"`
	Zero      *Zero    `json:"zero,omitempty"` // nil: nothing is cut by the machine
	Tool      *Tool    `json:"tool,omitempty"`
	Program   string   `json:"program,omitempty"` // file name
	Files     []string `json:"files,omitempty"`   // that are cut or printed in it
	Steps     []string `json:"steps"`
	Checks    []Check  `json:"checks"`
	Cautions  []string `json:"cautions"`
}

// ID names what a set-up is for, whatever its number.
type ID string

// The set-ups there are.
const (
	BoreBed        ID = "bore-bed"      // pin holes of the bed; the pins are pressed in
	BoreBoth       ID = "bore-together" // pin holes through the blank into the bed, in one clamping
	BoreBlank      ID = "bore-blank"    // pin holes of the blank, for the bed's pins or for gluing
	CutPlate       ID = "cut-plate"
	SeatBoard      ID = "seat-board"       // plate and board, or the blank, put onto the pins; squared, zeroed
	BoreTop        ID = "bore-top"         // the features of the top
	TurnOver       ID = "turn-over"        // onto the pins, underside up
	BoreUnder      ID = "bore-under"       // the features of the underside
	LiftOff        ID = "lift-off"         // the board out of its nest
	Free           ID = "free"             // the board out of its blank
	CutGluingPlate ID = "cut-gluing-plate" // that guides the board, where it is not the template
	DryRun         ID = "dry-run"          // board, plate and pins without glue
	GlueUp         ID = "glue"             //
	ReleaseGlue    ID = "release-glue"     // the plate lifted, the strips trimmed
)

// Layer is one thing in the stack.
type Layer struct {
	Name     string  `json:"layer"` // "bed", "template", "board", "blank", "gluing plate"
	Material string  `json:"material"`
	FromMM   float64 `json:"from_mm"`
	ToMM     float64 `json:"to_mm"`

	// Outline and Window are in the machine frame, as the layer lies; Outline nil: not known.
	Outline, Window geom.Loop
}

// Pin is a dowel pin that stands in the stack.
type Pin struct {
	ID       string  `json:"id"`
	LengthMM float64 `json:"length_mm"`
	FromMM   float64 `json:"from_mm"`
	ToMM     float64 `json:"to_mm"`
	// After: it is put in when the cutting of this set-up is done.
	After bool `json:"after_cutting,omitempty"`

	At       geom.Vec // machine frame
	RadiusMM float64
	ProudMM  float64 // how much longer than LengthMM one of its length tolerance may be
}

// Zero is where the coordinates of a set-up begin.
type Zero struct {
	X string `json:"x"` // what X0 Y0 is
	Y string `json:"y"`
	Z string `json:"z"` // the face that Z0 lies on
	// ZMM is the height of Z0 over the table.
	ZMM float64 `json:"z_mm"`
	// FromEndMM and FromSideMM are from the stock's end and side, as the operator sees
	// them, to X0 Y0; nil where a pin is indicated.
	FromEndMM  *float64 `json:"from_end_mm,omitempty"`
	FromSideMM *float64 `json:"from_side_mm,omitempty"`
	Pin        string   `json:"pin,omitempty"` // that is indicated
	Says       string   `json:"says"`
}

// Tool is what cuts in a set-up.
type Tool struct {
	Name       string  `json:"name"` // "end mill"
	DiameterMM float64 `json:"diameter_mm"`
	// ReachNeededMM is how deep it goes below the highest thing beside it.
	ReachNeededMM float64 `json:"reach_needed_mm"`
}

// Check is a figure to take before going on. Low and High are its limits; both zero with
// no Unit: yes or no.
type Check struct {
	What     string  `json:"what"`
	With     string  `json:"with"`
	Expected float64 `json:"expected"`
	Low      float64 `json:"low"`
	High     float64 `json:"high"`
	Unit     string  `json:"unit"`
}

// TopMM is the height of the highest layer or pin that stands while the set-up is cut in.
func (s Setup) TopMM() float64 {
	top := 0.0
	for _, l := range s.Stack {
		top = max(top, l.ToMM)
	}
	for _, q := range s.Pins {
		if !q.After {
			top = max(top, q.ToMM+q.ProudMM)
		}
	}
	return top
}

// ForProgram returns the set-up that runs a program; ok is false when none does.
func ForProgram(all []Setup, program string) (s Setup, ok bool) {
	for _, s := range all {
		if s.Program == program {
			return s, true
		}
	}
	return Setup{}, false
}
