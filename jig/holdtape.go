package jig

import (
	"fmt"
	"math"

	"reseat/fit"
	"reseat/jig/holddown"
)

const mm2PerCM2 = 100.0

// holdDown judges whether double-sided tape under the board and under what carries it
// holds against the cutter, and tells how to lift them afterwards.
func (b *builder) holdDown() {
	n := len(b.d.Programs)
	if n == 0 || b.d.Programs[n-1].Part != "board" || len(b.d.Pins) == 0 {
		return
	}
	path, cutting := b.d.Programs[n-1].Path, b.job.Cutting
	r := holddown.Check(holddown.Spec{
		SpecificNMM2: cutting.ForceNmm2, DepthMM: path.Run.PassMM,
		FeedMMmin: path.FeedMMmin, RPM: path.SpindleRPM, Teeth: cutting.Teeth,
		Parts: tapedParts(b.d, b.job.Template.Seat == "pins"),
	})
	b.d.HoldDown = &r
	for _, h := range r.Parts {
		level := Warn
		if h.Level == holddown.Fail {
			level = Fail
		}
		b.book.judge("tape-"+h.Name, h.Level == holddown.Pass, level, h.AvailableMM2/mm2PerCM2,
			r.NeedLastingMM2/mm2PerCM2, "cm2",
			fmt.Sprintf("double-sided tape under the %s: %.0f cm2 can be laid, %.0f cm2 hold %.0f N sideways with a factor "+
				"of %.0f (force: %s)",
				h.Name, h.AvailableMM2/mm2PerCM2, r.NeedLastingMM2/mm2PerCM2, r.SidewaysN, holddown.Factor, r.Specific.Mark),
			"shallower passes (cutting.turn), a slower feed, or clamps", "cutting")
	}
	family := fit.FamilyOf(b.d.Template.Material)
	b.d.Lifting = holddown.Lifting(family == fit.CastAcrylic || family == fit.ExtrudedAcrylic)
	b.d.Notes = append(b.d.Notes, fmt.Sprintf(
		"Double-sided tape: at least %.0f cm2 under each part. Lift it with a thin blade from one end and a twist in the "+
			"plane; do not lever.",
		math.Ceil(r.NeedLastingMM2/mm2PerCM2)))
}

// tapedParts are what lies on tape: the board and the template, or the blank that the board
// is still part of.
func tapedParts(d *Design, inBlank bool) []holddown.Part {
	if inBlank {
		return []holddown.Part{{Name: "blank", AreaMM2: d.Blank.Outline.Area()}}
	}
	template := holddown.Part{Name: "template", AreaMM2: d.Template.Outline.Area()}
	if w := d.Template.Window; w != nil {
		template.LessMM2 = w.Area()
	}
	for _, p := range d.Pins {
		template.LessMM2 += math.Pi * p.Template.MaxMM * p.Template.MaxMM / 4
	}
	return []holddown.Part{{Name: "board", AreaMM2: d.Board.Outline.Area()}, template}
}
