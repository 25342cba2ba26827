package layout

import (
	"fmt"
	"testing"
)

// BenchmarkPlace is the whole search on a usual board and on one of 1500 mm with twelve pins.
func BenchmarkPlace(b *testing.B) {
	for _, flip := range []Flip{NoFlip, FlipLong, FlipShort} {
		for _, w := range []*world{board(478, 41.5, 55, 81, 37), board(1500, 90, 120, 75, 50)} {
			w.Flip = flip
			if w.LengthMM > 1000 {
				w.Count, w.Region.StepMM = MostPins, 2
			}
			b.Run(fmt.Sprintf("%g mm, %d pins, flip %s", w.LengthMM, w.Count, flip), func(b *testing.B) {
				for b.Loop() {
					w.Place()
				}
			})
		}
	}
}

// BenchmarkParts are the steps of a design's pattern by themselves.
func BenchmarkParts(b *testing.B) {
	w := board(478, 41.5, 55, 81, 37)
	pins := w.Place().Pins
	for _, part := range []struct {
		name string
		run  func()
	}{
		{"survey", func() { w.Region.survey(enoughMM) }},
		{"limits", func() { w.Limits(pins) }},
		{"misses", func() { Misses(pins, w.TravelMM, 0) }},
	} {
		b.Run(part.name, func(b *testing.B) {
			for b.Loop() {
				part.run()
			}
		})
	}
}
