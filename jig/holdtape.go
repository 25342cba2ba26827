package jig

import (
	"fmt"
	"math"
	"strings"

	"reseat/fit"
	"reseat/jig/holddown"
)

// holdDown asks whether double-sided tape under the board and under what carries it
// holds against the cutter, and tells how to lift them afterwards.
func (b *builder) holdDown() {
	if b.d.Pockets == nil || len(b.d.Pins) == 0 {
		return
	}
	var run *Program
	for i := range b.d.Programs {
		if b.d.Programs[i].Part == "board" {
			run = &b.d.Programs[i]
		}
	}
	if run == nil {
		return
	}
	s := b.settings().Filled(run.Path.Tool)
	spec := holddown.Spec{
		SpecificNMM2: b.job.Cutting.ForceNmm2, DepthMM: run.Run.PerTurnMM,
		FeedMMmin: s.FeedXYMMmin, RPM: s.SpindleRPM, Teeth: b.job.Cutting.Teeth,
	}
	board := holddown.Part{Name: "board", AreaMM2: b.d.Board.Outline.Area()}
	carrier := holddown.Part{Name: "template", AreaMM2: b.d.Template.Outline.Area()}
	if b.blank.carries {
		// The board is still part of the blank.
		carrier = holddown.Part{Name: "blank", AreaMM2: b.d.Blank.Outline.Area()}
		spec.Parts = []holddown.Part{carrier}
	} else {
		if w := b.d.Template.Window; w != nil {
			carrier.LessMM2 += w.Area()
		}
		for _, p := range b.d.Pins {
			carrier.LessMM2 += math.Pi * p.Template.MaxMM * p.Template.MaxMM / 4
		}
		spec.Parts = []holddown.Part{board, carrier}
	}
	r, err := holddown.Check(spec)
	if err != nil {
		b.book.judge("tape", false, Warn, 0, 0, "", "whether tape holds is not computed", err.Error(), "cutting")
		return
	}
	b.d.HoldDown = &r
	for _, h := range r.Parts {
		level := Warn
		if h.Level == holddown.Fail {
			level = Fail
		}
		b.book.judge("tape-"+h.Name, h.Level == holddown.Pass, level, h.Available.Value/mm2PerCM2, r.NeedLasting.Value/mm2PerCM2, "cm2",
			fmt.Sprintf("double-sided tape under the %s: %.0f cm2 can be laid, %.0f cm2 hold %.0f N sideways with a factor of %.0f (force: %s)",
				h.Name, h.Available.Value/mm2PerCM2, r.NeedLasting.Value/mm2PerCM2, r.Sideways.Value, r.Factor.Value, r.Specific.Basis),
			"shallower turns (cutting.turn), a slower feed, or clamps", "cutting")
	}
	acrylic := fit.FamilyOf(b.tmpl.material) == fit.CastAcrylic || fit.FamilyOf(b.tmpl.material) == fit.ExtrudedAcrylic
	var lift []string
	for _, a := range holddown.Lifting(false, acrylic) {
		lift = append(lift, strings.TrimSpace(a.Do+" "+a.Care))
	}
	b.d.Lifting = lift
	b.d.Notes = append(b.d.Notes, fmt.Sprintf(
		"Double-sided tape: at least %.0f cm2 under each part. Lift it with a thin blade from one end and a twist in the plane; do not lever.",
		math.Ceil(r.NeedLasting.Value/mm2PerCM2)))
}

const mm2PerCM2 = 100.0
