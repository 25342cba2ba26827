package register

import (
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
		b.Run(c.name+" made", func(b *testing.B) {
			for b.Loop() {
				if _, err := c.seat(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
