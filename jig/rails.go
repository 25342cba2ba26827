package jig

import (
	"math"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/part"
	"reseat/jig/plate"
	"reseat/jig/rail"
)

// railing is what keeps the board from sliding while the glue sets.
type railing struct {
	rails  *Rails // nil when the job asks for none
	strips []geom.Loop
	glue   error // why the gluing is not computed
	glued  error // the same of how the board is pressed on, and where it then lies
}

// railsOf lays out strips and rails when the job wants them, and works out glue,
// pressure and the load on a rail.
func railsOf(j *job.Job) railing {
	r := j.Rails
	if r == nil {
		return railing{}
	}
	spec := railSpec(j)
	l := rail.Lay(spec)
	out := railing{strips: l.Strips, rails: &Rails{
		StripMM: r.StripMM, HeightMM: r.HeightMM, GapMM: r.GapMM, Glue: r.Glue,
		WallMM: l.WallMM, EdgeMM: l.EdgeMM, BearingMM: l.BearingMM, Outlines: l.Rails, Plate: r.Plate,
	}}
	if r.Plate != "print" && r.Plate != "" {
		out.rails.Outlines = nil // its window is what keeps the board
	}
	woods := []string{j.Board.Wood}
	if j.Blank != nil {
		woods = append(woods, j.Blank.Wood)
	}
	t := part.GluePlateMM(j)
	g, err := rail.Glue(rail.GlueSpec{
		LengthMM: spec.LengthMM, WidthStartMM: spec.WidthStartMM, WidthEndMM: spec.WidthEndMM,
		Glue: r.Glue, Wood: rail.HardnessOf(woods...),
		// A rail that does not stand above its plate bends nothing.
		RailHeightMM: math.Max(0, r.HeightMM-t), RailLengthMM: spec.LengthMM - 2*spec.EndInsetMM,
	})
	if err != nil {
		out.glue = err
		return out
	}
	out.rails.Gluing = &g
	return out
}

// railSheet is the plate from sheet that the board is glued in; nil: it is another.
func (p plan) railSheet() *RailSheet {
	w := p.site.Landed
	if w == nil {
		return nil
	}
	out := &RailSheet{
		Material: p.Rails.Material, ThicknessMM: p.Rails.ThicknessMM, MakeBy: p.Rails.Make.By, KerfMM: p.Rails.Make.KerfMM,
		EdgeMM: p.Rails.Make.EdgeMM, Window: w.Loop, SetbackMM: w.SetbackMM, RoomML: w.RoomMM3 / 1e3, Wedges: w.Wedges,
		Marks: p.marks(p.site.Plate, func(q Pin) Hole { return *q.Rails }, w.Loop),
	}
	for _, e := range w.Lands {
		out.Lands = append(out.Lands, [2]geom.Vec{e.P, e.Q})
	}
	return out
}

// railSpec is what the rails are laid out from; the job wants rails.
func railSpec(j *job.Job) rail.Spec {
	b, r := j.Board, j.Rails
	spec := rail.Spec{
		LengthMM: b.LengthMM, WidthStartMM: b.WidthStartMM, WidthEndMM: b.WidthEndMM,
		ThicknessMM: b.ThicknessMM, CrownRadiusMM: b.CrownRadiusMM,
		StripMM: r.StripMM, HeightMM: r.HeightMM, GapMM: r.GapMM,
		// A twentieth of the length keeps the rails off the board's ends, where fingers
		// lift it out. Common practice, no source.
		EndInsetMM: b.LengthMM / 20,
	}
	if t := j.Template; t.Seat == "nest" {
		// The rails stand on the printed plate, not over its window.
		spec.PlateMM = part.GluePlateMM(j)
		g := plate.Gaps(t.ClearanceMM, t.Push)
		spec.LeastGapMM = [2]float64{g[plate.Left], g[plate.Right]}
	}
	return spec
}

// standingRails returns the rails that stand up from the printed plate, which no
// pin hole may touch; none when the plate's own wall is as high.
func standingRails(j *job.Job) []geom.Loop {
	if j.Rails == nil || j.Rails.Plate != "print" {
		return nil
	}
	spec := railSpec(j)
	if spec.HeightMM <= spec.PlateMM {
		return nil
	}
	return rail.Lay(spec).Rails
}
