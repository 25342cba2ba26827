package assembly

import (
	"testing"

	"reseat/jig/geom"
)

func vec(u, v float64) geom.Vec { return geom.Vec{X: u, Y: v} }

// six places round a fingerboard.
var six = []geom.Vec{vec(-15, 45), vec(240, 45), vec(490, 45), vec(-15, -45), vec(240, -45), vec(490, -45)}

// located returns six joints: a round hole, a slot on the line to it, and four
// clear holes of 2 mm.
func located() []Joint {
	joints := make([]Joint, len(six))
	for i, at := range six {
		joints[i] = Joint{At: at, ClearMM: 2, ClearSDMM: 0.03, PositionSDMM: 0.03}
	}
	joints[0].ClearMM, joints[0].ClearSDMM = 0.02, 0.008
	joints[2].ClearMM, joints[2].ClearSDMM, joints[2].TravelMM = 0.02, 0.008, 1
	return joints
}

// allRound returns six tight round holes.
func allRound() []Joint {
	joints := make([]Joint, len(six))
	for i, at := range six {
		joints[i] = Joint{At: at, ClearMM: 0.1, ClearSDMM: 0.01, PositionSDMM: 0.02}
	}
	return joints
}

func BenchmarkSimulate(b *testing.B) {
	for _, c := range []struct {
		name   string
		joints []Joint
	}{
		{"round and slot", []Joint{located()[0], located()[2]}},
		{"round, slot, four clear", located()},
		{"six round", allRound()},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				r, err := Simulate(Spec{Joints: c.joints, Seed: 1})
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(r.Odds, "odds")
			}
		})
	}
}
