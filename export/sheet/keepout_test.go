package sheet

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

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
			f.keepOut(c.box, shownKeepOuts(d, all)[0])
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

// The oracle asks points along the line one by one.
func TestRangesAgainstPoints(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		at := func(name string) geom.Vec {
			eighths := rapid.IntRange(-240, 240) // a line is no shorter than that, or a point
			return v(float64(eighths.Draw(r, name+" x"))/8, float64(eighths.Draw(r, name+" y"))/8)
		}
		p, q, c, radius := at("p"), at("q"), at("centre"), rapid.Float64Range(0.5, 20).Draw(r, "radius")
		box := geom.EmptyBox().Include(at("corner")).Include(at("other corner"))
		const n = 200
		for k := 0; k <= n; k++ {
			s := float64(k) / n
			x := p.Lerp(q, s)
			const rim = 1e-6 // at the very rim rounding decides
			got := chord(c, radius, p, q)
			in := s >= got.lo && s <= got.hi
			if math.Abs(x.Dist(c)-radius) > rim && p != q && in != (x.Dist(c) < radius) {
				r.Fatalf("the circle holds %v of the line; the point at %v: %v off its centre", got, s, x.Dist(c))
			}
			got = inside(box, p, q)
			in, out := s > got.lo+rim && s < got.hi-rim, s < got.lo-rim || s > got.hi+rim
			if in && !box.Grow(rim).Contains(x) || out && box.Grow(-rim).Contains(x) {
				r.Fatalf("the box holds %v of the line; the point at %v: %v", got, s, x)
			}
		}
	})
}

func TestKeepOutsAreHatchedRoundDotsAndNamed(t *testing.T) {
	d := samples()["bouzouki-noblank"]
	bare := samples()["bouzouki-noblank"]
	bare.Board.KeepOut = nil
	with, without := plan(d, math.NaN()), plan(bare, math.NaN())
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
			if c := chord(ft.At, ft.BoreMM/2, s.Path[0].Vec, s.Path[1].Vec); c.lo < c.hi {
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

func slanted(f *figure) int {
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
		for _, it := range plan(d, math.NaN()).Items {
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
	if diff := cmp.Diff(section(bare, 100).Items, section(thin, 100).Items); diff != "" {
		t.Errorf("the section of a cut plate shows rails: %s", diff)
	}
}
