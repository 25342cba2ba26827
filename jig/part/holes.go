package part

import (
	"fmt"
	"math"
	"strings"

	"reseat/dowel"
	"reseat/fit"
	"reseat/jig/job"
	"reseat/jig/layout"
	"reseat/jig/toolpath"
)

// Hole is one hole of the pattern in one part.
type Hole struct {
	Class      string      `json:"class"`              // ISO 286 class, or a plain size when none serves
	MinMM      float64     `json:"min_mm"`             // finished limits on the diameter, or the slot's width
	MaxMM      float64     `json:"max_mm"`             //
	DrawnMM    float64     `json:"drawn_mm"`           // diameter or width in the cut file, kerf taken out
	SlotMM     float64     `json:"slot_mm"`            // free travel: distance of the slot's end centres; 0 for a round hole
	Role       layout.Role `json:"role"`               // in this part
	DepthMM    float64     `json:"depth_mm"`           // 0: through
	PointMM    float64     `json:"point_mm,omitempty"` // how far a drill's point reaches below DepthMM
	FloorMM    float64     `json:"floor_mm,omitempty"` // left under that; 0: through
	ClearMinMM float64     `json:"clearance_min_mm"`   // between hole and pin, on the diameter
	ClearMaxMM float64     `json:"clearance_max_mm"`
	Pressed    bool        `json:"pressed"` // the pin is driven in and stays
	Odds       float64     `json:"odds"`    // that the pin enters, 0..1
	Holds      bool        `json:"holds"`   // the process can hold the class
	Made       string      `json:"made"`    // "laser, then ream"
	Steps      []string    `json:"steps"`
	Explain    []string    `json:"explain"` // why this hole, at most five lines
	// Stock is another pin, for which the stock reamer serves; nil: nothing to spare.
	Stock *dowel.Offer `json:"stock_reamer,omitempty"`
	// Reamer is the one that opens it, as it is sold; "": it is not reamed.
	Reamer string `json:"-"`

	// The slot's long direction, counter-clockwise from +u, and from the machine's +X.
	SlotAngleUV float64 `json:"slot_angle_uv_deg"`
	SlotAngleXY float64 `json:"slot_angle_xy_deg"`

	MeanMM, SDMM float64 // what it comes out at where it is narrowest, and its standard deviation
	SharedSDMM   float64 // what of that is alike in all holes of the part
}

// OwnSDMM is the standard deviation of one hole about the mean of all.
func (h Hole) OwnSDMM() float64 {
	if h.SharedSDMM == 0 {
		return h.SDMM
	}
	return math.Sqrt(math.Max(0, h.SDMM*h.SDMM-h.SharedSDMM*h.SharedSDMM))
}

// purpose is what the hole is for. The bed's pins stay in: wood and its boards
// give way to a driven pin, so there the hole is bored under and holds it without
// play. Everywhere else the pin must go in and come out by hand.
func (p Part) purpose(r layout.Role) dowel.Purpose {
	switch {
	case r == layout.Clear && p.Carries:
		return dowel.Clear
	case p.Name == "bed" && fit.FamilyOf(p.Material) == fit.Wood:
		return dowel.Press
	}
	return dowel.Locate
}

// Hole sizes one Hole. allowance widens a clear Hole beyond the pin. In a part that
// does not carry the pattern's slot and clear holes, all are round.
func (p Part) Hole(pin dowel.Pin, r layout.Role, allowance, travel, angle float64) (Hole, error) {
	if !p.Carries {
		r = layout.Round
	}
	purpose := p.purpose(r)
	if s := p.Straight; s != nil && r == layout.Slot {
		p.Process.Bias, p.Process.Closes, p.Process.Unsure = s.WiderMM, 0, s.UnsureMM
	}
	c, err := dowel.ChooseHole(dowel.Request{
		Pin: pin, Material: p.Material, ThicknessMM: p.ThicknessMM, Process: p.Process,
		Purpose: purpose, Slot: r == layout.Slot, ClearAllowanceMM: allowance, ThereMM: p.ThereMM,
	})
	if err != nil {
		return Hole{}, err
	}
	h := Hole{
		Role: r, Pressed: purpose == dowel.Press, Class: c.Class, MinMM: c.MinMM, MaxMM: c.MaxMM,
		DrawnMM: c.DrawnMM - p.Make.KerfMM,
		Made:    c.Made, Steps: c.Steps, Odds: c.Odds, Holds: c.Holds, Explain: c.Explain,
		MeanMM: c.MeanMM, SDMM: c.SDMM, Stock: c.Stock,
		ClearMinMM: c.ClearanceMinMM, ClearMaxMM: c.ClearanceMaxMM,
	}
	if c.Reamer != nil {
		h.Reamer, _, _ = strings.Cut(c.Reamer.Buy[0], " (")
	}
	if c.Made == string(p.Process.Kind) { // not opened afterwards
		h.SharedSDMM = p.Process.Unsure / fit.Normal95
	}
	if h.DrawnMM < leastDrawnMM {
		return Hole{}, fmt.Errorf("a kerf of %g mm leaves nothing of a hole of %.2f mm: give the width of the cut, "+
			"usually 0.1 to 0.3 mm", p.Make.KerfMM, c.DrawnMM)
	}
	if r == layout.Slot {
		h.SlotMM, h.SlotAngleUV = travel, angle
	}
	if p.Make.By == "drill" {
		h.PointMM = toolpath.PointMM(h.DrawnMM)
	}
	return h, nil
}

// leastDrawnMM is the smallest hole that is drawn: about two widths of a laser's
// cut. Common practice, no source.
const leastDrawnMM = 0.4

// GluePlate is the plate that goes over the pins for gluing.
func (p Parts) GluePlate(j *job.Job) Part {
	switch r := j.Rails; {
	case r != nil && r.Plate == "sheet":
		return p.Rails
	case r != nil && r.Plate == "print":
		return p.Print
	}
	return p.Template
}

// GluePlateMM is the thickness of the plate that goes over the pins for gluing: the
// print that carries the rails, a plate from sheet, otherwise the template.
func GluePlateMM(j *job.Job) float64 {
	if r := j.Rails; r != nil && r.Plate == "sheet" {
		return r.ThicknessMM
	}
	t, _ := PrintThickness(j)
	return t
}
