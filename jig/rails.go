package jig

import (
	"reseat/jig/rail"
)

// rails lays out strips and rails when the job wants them.
func (b *builder) rails() {
	r := b.job.Rails
	if r == nil {
		return
	}
	board := b.job.Board
	spec := rail.Spec{
		LengthMM: board.LengthMM, WidthStartMM: board.WidthStartMM, WidthEndMM: board.WidthEndMM,
		ThicknessMM: board.ThicknessMM, CrownRadiusMM: board.CrownRadiusMM,
		StripMM: r.StripMM, HeightMM: r.HeightMM, GapMM: r.GapMM, EndInsetMM: railInsetMM(board.LengthMM),
	}
	if b.site.window != nil {
		// The rails stand on the printed plate, not over its window.
		spec.PlateMM, _ = b.printThickness()
		g := windowGaps(b.job.Template.ClearanceMM, b.job.Template.Push)
		spec.LeastGapMM = [2]float64{g[leftWall], g[rightWall]}
	}
	if b.site.window == nil {
		b.book.judge("rail-on-plate", false, Warn, 0, 0, "", "a plate without a window (template.seat: pins) carries no rails",
			"leave rails out, or glue in a nest", "rails")
	}
	p, err := rail.Lay(spec)
	if err != nil {
		b.book.judge("rail-layout", false, Fail, 0, 0, "", "the rails cannot be laid out", err.Error(), "rails")
		return
	}
	b.d.Rails = &Rails{
		StripMM: r.StripMM, HeightMM: r.HeightMM, GapMM: r.GapMM, Glue: r.Glue,
		WallMM: p.WallMM, EdgeMM: p.EdgeMM, BearingMM: p.BearingMM, Outlines: p.Rails,
	}
	if b.d.Blank != nil {
		b.d.Blank.Strips = p.Strips
	}
}

// railInsetMM keeps the rails off the board's ends, where fingers lift it out:
// a twentieth of the length. Common practice, no source.
func railInsetMM(length float64) float64 { return length / 20 }
