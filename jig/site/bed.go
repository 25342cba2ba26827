package site

import (
	"math"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/plate"
)

// bedRimMM is the sacrificial board's rim round what lies on it, room for tape or
// a clamp. Common practice, no source.
const bedRimMM = 15.0

// Bed is the outline of the job's bed, centred under the board, or of the least sacrificial
// board that carries plate and blank with bedRimMM to spare.
func (s *Site) Bed(j *job.Job) geom.Loop {
	if k := j.Bed; k.LengthMM > 0 && k.WidthMM > 0 {
		return plate.CenteredRect(j.Board.Center(), k.LengthMM, k.WidthMM)
	}
	box := s.Plate.Bounds()
	if s.Blank != nil {
		box = box.Union(s.Blank.Bounds())
	}
	box = box.Grow(bedRimMM)
	round := func(x float64) float64 { return math.Round(x*1e3) / 1e3 }
	return geom.Rect(geom.Box{
		Min: geom.Vec{X: round(box.Min.X), Y: round(box.Min.Y)},
		Max: geom.Vec{X: round(box.Max.X), Y: round(box.Max.Y)},
	})
}
