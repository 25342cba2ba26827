package seat

import (
	"math/rand/v2"
	"testing"

	"reseat/jig/geom"
)

func BenchmarkSeries(b *testing.B) {
	p := PinPair{Slot: vec(400, 0), RoundClearance: 0.03, SlotClearance: 0.05}
	sharp := geom.Taper(480, 42, 56)
	rounded := geom.RoundCorners(sharp, 3)
	for _, c := range []struct {
		name  string
		seats []maker
	}{
		{"sharp corners", []maker{p, Nest{Window: sharp.Offset(0.1).Corners(), Board: sharp.Corners()}}},
		{"corners of 3 mm", []maker{p, Nest{Window: rounded.Offset(0.1).Flatten(1e-3), Board: rounded.Flatten(1e-3)}}},
		{"six round", []maker{benchRound(6)}},
		{"curved body", []maker{p, Contour{Outline: curved()["body"], Gaps: []float64{0.1}}}},
		{"curved body of 600 chords", []maker{p, Contour{Outline: chords(curved()["body"]), Gaps: []float64{0.1}}}},
	} {
		b.Run(c.name, func(b *testing.B) {
			at := benchFeatures()
			for b.Loop() {
				floatOf(b, at, c.seats...)
			}
		})
	}
}

// benchFeatures is a fingerboard's worth of dots.
func benchFeatures() []geom.Vec {
	var at []geom.Vec
	for i := range 10 {
		at = append(at, vec(40*float64(i), 0))
	}
	return at
}

func BenchmarkPlace(b *testing.B) {
	sharp := geom.Taper(480, 42, 56)
	rounded := geom.RoundCorners(sharp, 3)
	for name, of := range map[string]maker{
		"pair":         PinPair{Slot: vec(400, 0), RoundClearance: 0.03, SlotClearance: 0.05},
		"sharp nest":   Nest{Window: sharp.Offset(0.1).Corners(), Board: sharp.Corners()},
		"rounded nest": Nest{Window: rounded.Offset(0.1).Flatten(1e-3), Board: rounded.Flatten(1e-3)},
		"twelve round": benchRound(12),
		"curved body":  Contour{Outline: curved()["body"], Gaps: []float64{0.1}},
	} {
		s := must(b, of)
		// Random places: a walk through the cube would let branches be foreseen.
		r := rand.New(rand.NewPCG(1, 1))
		us := make([][3]float64, 1<<12)
		for i := range us {
			us[i] = [3]float64{r.Float64(), r.Float64(), r.Float64()}
		}
		b.Run(name, func(b *testing.B) {
			i := 0
			for b.Loop() {
				s.Place(us[i&(len(us)-1)])
				i++
			}
		})
	}
}

// chords follow an outline within a hundredth of a millimetre, as a flattened spline does.
func chords(l geom.Loop) geom.Loop { return geom.FromPoints(l.Flatten(0.002)) }

// benchRound is pins beside a board, left and right in turn.
func benchRound(n int) (s RoundSet) {
	for i := range n {
		s.Holes = append(s.Holes, vec(500*float64(i)/float64(n-1), 44-88*float64(i%2)))
		s.Clearances = append(s.Clearances, 0.03+0.01*float64(i%3))
	}
	return s
}
