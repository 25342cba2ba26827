package solid

import (
	"fmt"
	"math"
	"testing"

	"reseat/jig"
	"reseat/jig/geom"
)

// Strokes of a few letters in a field 4 wide and 7 high, drawn for these tests.
var letters = map[rune][][]geom.Vec{
	'P': {{{}, {Y: 7}, {X: 2, Y: 7}, {X: 3, Y: 6.8}, {X: 3.7, Y: 6.2}, {X: 4, Y: 5.25}, {X: 3.7, Y: 4.3}, {X: 3, Y: 3.7}, {X: 2, Y: 3.5}, {Y: 3.5}}},
	'1': {{{X: 1, Y: 5.5}, {X: 2.5, Y: 7}, {X: 2.5}}},
	'2': {{{Y: 5.5}, {X: .4, Y: 6.5}, {X: 1.3, Y: 7}, {X: 2.7, Y: 7}, {X: 3.6, Y: 6.5}, {X: 4, Y: 5.6}, {X: 3.6, Y: 4.4}, {}, {X: 4}}},
	'3': {{{Y: 7}, {X: 4, Y: 7}, {X: 2, Y: 4.2}, {X: 3.2, Y: 3.9}, {X: 4, Y: 2.2}, {X: 3.4, Y: .6}, {X: 2, Y: 0}, {X: .7, Y: .3}, {Y: 1.2}}},
	'4': {{{X: 3}, {X: 3, Y: 7}, {Y: 2}, {X: 4, Y: 2}}},
	'5': {{{X: 3.8, Y: 7}, {X: .5, Y: 7}, {X: .3, Y: 4}, {X: 1.5, Y: 4.4}, {X: 3, Y: 4.2}, {X: 4, Y: 2.4}, {X: 3.4, Y: .6}, {X: 2, Y: 0}, {Y: .6}}},
	'6': {{{X: 3.5, Y: 7}, {X: 1.2, Y: 5}, {Y: 2}, {X: .6, Y: .6}, {X: 2, Y: 0}, {X: 3.4, Y: .6}, {X: 4, Y: 2}, {X: 3.4, Y: 3.4}, {X: 2, Y: 4}, {X: .6, Y: 3.4}, {Y: 2}}},
	'S': {{{X: 4, Y: 6}, {X: 3, Y: 7}, {X: 1, Y: 7}, {Y: 5.8}, {X: .4, Y: 4.4}, {X: 3.6, Y: 2.8}, {X: 4, Y: 1.4}, {X: 3, Y: 0}, {X: 1, Y: 0}, {Y: 1}}},
	'T': {{{Y: 7}, {X: 4, Y: 7}}, {{X: 2, Y: 7}, {X: 2}}},
	'A': {{{}, {X: 2, Y: 7}, {X: 4}}, {{X: .8, Y: 2.6}, {X: 3.2, Y: 2.6}}},
	'R': {{{}, {Y: 7}, {X: 3, Y: 7}, {X: 4, Y: 6.2}, {X: 4, Y: 4.6}, {X: 3, Y: 3.6}, {Y: 3.6}}, {{X: 2.4, Y: 3.6}, {X: 4}}},
}

// word is a mark 0.6 deep in strokes 0.6 wide.
func word(says string, at geom.Vec, floor float64) jig.PrintMark {
	m := jig.PrintMark{Says: says, WidthMM: 0.6, LevelMM: floor}
	for _, r := range says {
		for _, s := range letters[r] {
			var t []geom.Vec
			for _, v := range s {
				t = append(t, v.Add(at))
			}
			m.Strokes = append(m.Strokes, t)
		}
		at.X += 5.5
	}
	return m
}

// lettered puts six ids and a word on the reference plate.
func lettered(p *jig.Print) *jig.Print {
	for i := range p.Holes {
		h := &p.Holes[i]
		h.ID = fmt.Sprintf("P%d", i+1)
		p.Marks = append(p.Marks, word(h.ID, h.Center.Add(geom.Vec{X: 6, Y: -3.5}), p.ThicknessMM-0.6))
	}
	p.Marks = append(p.Marks, word("START", p.Outline.Bounds().Min.Add(geom.Vec{X: 4, Y: 50}), p.ThicknessMM-0.6))
	p.Marks[6].Strokes = turned(p.Marks[6].Strokes, geom.Vec{X: 8, Y: 45})
	return p
}

// turned turns strokes a quarter turn about their first point and puts that at p.
func turned(strokes [][]geom.Vec, p geom.Vec) [][]geom.Vec {
	o := strokes[0][0]
	for _, s := range strokes {
		for i, v := range s {
			s[i] = v.Sub(o).Left().Add(p)
		}
	}
	return strokes
}

func TestMarksOnReferencePlate(t *testing.T) {
	for _, name := range []string{"marks alone", "with chamfers"} {
		t.Run(name, func(t *testing.T) {
			p := lettered(referencePlate())
			if name != "marks alone" {
				p = chamfered(p)
			}
			s, err := Build(p)
			if err != nil {
				t.Fatal(err)
			}
			if e := s.VolumeMM3/s.FormulaMM3 - 1; math.Abs(e) > 1e-4 {
				t.Errorf("volume %.3f mm3, formula %.3f", s.VolumeMM3, s.FormulaMM3)
			}
			t.Logf("%d facets, volume %.3f (%+.5f %%), free %.5f, deviation %.5f, marks %.5f, mark volume %.3f", s.Facets, s.VolumeMM3, 100*(s.VolumeMM3/s.FormulaMM3-1), s.Holes[0].FreeMM, s.DeviationMM, s.MarksDeviationMM, markVolume(p))
		})
	}
}

// TestJudgesOnMarks holds a marked plate before the outside judges, without
// --foot: where a mark's middle is not engraved the judge would have a foot
// chamfer under it.
func TestJudgesOnMarks(t *testing.T) {
	needJudge(t)
	p := chamfered(notched(2.5, 1.6))
	p.Marks = []jig.PrintMark{word("P1", geom.Vec{X: 16, Y: 8}, 5.4), word("AT6", geom.Vec{X: 40, Y: 48}, 5.2)}
	p.Rails = []jig.PrintRail{rail(box(22, 40.1, 98, 44.1), 11)}
	s, err := Build(p)
	if err != nil {
		t.Fatal(err)
	}
	t.Log(judge(t, s, p.Holes[:2]))
}
