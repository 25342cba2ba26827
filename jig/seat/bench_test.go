package seat

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"reseat/jig/geom"
)

func BenchmarkPinFloat(b *testing.B) {
	p := PinPair{Slot: vec(400, 0), RoundClearance: 0.03, SlotClearance: 0.05}
	at := benchFeatures()
	for b.Loop() {
		if _, err := p.Float(at); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSeatFloat(b *testing.B) {
	p := PinPair{Slot: vec(400, 0), RoundClearance: 0.03, SlotClearance: 0.05}
	sharp := geom.Taper(480, 42, 56)
	rounded := geom.RoundCorners(sharp, 3)
	for _, c := range []struct {
		name string
		nest Nest
	}{
		{"sharp corners", Nest{Window: sharp.Offset(0.1).Corners(), Board: sharp.Corners()}},
		{"corners of 3 mm, chords within a micrometre", Nest{Window: rounded.Offset(0.1).Flatten(1e-3), Board: rounded.Flatten(1e-3)}},
	} {
		b.Run(c.name, func(b *testing.B) {
			at := benchFeatures()
			for b.Loop() {
				if _, err := SeatFloat(p, &c.nest, at); err != nil {
					b.Fatal(err)
				}
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
	for _, c := range []struct {
		name string
		seat func() (Seat, error)
	}{
		{"pair", PinPair{Slot: vec(400, 0), RoundClearance: 0.03, SlotClearance: 0.05}.Seat},
		{"sharp nest", Nest{Window: sharp.Offset(0.1).Corners(), Board: sharp.Corners()}.Seat},
		{"rounded nest", Nest{Window: rounded.Offset(0.1).Flatten(1e-3), Board: rounded.Flatten(1e-3)}.Seat},
		{"two round", benchRound(2).Seat},
		{"six round", benchRound(6).Seat},
		{"twelve round", benchRound(12).Seat},
	} {
		s, err := c.seat()
		if err != nil {
			b.Fatal(err)
		}
		// Random places: a walk through the cube would let branches be foreseen.
		r := rand.New(rand.NewPCG(1, 1))
		us := make([][3]float64, 1<<12)
		for i := range us {
			us[i] = [3]float64{r.Float64(), r.Float64(), r.Float64()}
		}
		b.Run(c.name, func(b *testing.B) {
			i := 0
			for b.Loop() {
				s.Place(us[i&(len(us)-1)])
				i++
			}
		})
		b.Run(c.name+" made and placed once", func(b *testing.B) {
			for b.Loop() {
				s, err := c.seat()
				if err != nil {
					b.Fatal(err)
				}
				s.Place([3]float64{})
			}
		})
	}
}

// benchRound is pins beside a board, left and right in turn.
func benchRound(n int) (s RoundSet) {
	for i := range n {
		s.Holes = append(s.Holes, vec(500*float64(i)/float64(n-1), 44-88*float64(i%2)))
		s.Clearances = append(s.Clearances, 0.03+0.01*float64(i%3))
	}
	return s
}

func BenchmarkRoundReach(b *testing.B) {
	for _, n := range []int{2, 6, 12} {
		s, err := benchRound(n).Seat()
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			i := 0
			for b.Loop() {
				s.Reach(vec(float64(i%600), 0), geom.Polar(1, float64(i)))
				i++
			}
		})
		b.Run(fmt.Sprint(n, " float of ten features"), func(b *testing.B) {
			for b.Loop() {
				if _, err := benchRound(n).Float(benchFeatures()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
