package seat

import (
	"math"
	"testing"

	"reseat/jig/geom"
)

func vec(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }

// near reports whether got is within half a unit of the last printed digit.
func near(got, want, digit float64) bool { return math.Abs(got-want) <= digit/2*(1+1e-9) }

// The two-pin values are the check values of the design contract, section 8
// (independent linear programmes).
func TestPinPairContract(t *testing.T) {
	p := PinPair{Round: vec(0, 0), Slot: vec(400, 0), RoundClearance: 0.03, SlotClearance: 0.05}
	f, err := p.Float([]geom.Vec{vec(200, 0), vec(600, 0)})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name             string
		got, want, digit float64
	}{
		{"theta", f.ThetaMax, 1.0000e-4, 1e-8},
		{"across mid", f.At[0].Across, 0.0200, 1e-4},
		{"across 600", f.At[1].Across, 0.0450, 1e-4},
		{"along", f.At[0].Along, 0.0150, 1e-4},
	} {
		if !near(c.got, c.want, c.digit) {
			t.Errorf("%s = %.6g, want %.6g", c.name, c.got, c.want)
		}
	}
}

// grownWindow is a board's outline moved outward by side at its long sides
// (square to them) and by end at start and far end.
func grownWindow(length, w0, w1, side, end float64) []geom.Vec {
	t := (w1 - w0) / 2 / length
	k := side * math.Hypot(1, t)
	v := func(u float64) float64 { return w0/2 + t*u + k }
	return []geom.Vec{vec(-end, -v(-end)), vec(length+end, -v(length+end)), vec(length+end, v(length+end)), vec(-end, v(-end))}
}

// Check values of the design contract, section 8 (independent linear programmes).
func TestNestContract(t *testing.T) {
	board := geom.Taper(480, 42, 56).Corners()
	features := []geom.Vec{vec(0, 0), vec(240, 0), vec(480, 0)}
	for _, c := range []struct {
		name                      string
		end, theta, across, along float64
	}{
		{"0.10 at each end", 0.1, 4.2198e-4, 0.10147, 0.1000},
		{"1.0 at each end", 1.0, 4.7656e-4, 0.11459, 1.0000},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := Nest{Window: grownWindow(480, 42, 56, 0.1, c.end), Board: board}.Float(features)
			if err != nil {
				t.Fatal(err)
			}
			if !near(f.ThetaMax, c.theta, 1e-8) {
				t.Errorf("theta = %.6g, want %.6g", f.ThetaMax, c.theta)
			}
			for i, m := range f.At {
				if !near(m.Across, c.across, 1e-5) {
					t.Errorf("across at %v = %.7f, want %.5f", features[i], m.Across, c.across)
				}
				if !near(m.Along, c.along, 1e-4) {
					t.Errorf("along at %v = %.6f, want %.4f", features[i], m.Along, c.along)
				}
			}
		})
	}
}
