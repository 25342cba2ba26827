package jig

import (
	"math"

	"reseat/jig/geom"
	"reseat/jig/plate"
	"reseat/jig/rail"
)

// rails lays out strips and rails when the job wants them.
func (b *builder) rails() {
	r := b.job.Rails
	if r == nil {
		return
	}
	if b.site.window == nil {
		b.book.judge("rail-on-plate", false, Warn, 0, 0, "", "a plate without a window (template.seat: pins) carries no rails",
			"leave rails out, or glue in a nest", "rails")
	}
	p := rail.Lay(b.railSpec())
	b.d.Rails = &Rails{
		StripMM: r.StripMM, HeightMM: r.HeightMM, GapMM: r.GapMM, Glue: r.Glue,
		WallMM: p.WallMM, EdgeMM: p.EdgeMM, BearingMM: p.BearingMM, Outlines: p.Rails,
	}
	if b.d.Blank != nil {
		b.d.Blank.Strips = p.Strips
	}
	b.glue()
}

// glue adds the figures of the gluing: glue, pressure, load on a rail.
func (b *builder) glue() {
	k, r := b.job.Board, b.job.Rails
	t, _ := b.printThickness()
	// A rail that does not stand above its plate bends nothing.
	spec := rail.GlueSpec{
		LengthMM: k.LengthMM, WidthStartMM: k.WidthStartMM, WidthEndMM: k.WidthEndMM,
		Glue: r.Glue, Wood: b.glueWood(),
		RailHeightMM: math.Max(0, r.HeightMM-t), RailLengthMM: k.LengthMM - 2*railInsetMM(k.LengthMM),
	}
	g, err := rail.Glue(spec)
	if err != nil {
		b.book.judge("rail-gluing", false, Warn, 0, 0, "", "the gluing is not computed", err.Error(), "rails")
		return
	}
	b.d.Rails.Gluing = &g
}

// glueWood is the softer or harder kind that sets the pressure: both woods that are
// glued.
func (b *builder) glueWood() rail.Hardness {
	woods := []string{b.job.Board.Wood}
	if k := b.job.Blank; k != nil {
		woods = append(woods, k.Wood)
	}
	return rail.HardnessOf(woods...)
}

// railSpec is what the rails are laid out from; the job wants rails.
func (b *builder) railSpec() rail.Spec {
	board, r := b.job.Board, b.job.Rails
	spec := rail.Spec{
		LengthMM: board.LengthMM, WidthStartMM: board.WidthStartMM, WidthEndMM: board.WidthEndMM,
		ThicknessMM: board.ThicknessMM, CrownRadiusMM: board.CrownRadiusMM,
		StripMM: r.StripMM, HeightMM: r.HeightMM, GapMM: r.GapMM, EndInsetMM: railInsetMM(board.LengthMM),
	}
	if t := b.job.Template; t.Seat == "nest" {
		// The rails stand on the printed plate, not over its window.
		spec.PlateMM, _ = b.printThickness()
		g := plate.Gaps(t.ClearanceMM, t.Push)
		spec.LeastGapMM = [2]float64{g[plate.Left], g[plate.Right]}
	}
	return spec
}

// standingRails returns the rails that stand up from the printed plate, which no
// pin hole may touch; none when the plate's own wall is as high.
func (b *builder) standingRails() []geom.Loop {
	if b.job.Rails == nil || b.job.Template.Seat != "nest" {
		return nil
	}
	spec := b.railSpec()
	if spec.HeightMM <= spec.PlateMM {
		return nil
	}
	return rail.Lay(spec).Rails
}

// railInsetMM keeps the rails off the board's ends, where fingers lift it out:
// a twentieth of the length. Common practice, no source.
func railInsetMM(length float64) float64 { return length / 20 }
