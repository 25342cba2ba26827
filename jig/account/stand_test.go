package account

import (
	"math"
	"math/rand/v2"
	"testing"

	"reseat/fit"
	"reseat/jig/job"
	"reseat/jig/part"
)

// TestStand stands pins that lean, puts holes over them where they go on, and moves them about.
func TestStand(t *testing.T) {
	for _, c := range []struct {
		name                      string
		leanDeg, least, most, sd0 float64 // clearance, and what it scatters by beside that
		slot                      bool
	}{
		{"upright", 0, 0.02, 0.04, 0.004, false},
		{"a little", 0.05, 0.02, 0.04, 0.004, false},
		{"as much as the hole is wide", 0.2, 0.02, 0.04, 0.004, false},
		{"more than the hole is wide", 0.6, 0.01, 0.05, 0.008, false},
		{"a little, in its slot", 0.05, 0.02, 0.04, 0.004, true},
		{"more than the slot is wide", 0.6, 0.01, 0.05, 0.008, true},
	} {
		const height, boards = 10.0, 40_000
		k := Case{Job: &job.Job{Dowel: job.Dowel{LeanRad: c.leanDeg * math.Pi / 180}}}
		k.Parts.Template = part.Part{ThicknessMM: height}
		k.Parts.Stand.LengthMM = 2 * height
		got := k.stand(Pin{LeastMM: c.least, MostMM: c.most, HalfMM: c.sd0 * fit.Normal95}, c.slot)
		r := rand.New(rand.NewPCG(5, 0))
		var off, play, n float64
		for n < boards {
			clear := (c.least+c.most)/2 + c.sd0*r.NormFloat64()
			o := k.Job.Dowel.LeanRad * height / fit.Normal95
			u, v := o*r.NormFloat64(), o*r.NormFloat64()
			x, y := clear*(r.Float64()-0.5), clear*(r.Float64()-0.5)
			for clear > 0 && (c.slot && math.Abs(v) > clear || !c.slot && math.Hypot(u, v) > clear) {
				u, v = o*r.NormFloat64(), o*r.NormFloat64()
			}
			if clear <= 0 {
				continue
			}
			n++
			if c.slot {
				y = (clear - math.Abs(v)) * (r.Float64() - 0.5)
				off, play = off+v*v/4, play+12*y*y
				continue
			}
			for max(math.Hypot(x-u/2, y-v/2), math.Hypot(x+u/2, y+v/2)) > clear/2 {
				// Never farther than what two circles share is long.
				reach := math.Sqrt(clear*clear - u*u - v*v)
				x, y = reach*(r.Float64()-0.5), reach*(r.Float64()-0.5)
			}
			off, play = off+(u*u+v*v)/8, play+8*(x*x+y*y)
		}
		off, play = off/n, play/n
		if math.Abs(got.off-off) > 0.03*off || math.Abs(got.play2-play) > 0.04*play {
			t.Errorf("%s: off %.3g, play %.3g mm2; stood up: %.3g, %.3g", c.name, got.off, got.play2, off, play)
		}
	}
}
