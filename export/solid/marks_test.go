package solid

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/stroke"
)

// word is a raised mark of the tool's own letters, turned about its lower left corner.
func word(t interface{ Fatal(...any) }, says string, height, turn float64, at geom.Vec, level float64) jig.PrintMark {
	m := jig.PrintMark{Says: says, WidthMM: 0.8, LevelMM: level}
	strokes, err := stroke.Text(says, height)
	if err != nil {
		t.Fatal(err)
	}
	place := geom.Rigid{Angle: turn, Shift: at}
	for _, s := range strokes {
		var l []geom.Vec
		for _, v := range s {
			l = append(l, place.Apply(v))
		}
		m.Strokes = append(m.Strokes, l)
	}
	return m
}

// lettered puts six ids and a word on the reference plate.
func lettered(t interface{ Fatal(...any) }, p *jig.Print) *jig.Print {
	for i, h := range p.Holes {
		at := h.Center.Add(geom.Vec{X: 6, Y: -3.5})
		p.Marks = append(p.Marks, word(t, fmt.Sprintf("P%d", i+1), 5, 0, at, p.ThicknessMM+0.6))
	}
	p.Marks = append(p.Marks, word(t, "START", 5, math.Pi/2, geom.Vec{X: 10, Y: 45}, p.ThicknessMM+0.6))
	return p
}

// TestEveryMark: whatever the tool writes, at any turn and size, is raised; Build's
// way out, a plate without marks, is not needed.
func TestEveryMark(t *testing.T) {
	texts := []string{"START"}
	for i := range 24 {
		texts = append(texts, fmt.Sprintf("P%d", i+1))
	}
	for i := range 9 {
		texts = append(texts, fmt.Sprintf("%d/9", i+1))
	}
	for i, says := range texts {
		for _, height := range []float64{3, 4, 5} {
			p := plate()
			p.Marks = []jig.PrintMark{word(t, says, height, 0.3*float64(i), geom.Vec{X: 60, Y: 30}, p.ThicknessMM+0.6)}
			if _, err := build(p); err != nil {
				t.Errorf("%s, %g mm high: %v", says, height, err)
			}
		}
	}
}

// TestRandomMarks: strokes at random that cross and run over themselves.
func TestRandomMarks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := plate()
		p.FootMM = rapid.SampledFrom([]float64{0, 0.4}).Draw(t, "foot")
		m := mark("A", rapid.SampledFrom([]float64{0.4, 0.6, 1, 2}).Draw(t, "width"), 6.6)
		for range rapid.IntRange(1, 8).Draw(t, "strokes") {
			var s []geom.Vec
			for range rapid.IntRange(2, 7).Draw(t, "points") {
				s = append(s, geom.Vec{X: rapid.Float64Range(20, 50).Draw(t, "x"), Y: rapid.Float64Range(15, 45).Draw(t, "y")})
			}
			m.Strokes = append(m.Strokes, s)
		}
		p.Marks = append(p.Marks, m)
		s, err := build(p)
		if err != nil {
			t.Skip(err) // then the plate is built without them
		}
		onRelief(t, p, s)
	})
}

// TestMarksThatCut: a plate is built without marks that cut into something.
func TestMarksThatCut(t *testing.T) {
	p := plate()
	p.Window, p.Holes, p.EntryMM = box(40, 20, 80, 40), []jig.PrintHole{hole("p1", 20, 30, 6)}, 0.5
	p.Rails = []jig.PrintRail{rail(box(40, 42, 80, 46), 9)}
	for _, tc := range []struct {
		says string
		line []geom.Vec
	}{
		{"marks reaches beyond the plate's outline", line(10, 10, 10, 0.4)},
		{"chamfer of hole p1 overlaps marks", line(10, 30, 16.2, 30)},
		{"window overlaps marks", line(80.2, 30, 90, 30)},
		{"rail 1 overlaps marks", line(60, 44, 60, 50)},
	} {
		p.Marks = []jig.PrintMark{mark("A", 1, 6.6, tc.line)}
		if _, err := build(p); err == nil || err.Error() != tc.says {
			t.Errorf("error %v, want %s", err, tc.says)
		}
		if s, err := Build(p); err != nil || s.Max[2] != 9 {
			t.Errorf("without marks: %v", err)
		}
	}
}
