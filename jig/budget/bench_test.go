package budget

import (
	"fmt"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/seat"
)

// BenchmarkCompute is the budget of a fingerboard's dots: 12 causes, two plays,
// as many runs as a job takes.
func BenchmarkCompute(b *testing.B) {
	for _, features := range []int{1, 10, 200} {
		b.Run(fmt.Sprintf("%d features", features), func(b *testing.B) {
			s := fingerboard(features)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Compute(s); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// fingerboard is a budget with causes of every law, invented.
func fingerboard(features int) Spec {
	at := func(u, v float64) geom.Vec { return geom.Vec{X: u, Y: v} }
	moved := func(du, dv, theta float64) Field { return Rigid(seat.Pose{DU: du, DV: dv, Theta: theta}) }
	s := Spec{Seed: 1, Sources: []Source{
		{
			Name:      "pin clearance",
			Play:      boxPlay{half: seat.Pose{DU: 0.015, DV: 0.02, Theta: 1e-4}},
			PlayScale: ClearanceShare{0.6, 0.15},
			Remedy:    "Ream the holes.",
		},
		{
			Name:   "window clearance",
			Play:   boxPlay{half: seat.Pose{DU: 0.1, DV: 0.1, Theta: 4e-4}},
			Remedy: "Push the board to two stops.",
		},
		{Name: "holes of the bed", Vars: []Var{
			{moved(1, 0, 0), 0.03, Normal}, {moved(0, 1, -1.0/400), 0.03, Normal}, {moved(0, 0, 1.0/400), 0.03, Normal},
		}},
		{Name: "holes of the template", Vars: []Var{
			{moved(1, 0, 0), 0.05, Normal}, {moved(0, 1, -1.0/400), 0.05, Normal}, {moved(0, 0, 1.0/400), 0.05, Normal},
		}},
		{Name: "kerf", Vars: []Var{{moved(0, 1, 0), 0.025, Uniform}, {moved(1, 0, 0), 0.025, Uniform}}},
		{Name: "square", Vars: []Var{{Shear(1.0/300, 0, at(240, 0)), 0.05, Sign}}},
		{Name: "moisture", Vars: []Var{{Strain(1e-4, 1e-3, at(0, 0)), 1, Fixed}}},
		{Name: "zero", Vars: []Var{{moved(1, 0, 0), 0.02, Normal}, {moved(0, 1, 0), 0.02, Normal}}, OwnHalf: 0.03},
	}}
	for i := range features {
		s.Features = append(s.Features,
			Feature{fmt.Sprintf("dot %d", i+1), at(480*float64(i)/float64(features), 11*float64(i%2))})
	}
	return s
}

// boxPlay is the set of poses whose three parts are each within half, of either sign,
// of the middle: its moves are a zonotope.
type boxPlay struct{ mid, half seat.Pose }

func (b boxPlay) Reach(at, dir geom.Vec) float64 {
	abs := func(x float64) float64 { return max(x, -x) }
	turn := seat.Pose{Theta: 1}.Motion(at).Dot(dir)
	return b.mid.Motion(at).Dot(dir) + abs(dir.X*b.half.DU) + abs(dir.Y*b.half.DV) + abs(turn*b.half.Theta)
}

func (b boxPlay) Place(u [3]float64) seat.Pose {
	return seat.Pose{
		DU:    b.mid.DU + (2*u[0]-1)*b.half.DU,
		DV:    b.mid.DV + (2*u[1]-1)*b.half.DV,
		Theta: b.mid.Theta + (2*u[2]-1)*b.half.Theta,
	}
}

func pose(du, dv, theta float64) seat.Pose { return seat.Pose{DU: du, DV: dv, Theta: theta} }
