package register

import (
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
