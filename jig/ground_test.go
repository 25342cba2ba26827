package jig

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"reseat/jig/geom"
	"reseat/jig/job"
)

// TestLeapMissesNothing holds the leaping survey against the plain one.
func TestLeapMissesNothing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		b, err := newBuilder(parse(t, func(j *job.Job) {
			j.Board.LengthMM, j.Board.WidthStartMM, j.Board.WidthEndMM = f("length", 60, 300), f("start", 15, 80), f("end", 15, 80)
			j.Board.Features = nil
			u := f("u", 0, 300)
			j.Board.KeepOut = []job.KeepOut{{Name: "k", From: geom.Vec{X: u, Y: -60}, To: geom.Vec{X: u + f("long", 1, 90), Y: f("top", -50, 60)}}}
			j.Blank.LengthMM, j.Blank.WidthMM = f("blank length", 90, 420), f("blank width", 40, 200)
		}))
		if err != nil {
			rt.Fatal(err)
		}
		if err := b.pattern(); err != nil {
			rt.Fatal(err)
		}
		leapt, _, _ := b.ground.survey(true)
		plain, _, _ := b.ground.survey(false)
		if d := cmp.Diff(plain, leapt, cmp.AllowUnexported(spot{})); d != "" {
			rt.Fatalf("leaping differs: %s", d)
		}
	})
}
