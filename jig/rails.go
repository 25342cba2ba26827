package jig

import (
	"math"

	"reseat/jig/geom"
	"reseat/jig/glued"
	"reseat/jig/job"
	"reseat/jig/part"
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
	spec := glued.RailSpec(j)
	l := rail.Lay(spec)
	out := railing{strips: l.Strips, rails: &Rails{
		StripMM: r.StripMM, HeightMM: r.HeightMM, GapMM: r.GapMM, Glue: r.Glue,
		WallMM: l.WallMM, EdgeMM: l.EdgeMM, BearingMM: l.BearingMM, Outlines: glued.Unpushed(l.Rails, r.Push), Plate: r.Plate,
	}}
	if r.Plate != "print" && r.Plate != "" {
		out.rails.Outlines = nil // its window is what keeps the board
	}
	woods := []string{j.Board.Wood}
	if j.Blank != nil {
		woods = append(woods, j.Blank.Wood)
	}
	t := part.GluePlateMM(j)
	area, edge := j.Board.GlueLand()
	g, err := rail.Glue(rail.GlueSpec{
		AreaMM2: area, EdgeMM: edge, Glue: r.Glue, Wood: rail.HardnessOf(woods...),
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
