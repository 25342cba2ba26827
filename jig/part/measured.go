package part

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/jig/calibration"
	"reseat/jig/geom"
	"reseat/jig/process"
	"reseat/jig/units"
)

// Straight is what a process makes of openings with straight walls.
type Straight struct {
	WiderMM  float64 // than drawn, beside the kerf
	UnsureMM float64 // of that or of the kerf, 95 %: alike in all walls of a part
}

// measured takes what a process file tells beside the keys of a make section: how sure its
// figures are, and a taper where no key has it. What a key of the job overrides is exact.
func (p *Part) measured() {
	m := p.Make.Measured
	half := func(key, name string) float64 {
		if f, ok := m.Estimate(key); ok && !slices.Contains(m.Overridden, name) {
			return f.Half()
		}
		return 0
	}
	// The taper as measured, and how much surer it is there than in the part: by half of that an
	// opening's size at a face is unsure beside all else.
	measured, _ := m.Estimate(calibration.Taper)
	taper, determined := m.TaperAt(p.ThicknessMM)
	if determined = determined && !slices.Contains(m.Overridden, "taper"); determined {
		p.Process.SetTaper(math.Abs(taper.Value))
	} else {
		measured, taper = process.Estimate{Value: p.Process.TaperMM}, process.Estimate{}
	}
	surer := math.Max(0, taper.Half()-measured.Half()) / 2
	kerf := half(calibration.Kerf, "kerf")
	if _, ok := m.Estimate(calibration.Kerf); ok {
		p.Straight = &Straight{UnsureMM: kerf}
	} else if p.Straight != nil {
		p.Straight.UnsureMM = half(calibration.Edge, "edge")
	}
	if p.Straight != nil {
		p.Straight.UnsureMM = math.Hypot(p.Straight.UnsureMM, surer)
	}
	// A hole is as sure as what pins found of it, where they were tried.
	p.Process.Unsure = math.Hypot(half(calibration.Bias, "bias"), math.Hypot(kerf, taper.Half()/2))
	if f, ok := m.Estimate(calibration.PinSize); ok && !p.Make.IsGiven("bias") {
		p.Process.SetBias(f.Value - p.Make.KerfMM + math.Abs(measured.Value)/2)
		p.Process.Unsure = math.Hypot(f.Half(), surer)
	} else if ok && p.Process.Unsure > 0 && len(m.Overridden) == 0 {
		p.Process.Unsure = math.Hypot(f.Half(), surer)
	}
}

// CutMM is how much smaller than it shall be an opening with straight walls is drawn.
func (p Part) CutMM() float64 { return p.Make.KerfMM + p.Make.EdgeMM }

// WallUnsureMM is how far off the width of an opening with straight walls may be beside its
// spread, 95 %, alike in all of them.
func (p Part) WallUnsureMM() float64 {
	if p.Straight == nil {
		return 0
	}
	return p.Straight.UnsureMM
}

// SpreadHalf is how far one opening strays from the mean of all: its spread and half of the
// taper.
func (p Part) SpreadHalf() float64 { return p.Process.Spread + p.Process.TaperMM/2 }

// WindowHalf is how far the window's width may be off, 95 %.
func (p Part) WindowHalf() float64 {
	return math.Hypot(p.Process.Spread, p.WallUnsureMM()) + p.Process.TaperMM/2
}

// scale is what is known of a machine's scale along one axis, mm per mm: what is made less what
// is drawn, and how far off that may be, 95 %. A scale whose interval holds 0 is taken as 0, and
// as unsure as its farther end. Router and drill bore bed and plate and cut the board's features
// on one machine, which a wrong scale stretches alike; it is not taken for them.
func (p Part) scale(key string) (s, unsure float64, ok bool) {
	if p.Make.Measured == nil || p.Make.By != "laser" && p.Make.By != "print" {
		return 0, 0, false
	}
	f, ok := p.Make.Measured.Estimate(key)
	if !ok {
		return 0, 0, false
	}
	if f.Low > 0 || f.High < 0 {
		return f.Value / 100, f.Half() / 100, true
	}
	return 0, math.Max(-f.Low, f.High) / 100, true
}

// Drawn is how many times as long as it shall be a length is drawn along the machine's X and Y.
func (p Part) Drawn() geom.Vec {
	x, _, _ := p.scale(calibration.ScaleX)
	y, _, _ := p.scale(calibration.ScaleY)
	return geom.Vec{X: 1 / (1 + x), Y: 1 / (1 + y)}
}

// scaleUnsure is how far off the part's size may be along the board and across it, 95 %, mm per
// mm: as measured, of a print otherwise what a scaled one still errs by.
func (p Part) scaleUnsure(longAxis string) (along, across float64) {
	if p.Make.By == "print" {
		along, across = printScale, printScale
	}
	if _, u, ok := p.scale(calibration.ScaleX); ok {
		across = u
	}
	if _, u, ok := p.scale(calibration.ScaleY); ok {
		along = u
	}
	if longAxis == "x" {
		along, across = across, along
	}
	if d := p.Drawn(); p.Make.By == "print" { // drawn by the mean of both
		along, across = along+math.Abs(d.X-d.Y)/2, across+math.Abs(d.X-d.Y)/2
	}
	return along, across
}

// ShrinkPct is what a print comes out short of what is drawn, percent of a length: by the job's
// own key, otherwise the mean of both axes as measured.
func (p Part) ShrinkPct() float64 {
	if d := p.Drawn(); !p.Make.IsGiven("shrink_pct") && d != (geom.Vec{X: 1, Y: 1}) {
		return 100 * (1 - 2/(d.X+d.Y))
	}
	return p.Make.ShrinkPct
}

// otherThickness is how far a thickness may lie from that of the coupon, as a share, before its
// figures are another sheet's. Common practice, no source.
const otherThickness = 0.1

// changes are what of a process is otherwise in another material or thickness.
var changes = map[string]string{
	"laser":  "kerf, taper and spread change with sheet and thickness",
	"router": "bias and edge change with how hard and how deep the cutter works",
	"drill":  "what a hole closes by changes with the material",
	"ream":   "what a hole closes by changes with the material",
	"print":  "what holes and walls shrink by changes with the filament",
}

// MeasuredSays tells what a process file has for the part, and whether it was measured in the
// part's own material and thickness.
func (p Part) MeasuredSays() (says string, here bool) {
	m := p.Make.Measured
	in := fmt.Sprintf("%s %s mm", m.Material, units.Short(m.ThicknessMM))
	same := strings.EqualFold(strings.Join(strings.Fields(m.Material), " "),
		strings.Join(strings.Fields(p.Material), " "))
	if here = same && math.Abs(m.ThicknessMM-p.ThicknessMM) <= otherThickness*p.ThicknessMM; !here {
		return fmt.Sprintf("%s was measured in %s, and the %s is %s %s mm: %s", m.Name, in, p.Name, p.Material,
			units.Short(p.ThicknessMM), changes[m.By]), false
	}
	says = fmt.Sprintf("%s was measured in %s", m.Name, in)
	if t, ok := m.TaperAt(p.ThicknessMM); ok && m.PieceMM > 0 {
		says += fmt.Sprintf(", its taper on a piece of %s mm: %s mm is taken, the middle of the same and of as much more "+
			"as the %s is thicker", units.Short(m.PieceMM), units.Fixed(math.Abs(t.Value), 3), p.Name)
	}
	if m.MeasuredOn != "" {
		says += " on " + m.MeasuredOn
	}
	if m.MeasuredBy != "" {
		says += " by " + m.MeasuredBy
	}
	for _, key := range m.Overridden {
		says += fmt.Sprintf("; the job's own %s.make.%s is taken", p.Key, key)
	}
	return says, true
}
