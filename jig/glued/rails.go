package glued

import (
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/part"
	"reseat/jig/plate"
	"reseat/jig/rail"
)

// RailSpec is what the rails are laid out from; the job wants rails.
func RailSpec(j *job.Job) rail.Spec {
	b, r := j.Board, j.Rails
	spec := rail.Spec{
		LengthMM: b.LengthMM, WidthStartMM: b.WidthStartMM, WidthEndMM: b.WidthEndMM,
		ThicknessMM: b.ThicknessMM, CrownRadiusMM: b.CrownRadiusMM, ReachMM: b.ReachMM(), Outline: b.Outline,
		StripMM: r.StripMM, HeightMM: r.HeightMM, GapMM: r.GapMM, FilmMM: r.FilmMM,
		// A twentieth of the length keeps the rails off the board's ends, where fingers
		// lift it out. Common practice, no source.
		EndInsetMM: b.LengthMM / 20,
	}
	if t := j.Template; t.Seat == "nest" {
		// The rails stand on the printed plate, not over its window.
		spec.PlateMM = part.GluePlateMM(j)
		g := plate.Gaps(t.ClearanceMM, t.Push)
		if r.Plate == "print" && t.Make.By != "print" { // drawn for gluing
			g, spec.GapMM = plate.GluedGaps(r.GapMM, r.FilmMM, r.Push), 0
		}
		spec.LeastGapMM = [2]float64{g[plate.Left], g[plate.Right]}
	}
	return spec
}

// StandingRails returns the rails that stand up from the printed plate, which no
// pin hole may touch; none when the plate's own wall is as high.
func StandingRails(j *job.Job) []geom.Loop {
	if j.Rails == nil || j.Rails.Plate != "print" {
		return nil
	}
	spec := RailSpec(j)
	if spec.HeightMM <= spec.PlateMM {
		return nil
	}
	return Unpushed(rail.Lay(spec).Rails, j.Rails.Push)
}

// Unpushed are the rails, left and right, that stand where no wedges push from.
func Unpushed(rails []geom.Loop, push string) []geom.Loop {
	switch {
	case len(rails) < 2:
		return rails
	case push == "left":
		return rails[:1]
	case push == "right":
		return rails[1:]
	}
	return rails
}
