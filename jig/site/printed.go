package site

import (
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/plate"
)

// printedWindow is the window of the printed plate that a straight-sided board is glued in, with pockets for
// wedges where it is pushed, and the wedges. A template that is printed has the one window for both; a
// plate for gluing alone is drawn for the board with film beside it.
func (s Site) printedWindow(j *job.Job) (window geom.Loop, pairs []plate.Wedge) {
	b, t, k := j.Board, j.Template, j.Rails
	board := geom.Taper(b.LengthMM, b.WidthStartMM, b.WidthEndMM)
	window, gaps := s.Window, plate.Gaps(t.ClearanceMM, t.Push)
	if t.Make.By != "print" {
		gaps = plate.GluedGaps(k.GapMM, k.FilmMM, k.Push)
		window, _ = plate.Window(plate.Walls(board, gaps), b.CornerRadiusMM, beamMM, 0)
	}
	if out, all, ok := plate.Pocketed(window, board, gaps, plate.PushedFrom(k.Push)); ok && len(all) > 0 {
		return out, all
	}
	return window, nil
}

// BarMM is what the plate for gluing is wide beside the board, at least: behind its pockets for wedges.
func (s Site) BarMM() float64 {
	bar := s.MarginMM
	for _, k := range s.Wedges() {
		bar = min(bar, s.MarginMM-k.NominalMM())
	}
	return bar
}

// Wedges are those that push the board while it is glued; none without a push.
func (s Site) Wedges() []plate.Wedge {
	if s.Landed != nil {
		return s.Landed.Wedges
	}
	return s.Pairs
}
