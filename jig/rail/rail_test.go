package rail

import (
	"math"
	"testing"
)

// boardSpec is the board of the design's example job.
func boardSpec() Spec {
	return Spec{
		LengthMM: 478, WidthStartMM: 41.5, WidthEndMM: 55, ThicknessMM: 6.5, CrownRadiusMM: 350, ReachMM: 27.5,
		StripMM: 1, HeightMM: 4.5, GapMM: 0.15,
	}
}

func TestCrownDrop(t *testing.T) {
	// Chord and sagitta of a circle: a chord of 6 in a circle of radius 5 has a
	// sagitta of 1 (the 3-4-5 triangle, Euclid).
	for _, tc := range []struct {
		name       string
		r, v, want float64
	}{
		{"flat", 0, 20, 0},
		{"3-4-5 triangle", 5, 3, 1},
		{"on the datum line", 350, 0, 0},
		{"beyond the cylinder", 10, 12, 10},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := CrownDrop(tc.r, tc.v); math.Abs(got-tc.want) > 1e-12 {
				t.Errorf("CrownDrop(%g, %g) = %g, want %g", tc.r, tc.v, got, tc.want)
			}
		})
	}
}

func TestLayBearsOnTheBoard(t *testing.T) {
	for _, tc := range []struct {
		name   string
		change func(*Spec)
		want   float64 // bearing, mm
	}{
		// Edge of the wide end: 6.5 - (350 - sqrt(350^2 - 27.5^2)) = 5.4179.
		{"rail below the crowned edge", func(*Spec) {}, 5.4179 - 4.5},
		{"plate higher than the rail", func(s *Spec) { s.PlateMM = 6 }, 5.4179 - 6},
		{"flat board", func(s *Spec) { s.CrownRadiusMM = 0 }, 6.5 - 4.5},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s := boardSpec()
			tc.change(&s)
			p := Lay(s)
			if math.Abs(p.BearingMM-tc.want) > 1e-4 {
				t.Errorf("bearing %.4f, want %.4f", p.BearingMM, tc.want)
			}
		})
	}
}

func TestLayKeepsItsDistances(t *testing.T) {
	s := boardSpec()
	s.EndInsetMM = 10
	p := Lay(s)
	edge := math.Hypot(s.LengthMM, (s.WidthEndMM-s.WidthStartMM)/2)
	for i, l := range p.Strips {
		if got := l.Area(); math.Abs(got-edge*s.StripMM) > 1e-9 {
			t.Errorf("strip %d: area %g, want edge length x strip = %g (and counter-clockwise)", i, got, edge*s.StripMM)
		}
	}
	for i, l := range p.Rails {
		if want := edge * (1 - 20/s.LengthMM) * WidthMM; math.Abs(l.Area()-want) > 1e-9 {
			t.Errorf("rail %d: area %g, want %g", i, l.Area(), want)
		}
		side := 1 - 2*float64(i)
		for _, c := range l.Corners() {
			// Distance of the corner from the infinite board edge.
			slope := (s.WidthEndMM - s.WidthStartMM) / 2 / s.LengthMM
			d := (side*c.Y - s.WidthStartMM/2 - slope*c.X) / math.Hypot(1, slope)
			if math.Abs(d-s.GapMM) > 1e-9 && math.Abs(d-s.GapMM-WidthMM) > 1e-9 {
				t.Errorf("rail %d: corner %v is %g from the edge, want gap or gap + width", i, c, d)
			}
		}
	}
}
