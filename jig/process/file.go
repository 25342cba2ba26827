// Package process holds what a coupon told of a way of making holes and openings: the figures
// of one process in one material and thickness, each with its interval, and the file that
// carries them from one job to the next.
package process

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"reseat/jig/calibration"
	"reseat/jig/units"
)

// Ending is what the names of process files end in.
const Ending = ".process.yaml"

// File is a process file. An owner may write his own: By, Material and ThicknessMM are all
// that it must have beside the figures.
type File struct {
	Name        string     `json:"file"` // as the job names it
	By          string     `json:"by"`   // "laser", "router", "drill", "ream" or "print"
	Material    string     `json:"material"`
	ThicknessMM float64    `json:"thickness_mm"`
	PieceMM     float64    `json:"piece_mm,omitempty"`    // of the coupon itself; 0: ThicknessMM
	Pin         string     `json:"pin,omitempty"`         // that was tried in the coupon's holes: "6 m6"
	Coupon      string     `json:"coupon,omitempty"`      // its checksum
	MeasuredOn  string     `json:"measured_on,omitempty"` // "2026-11-29"
	MeasuredBy  string     `json:"measured_by,omitempty"`
	Estimates   []Estimate `json:"quantities"` // in the order of Quantities
}

// Estimate is one quantity with its 95 % interval, in the unit of its key.
type Estimate struct {
	Key        string  `json:"key"` // calibration.Kerf ...
	Value      float64 `json:"value"`
	Low        float64 `json:"low"`
	High       float64 `json:"high"`
	Determined bool    `json:"told"` // false: the readings do not determine it
}

// Half is how far the true value may lie from the one that is taken, either way, 95 %: the
// longer of the interval's two arms.
func (f Estimate) Half() float64 { return math.Max(f.High-f.Value, f.Value-f.Low) }

// Estimate is that of a key, where the readings determine it. Of a spread or a place that they do
// not determine it is the most that it can be, where they bound that: it errs to the safe side.
func (f *File) Estimate(key string) (Estimate, bool) {
	if f == nil {
		return Estimate{}, false
	}
	for _, v := range f.Estimates {
		switch safe := key == calibration.Spread || key == calibration.Position; {
		case v.Key != key:
		case v.Determined:
			return v, true
		case safe && v.High > 0:
			return Estimate{key, v.High, v.High, v.High, false}, true
		}
	}
	return Estimate{}, false
}

// TaperAt is the taper in a part of a thickness, mm: of one measured on a piece of another thickness
// it lies between the taper itself (a wall that runs straight beyond) and that in proportion to the
// thickness (a wall of one slope; derived). The middle is taken, and the interval holds both.
func (f *File) TaperAt(thicknessMM float64) (Estimate, bool) {
	t, ok := f.Estimate(calibration.Taper)
	if !ok {
		return t, false
	}
	ratio := thicknessMM / cmp.Or(f.PieceMM, f.ThicknessMM)
	t.Value = float64(t.Value * (1 + ratio) / 2)
	t.Low, t.High = math.Min(t.Low, t.Low*ratio), math.Max(t.High, t.High*ratio)
	return t, true
}

// Quantity is a quantity of process files: its key, what it is, and the job's key below make
// that it stands for; "": none, the file alone has it.
type Quantity struct {
	Key, Is, Make string
	By            []string // the processes that have it; nil: all
}

// Quantities lists what a file can hold, in its order.
var Quantities = []Quantity{
	{calibration.Kerf, "how much wider than drawn a straight-walled opening comes out, at mid thickness", "kerf",
		[]string{"laser"}},
	{calibration.Edge, "how much wider than drawn a straight-walled opening comes out, at mid thickness", "edge",
		[]string{"router", "print"}},
	{calibration.Bias, "how much larger than drawn a round hole comes out, at mid thickness (laser: beside the kerf)", "bias", nil},
	{calibration.Spread, "spread of one feature's size, plus or minus, 95 %", "spread", nil},
	{calibration.Taper, "an opening's size at the top less that at the underside", "taper", []string{"laser"}},
	{calibration.Position, "error of a feature's place per axis, plus or minus, 95 %", "position", nil},
	{calibration.ScaleX, "made length less drawn length along X, percent of the drawn one", "", nil},
	{calibration.ScaleY, "the same along Y", "", nil},
	{calibration.PinSize, "size of a round hole as a pin meets it, less the drawn size: half the taper is taken off", "", nil},
}

// MostName is the longest name of who measured, in characters: as of a title, which must fit a
// title block.
const MostName = 80

// IsName reports whether a process file can hold the name: one line with a letter.
func IsName(s string) bool {
	return utf8.RuneCountInString(s) <= MostName && strings.ContainsFunc(s, unicode.IsLetter) &&
		!strings.ContainsFunc(s, func(r rune) bool { return !unicode.IsPrint(r) })
}

// Write writes the file as people read it.
func (f File) Write(w io.Writer) error {
	var b strings.Builder
	line := func(key, value, is string) {
		if value != "" {
			fmt.Fprintf(&b, "%-34s # %s\n", key+": "+value, is)
		}
	}
	text := func(s string) string {
		if s == "" {
			return ""
		}
		return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(s) + `"`
	}
	b.WriteString("# Figures of a process, measured on a coupon. A job takes them by\n" +
		"#   make: {by: " + f.By + ", from: THIS-FILE}\n" +
		"# and keys of the job's own make override them. Lengths are in mm. The true value lies from low\n" +
		"# to high in 95 of 100 such measurements. told: false: the readings do not tell it, and the job\n" +
		"# takes its own figure or the usual one of the process. You may write a figure as a number alone;\n" +
		"# it is then taken as exact.\n")
	line("by", f.By, "the process")
	line("material", text(f.Material), "of the coupon")
	line("thickness_mm", units.Short(f.ThicknessMM), "of the sheet")
	if f.PieceMM > 0 {
		line("piece_mm", units.Short(f.PieceMM), "thickness of the coupon itself, which the taper is of")
	}
	line("pin", text(f.Pin), "the pin that was tried in the holes")
	line("coupon", text(f.Coupon), "checksum of the coupon that was measured")
	line("measured_on", f.MeasuredOn, "date of the measurement")
	line("measured_by", text(f.MeasuredBy), "who measured")
	b.WriteString("\n")
	for _, v := range f.Estimates {
		for _, q := range Quantities {
			if q.Key != v.Key {
				continue
			}
			value := "{told: false}"
			if v.Determined {
				value = fmt.Sprintf("{value: %s, low: %s, high: %s, told: true}", written(v.Value), written(v.Low),
					written(v.High))
			} else if _, bounded := f.Estimate(v.Key); bounded {
				value = fmt.Sprintf("{high: %s, told: false}", written(v.High))
			}
			fmt.Fprintf(&b, "# %s\n%s: %s\n", q.Is, q.Key, value)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// written keeps tenths of a micrometre, or of the hundredth of a percent.
func written(v float64) string { return units.Short(units.Round(v, 4)) }
