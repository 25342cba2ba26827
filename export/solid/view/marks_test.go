package view

import (
	"math"
	"testing"

	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/stroke"
)

// fullPrint is the reference plate with everything a printed template can have.
func fullPrint(t testing.TB) *jig.Print {
	p := referencePrint()
	p.FootMM, p.EntryMM, p.WindowFootMM = 0.4, 0.6, 1
	for i, h := range p.Holes {
		word(t, p, []string{"P1", "P2", "P3", "P4", "P5", "P6"}[i], 5, geom.Rigid{Shift: h.Center.Add(geom.Vec{X: 6, Y: -2.5})})
	}
	word(t, p, "START END", 6, geom.Rigid{Shift: geom.Vec{X: 14, Y: 36}, Angle: math.Pi / 2})
	return p
}

// word engraves s, 0.6 deep in strokes 0.8 wide.
func word(t testing.TB, p *jig.Print, s string, height float64, at geom.Rigid) {
	t.Helper()
	strokes, _, err := stroke.Text(s, height)
	if err != nil {
		t.Fatal(err)
	}
	p.Marks = append(p.Marks, jig.PrintMark{Says: s, Strokes: stroke.Place(strokes, at), WidthMM: 0.8, LevelMM: p.ThicknessMM - 0.6})
}
