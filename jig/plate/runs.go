package plate

import (
	"math"

	"reseat/jig/geom"
)

// apartMM keeps parts on a printer's bed apart, so that skirts and first layers do not
// meet. Common practice, no source.
const apartMM = 5.0

// Runs lays parts of the given sizes on a printer's bed, x by y, in their order: in rows
// from the front left, as many as fit, the rest in further runs; each run lies in the
// bed's middle. It returns the run of each part, from 1, and its lower left corner with
// the bed's at (0, 0). A part larger than the bed lies over its edges.
func Runs(sizes []geom.Vec, bedX, bedY float64) (run []int, at []geom.Vec) {
	var next geom.Vec // where the next part of the row begins
	depth, n := 0.0, 1
	for _, s := range sizes {
		if next.X > 0 && next.X+s.X > bedX {
			next, depth = geom.Vec{Y: next.Y + depth + apartMM}, 0
		}
		if next.Y > 0 && next.Y+s.Y > bedY {
			next, depth, n = geom.Vec{}, 0, n+1
		}
		run, at = append(run, n), append(at, next)
		next.X += s.X + apartMM
		depth = math.Max(depth, s.Y)
	}
	// Each run into the middle.
	most := map[int]geom.Vec{}
	for i, r := range run {
		most[r] = geom.Vec{X: math.Max(most[r].X, at[i].X+sizes[i].X), Y: math.Max(most[r].Y, at[i].Y+sizes[i].Y)}
	}
	for i, r := range run {
		at[i] = at[i].Add(geom.Vec{X: bedX, Y: bedY}.Sub(most[r]).Scale(0.5))
	}
	return run, at
}
