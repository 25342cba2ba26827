package jig

import (
	"fmt"
	"os"
	"testing"

	"reseat/jig/job"
)

// placeAndSettle is the pattern's share of Build: two searches, holes, report.
func placeAndSettle(b *testing.B, j *job.Job) {
	w, err := newBuilder(j)
	if err != nil {
		b.Fatal(err)
	}
	if err := w.pattern(); err != nil {
		b.Fatal(err)
	}
	w.settle()
}

// BenchmarkExampleJobs is the pattern's share of each example.
func BenchmarkExampleJobs(b *testing.B) {
	for _, name := range []string{"bouzouki-fingerboard", "dulcimer-inches", "neck-second-side", "ukulele-printed"} {
		text, err := os.ReadFile("../testdata/jobs/" + name + ".yaml")
		if err != nil {
			b.Fatal(err)
		}
		j, err := job.Parse(name, text)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				placeAndSettle(b, j)
			}
		})
	}
}

// BenchmarkLargestJob is the like for a board of 1500 mm on twelve pins. The whole
// design is wanted under 200 ms.
func BenchmarkLargestJob(b *testing.B) {
	for _, seat := range []string{"nest", "pins"} {
		for _, flip := range []string{"none", "long", "short"} {
			j := parse(b, func(j *job.Job) {
				j.Board.LengthMM, j.Board.WidthStartMM, j.Board.WidthEndMM = 1500, 90, 120
				j.Blank.LengthMM, j.Blank.WidthMM = 1650, 220
				j.Machine.TravelMM = [3]float64{}
				j.Dowel.Count, j.Template.Seat, j.Template.Flip = mostPins, seat, flip
			})
			b.Run(fmt.Sprintf("%s, flip %s", seat, flip), func(b *testing.B) {
				for b.Loop() {
					placeAndSettle(b, j)
				}
			})
		}
	}
}

// BenchmarkPattern is the search alone, and what is told about its result.
func BenchmarkPattern(b *testing.B) {
	w, err := newBuilder(parse(b, nil))
	if err != nil {
		b.Fatal(err)
	}
	if err := w.pattern(); err != nil {
		b.Fatal(err)
	}
	s := w.spec()
	b.Run("survey", func(b *testing.B) {
		for b.Loop() {
			s.ground.survey(enoughSlackMM)
		}
	})
	b.Run("search", func(b *testing.B) {
		for b.Loop() {
			s.search()
		}
	})
	b.Run("limits", func(b *testing.B) {
		for b.Loop() {
			s.limits(w.found.pins)
		}
	})
	b.Run("foolproof", func(b *testing.B) {
		for b.Loop() {
			w.found.foolproof(w.travel)
		}
	})
}
