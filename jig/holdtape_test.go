package jig

import (
	"math"
	"strings"
	"testing"

	"reseat/jig/job"
)

// TestTape: a board in a nest lies on tape; a blank on its pins is clamped, and nothing
// speaks of tape then.
func TestTape(t *testing.T) {
	for name, wants := range map[string]bool{"ukulele-printed": true, "neck-second-side": false} {
		j, err := job.Read("../testdata/jobs/" + name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		d := build(t, j)
		said := strings.Contains(strings.Join(d.Notes, " "), "tape")
		for _, s := range d.Setups {
			said = said || strings.Contains(strings.Join(s.Steps, " "), " tape")
		}
		if (d.HoldDown != nil) != wants || said != wants {
			t.Errorf("%s: hold-down %v, tape is spoken of: %v, want %v", name, d.HoldDown, said, wants)
		}
	}
}

// TestTapeTold: the whole cut wants more tape than minutes, a softwood less than a hardwood,
// and a bed of raw fibres a seal.
func TestTapeTold(t *testing.T) {
	j, err := job.Read("../testdata/jobs/ukulele-printed.yaml")
	if err != nil {
		t.Fatal(err)
	}
	told := func(wood, bed string) (*Design, string) {
		d := build(t, j.Changed(func(c *job.Job) { c.Board.Wood, c.Bed.Material = wood, bed }))
		var steps []string
		for _, s := range d.Setups {
			steps = append(steps, s.Steps...)
		}
		return d, strings.Join(steps, "\n")
	}
	hard, steps := told("maple", "mdf")
	if !strings.Contains(steps, "sealed bed") || strings.Index(steps, "Seal the bed's top") > strings.Index(steps, "Clamp the bed") {
		t.Errorf("no seal in %s", steps)
	}
	soft, steps := told("sitka spruce", "birch plywood")
	if strings.Contains(steps, "seal") {
		t.Errorf("a seal on plywood: %s", steps)
	}
	h, s := hard.HoldDown, soft.HoldDown
	if !(h.NeedShortMM2 < h.NeedLastingMM2) || math.Abs(h.SidewaysN/s.SidewaysN-44./31) > 1e-9 {
		t.Errorf("hardwood %+v, softwood %+v", h, s)
	}
}

// TestStockReamerTold: following the note, the stock reamer does.
func TestStockReamerTold(t *testing.T) {
	j, err := job.Read("../testdata/jobs/bouzouki-fingerboard.yaml")
	if err != nil {
		t.Fatal(err)
	}
	const note = "(dowel: {standard: rod, class: h6}) the stock H7 reamer"
	if d := build(t, j); !strings.Contains(strings.Join(d.Notes, "\n"), note) {
		t.Errorf("no %q in %q", note, d.Notes)
	}
	d := build(t, j.Changed(func(c *job.Job) { c.Dowel.Standard, c.Dowel.Class = "rod", "h6" }))
	steps := strings.Join(d.Pins[0].Template.Steps, "\n")
	if strings.Contains(strings.Join(d.Notes, "\n"), note) || !strings.Contains(steps, "the stock H7 reamer") {
		t.Errorf("with h6 pins: %q, %s", d.Notes, steps)
	}
}
