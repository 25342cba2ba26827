package sheet

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

func TestKeepOutOutline(t *testing.T) {
	all := geom.Box{Min: v(-20, -40), Max: v(120, 40)}
	for _, c := range []struct {
		name string
		box  geom.Box
		want float64 // length of outline on the paper, mm
	}{
		{"whole", geom.Box{Min: v(0, -4), Max: v(100, 4)}, 216},
		{"past the far end: that side stays open", geom.Box{Min: v(100, -4), Max: v(500, 4)}, 8 + 2*20},
		{"over everything: no side is seen", geom.Box{Min: v(-500, -500), Max: v(500, 500)}, 0},
		{"beside the drawn parts", geom.Box{Min: v(0, 50), Max: v(10, 60)}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := &jig.Design{Board: jig.Board{KeepOut: []jig.KeepOut{{Name: "rod", Box: c.box}}}}
			f := &figure{}
			f.keepOut(c.box, shownKeepOuts(to(d, 1), all)[0])
			got := 0.0
			for _, it := range f.Items {
				for _, e := range it.(picture.Stroke).Edges() {
					got += e.Q.Dist(e.P)
				}
			}
			if !cmp.Equal(c.want, got, near) {
				t.Errorf("%v mm of outline, want %v", got, c.want)
			}
		})
	}
}

func TestKeepOutsAreHatchedRoundDotsAndNamed(t *testing.T) {
	d := samples()["bouzouki-noblank"]
	bare := samples()["bouzouki-noblank"]
	bare.Board.KeepOut = nil
	with, without := plan(to(d, 1), math.NaN()), plan(to(bare, 1), math.NaN())
	if n, m := slanted(with), slanted(without); n < m+40 {
		t.Errorf("%d slanted lines with keep-outs, %d without; a channel of 430 mm must be hatched", n, m)
	}
	names := map[string]int{}
	for _, it := range with.Items {
		if x, ok := it.(picture.Text); ok {
			names[x.S]++
		}
	}
	for _, k := range d.Board.KeepOut {
		if names[k.Name] != 1 {
			t.Errorf("keep-out %q is named %d times", k.Name, names[k.Name])
		}
	}
	for _, ft := range d.Board.Features {
		for _, it := range with.Items {
			s, ok := it.(picture.Stroke)
			if !ok || !isSlanted(s) {
				continue
			}
			if s.Path.Edge(0).Distance(ft.At) < ft.BoreMM/2 {
				t.Errorf("a hatch line runs through %s", ft.Name)
			}
		}
	}
}

// isSlanted tells a hatch line: thin, straight, at 45 degrees.
func isSlanted(s picture.Stroke) bool {
	if s.Pen != picture.PenThin || len(s.Path) != 2 {
		return false
	}
	d := s.Path[1].Sub(s.Path[0].Vec)
	const rounding = 1e-9 // of the length: the line was turned by 45 degrees and back
	return math.Abs(d.X-d.Y) < rounding*d.Norm()
}

func slanted(f *block.Figure) int {
	n := 0
	for _, it := range f.Items {
		if s, ok := it.(picture.Stroke); ok && isSlanted(s) {
			n++
		}
	}
	return n
}

func TestRailsOfTheTwinArePaleAndSaySo(t *testing.T) {
	for _, c := range []struct {
		name, says string
		pen        picture.Pen
	}{
		{"bouzouki", "rail of the printed plate, 4.5 high", picture.PenAdjacent}, // cut from sheet
		{"printed", "rail, 4.5 high", picture.PenOutline},
	} {
		d := samples()[c.name]
		said, pens := 0, []picture.Pen{}
		for _, it := range plan(to(d, 1), math.NaN()).Items {
			switch it := it.(type) {
			case picture.Text:
				if it.S == c.says {
					said++
				}
			case picture.Stroke:
				for _, r := range d.Rails.Outlines {
					if cmp.Equal(geom.Loop(it.Path), r) {
						pens = append(pens, it.Pen)
					}
				}
			}
		}
		if diff := cmp.Diff([]picture.Pen{c.pen, c.pen}, pens); diff != "" || said != 1 {
			t.Errorf("%s: said %d times; pens %s", c.name, said, diff)
		}
	}
	// A thin sheet: its printed rails would rise above it, yet it has none.
	thin := samples()["bouzouki"]
	thin.Template.ThicknessMM = 3
	bare := samples()["bouzouki"]
	bare.Template.ThicknessMM = 3
	bare.Print.Rails = nil
	if diff := cmp.Diff(section(to(bare, 1), 100).Items, section(to(thin, 1), 100).Items); diff != "" {
		t.Errorf("the section of a cut plate shows rails: %s", diff)
	}
}

// A plate printed in parts shows its seams, with the keys; one that is cut from sheet has none.
func TestSeams(t *testing.T) {
	d := samples()["printed"]
	d.Split = &jig.Split{SeamsMM: []float64{120}}
	half := func(from, to float64) jig.Print {
		return jig.Print{Scale: 1, Place: geom.Rigid{Shift: v(40, 7)}, Outline: rect(v(from+40, -30+7), v(to+40, 30+7))}
	}
	d.Parts = []jig.Print{half(-20, 120), half(120, 270)}
	seams := func() (lines, names int) {
		for _, it := range plan(to(d, 2), math.NaN()).Items {
			switch it := it.(type) {
			case picture.Stroke:
				if b := it.Path.Bounds(); it.Closed && (math.Abs(b.Min.X-60) < 1e-9 || math.Abs(b.Max.X-60) < 1e-9) {
					lines++
				}
			case picture.Text:
				if it.S == "seam" {
					names++
				}
			}
		}
		return lines, names
	}
	if lines, names := seams(); lines != 2 || names != 1 {
		t.Errorf("%d parts end at the seam, %d names", lines, names)
	}
	d.Template.MakeBy = "laser"
	if lines, names := seams(); lines != 0 || names != 0 {
		t.Errorf("a plate from sheet has %d, %d", lines, names)
	}
}
