package solid

import (
	"errors"
	"math"
	"runtime"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig"
	"reseat/jig/geom"
)

func mark(says string, width, floor float64, strokes ...[]geom.Vec) jig.PrintMark {
	return jig.PrintMark{Says: says, Strokes: strokes, WidthMM: width, LevelMM: floor}
}

func line(pts ...float64) (out []geom.Vec) {
	for i := 0; i < len(pts); i += 2 {
		out = append(out, geom.Vec{X: pts[i], Y: pts[i+1]})
	}
	return out
}

// TestBadCuts: chamfers and marks that cannot be made are refused with their
// figures, before there is a mesh.
func TestBadCuts(t *testing.T) {
	nan := math.NaN()
	holed := func(p *jig.Print, x float64) {
		p.Holes = []jig.PrintHole{hole("p1", 30, 30, 6), hole("p2", 30+x, 30, 6)}
	}
	for _, tc := range []struct {
		name string
		edit func(p *jig.Print)
		says []string
	}{
		{"a foot that is not a number", func(p *jig.Print) { p.FootMM = nan }, []string{"foot chamfer: leg NaN mm, wanted 0 or 0.05 to 3"}},
		{"an entry below zero", func(p *jig.Print) { p.EntryMM = -0.3 }, []string{"entry chamfer: leg -0.3 mm"}},
		{"an endless window foot", func(p *jig.Print) { p.WindowFootMM = math.Inf(1) }, []string{"window foot chamfer: leg +Inf mm"}},
		{"feet over half the thickness", func(p *jig.Print) { p.FootMM, p.WindowFootMM = 3.1, 4 }, []string{"foot chamfer: leg 3.1 mm, wanted 0 or 0.05 to 3", "window foot chamfer: leg 4 mm"}},
		{"no straight hole left", func(p *jig.Print) { p.FootMM, p.EntryMM = 2, 4 }, []string{"foot 2 mm and entry 4 mm leave 0.000 mm of straight hole in a plate of 6"}},
		{"two legs almost alike", func(p *jig.Print) { p.FootMM, p.EntryMM = 0.4, 0.405 }, []string{"differ by less than 0.01 mm"}},
		{"feet that eat the web between holes", func(p *jig.Print) { holed(p, 6.7); p.FootMM = 0.4 }, []string{"hole p1: too near to the hole p2 for chamfers on the bed side: 0.700 mm of plate", "the chamfers take 0.800"}},
		{"entries that eat it", func(p *jig.Print) { holed(p, 6.7); p.EntryMM = 0.4 }, []string{"for chamfers on the top"}},
		{"feet of a hole and of the outline", func(p *jig.Print) { p.Holes = []jig.PrintHole{hole("p1", 3.6, 30, 6)}; p.FootMM = 0.4 }, []string{"hole p1: too near to the outline for chamfers on the bed side: 0.600 mm"}},
		{"an entry that reaches the plate's edge", func(p *jig.Print) { p.Holes = []jig.PrintHole{hole("p1", 3.6, 30, 6)}; p.EntryMM = 0.7 }, []string{"hole p1: too near to the outline for chamfers on the top"}},
		{"window foot and hole", func(p *jig.Print) {
			holed(p, 60)
			p.Window = box(40, 20, 80, 40)
			p.WindowFootMM = 2.5
			p.Holes[0].Center.X = 34.6
		}, []string{"hole p1: too near to the window for chamfers on the bed side: 2.400 mm", "the chamfers take 2.5"}},
		{"a rounding that vanishes", func(p *jig.Print) { p.Outline = geom.RoundCorners(p.Outline, 0.3); p.FootMM = 0.4 }, []string{"chamfer of outline: at (0.000, 0.300)", "the arc of radius 0.300 vanishes under a chamfer of 0.400"}},
		{"a short edge that vanishes", func(p *jig.Print) {
			p.Outline = geom.FromPoints(line(0, 0, 120, 0, 120, 60, 0.3, 60, 0, 59.9))
			p.FootMM = 0.4
		}, []string{"chamfer of outline: at (0.300, 60.000) nothing is left of the edge of 0.316"}},
		{"a needle of a corner", func(p *jig.Print) { p.Window = geom.FromPoints(line(20, 20, 100, 20, 20, 25)); p.WindowFootMM = 0.4 }, []string{"chamfer of window: at (100.000, 20.000) the corner of 3.6 degrees is too sharp"}},
		{"a neck that closes up", func(p *jig.Print) {
			p.Outline = geom.FromPoints(line(0, 0, 50, 0, 50, 29.7, 70, 29.7, 70, 0, 120, 0, 120, 60, 70, 60, 70, 30.3, 50, 30.3, 50, 60, 0, 60))
			p.FootMM = 0.4
		}, []string{"foot of outline: crosses itself"}},
		{"a mark without width", func(p *jig.Print) { p.Marks = []jig.PrintMark{mark("A", 0, 5, line(10, 10, 20, 10))} }, []string{"mark A: width 0 mm"}},
		{"marks through the plate and above it", func(p *jig.Print) {
			p.Marks = []jig.PrintMark{mark("A", 1, -1, line(10, 10, 20, 10)), mark("B", 1, 6, line(10, 20, 20, 20)), mark("C", 1, nan, line(10, 30, 20, 30))}
		}, []string{"mark A: ground at -1 mm", "mark B: ground at 6 mm", "mark C: ground at NaN mm"}},
		{"a mark down to the feet", func(p *jig.Print) {
			p.FootMM, p.Marks = 0.4, []jig.PrintMark{mark("A", 1, 0.4, line(10, 10, 20, 10))}
		}, []string{"mark A: ground at 0.4 mm, wanted 0.45 to 5.95"}},
		{"half a stroke and one from nowhere", func(p *jig.Print) {
			p.Marks = []jig.PrintMark{mark("A", 1, 5, line(10, 10), line(10, nan, 4, 4))}
		}, []string{"mark A: stroke 1 has 1 points", "stroke 2 has a point at (10, NaN)"}},
		{"a mark over the plate's edge", func(p *jig.Print) { p.Marks = []jig.PrintMark{mark("A", 1, 5, line(10, 10, 10, 0.4))} }, []string{"mark A: reaches beyond the plate's outline"}},
		{"marks over everything", func(p *jig.Print) {
			p.Window, p.Holes, p.EntryMM = box(40, 20, 80, 40), []jig.PrintHole{hole("p1", 20, 30, 6)}, 0.5
			p.Rails = []jig.PrintRail{rail(box(40, 42, 80, 46), 9)}
			p.Marks = []jig.PrintMark{mark("A", 1, 5, line(10, 30, 16.2, 30)), mark("B", 1, 5, line(81, 15, 81, 44, 60, 44), line(80, 30, 79, 30))}
		}, []string{"mark B: cuts into window", "mark B: cuts into rail 1", "mark A: cuts into entry of hole p1"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p := plate()
			tc.edit(p)
			_, err := Build(p)
			var bad *InputError
			if !errors.As(err, &bad) {
				t.Fatalf("error %v, want an InputError", err)
			}
			for _, s := range tc.says {
				if !strings.Contains(err.Error(), s) {
					t.Errorf("error %q does not say %q", err, s)
				}
			}
		})
	}
}

// TestRandomMarks: strokes at random that cross and run over themselves.
func TestRandomMarks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := plate()
		p.FootMM = rapid.SampledFrom([]float64{0, 0.4}).Draw(t, "foot")
		coarse := rapid.Bool().Draw(t, "coarse") // many strokes then meet in points
		at := func(name string, lo, hi float64) float64 {
			x := rapid.Float64Range(lo, hi).Draw(t, name)
			if coarse {
				x = math.Round(x)
			}
			return x
		}
		for i := range rapid.IntRange(1, 3).Draw(t, "marks") {
			m := mark(string(rune('A'+i)), rapid.SampledFrom([]float64{0.4, 0.6, 1, 2}).Draw(t, "width"), rapid.SampledFrom([]float64{5.4, 5.4, 5}).Draw(t, "floor"))
			for range rapid.IntRange(1, 4).Draw(t, "strokes") {
				var s []geom.Vec
				for range rapid.IntRange(2, 7).Draw(t, "points") {
					s = append(s, geom.Vec{X: at("x", 20, 50), Y: at("y", 15, 45)})
				}
				m.Strokes = append(m.Strokes, s)
			}
			p.Marks = append(p.Marks, m)
		}
		s, err := Build(p)
		if err != nil {
			t.Fatal(err)
		}
		// Round ends are followed from outside, by at most MarkTolMM.
		cut, want := 0.0, markVolume(p)
		p.Marks = nil
		bare, err := Build(p)
		if err != nil {
			t.Fatal(err)
		}
		cut = bare.VolumeMM3 - s.VolumeMM3
		if cut < want*0.995 || cut > want*1.03 {
			t.Fatalf("marks take %g mm3, by formula %g", cut, want)
		}
	})
}

// TestSweptArea: closed forms. A stroke of length l and width w covers
// w l + pi w^2 / 4; a bend by phi adds (phi/2 - tan(phi/2)) w^2 / 4 (elementary
// mensuration).
func TestSweptArea(t *testing.T) {
	v := func(x, y float64) geom.Vec { return geom.Vec{X: 510 + x, Y: 97 + y} }
	one := 4*0.6 + math.Pi*0.09
	bend := func(phi float64) float64 { return (phi/2 - math.Tan(phi/2)) * 0.09 }
	for _, tc := range []struct {
		name string
		pts  [][]geom.Vec
		want float64
	}{
		{"a stroke", [][]geom.Vec{{v(0, 0), v(4, 0)}}, one},
		{"a dot", [][]geom.Vec{{v(0, 0), v(0, 0)}}, math.Pi * 0.09},
		{"twice the same", [][]geom.Vec{{v(0, 0), v(4, 0)}, {v(0, 0), v(4, 0)}}, one},
		{"there and back", [][]geom.Vec{{v(0, 0), v(4, 0), v(0, 0)}}, one},
		{"straight on", [][]geom.Vec{{v(0, 0), v(1.3, 0), v(4, 0)}}, one},
		{"round a corner", [][]geom.Vec{{v(0, 0), v(4, 0), v(4, 4)}}, 2*one - math.Pi*0.09 + bend(math.Pi/2)},
		{"two bends", [][]geom.Vec{{v(0, 0), v(4, 0), v(6, 2*math.Sqrt(3)), v(10, 2*math.Sqrt(3))}}, 3*one - 2*math.Pi*0.09 + 2*bend(math.Pi/3)},
		{"a cross", [][]geom.Vec{{v(0, 0), v(4, 0)}, {v(2, -2), v(2, 2)}}, 2*one - 0.36},
		{"side by side without a gap", [][]geom.Vec{{v(0, 0), v(4, 0)}, {v(0, 0.6), v(4, 0.6)}}, 2 * one},
		{"apart", [][]geom.Vec{{v(0, 0), v(4, 0)}, {v(0, 9), v(4, 9)}}, 2 * one},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := sweptArea(capsules(mark("", 0.6, 1, tc.pts...)))
			if math.Abs(got-tc.want) > 1e-6 {
				t.Errorf("%.9f mm2, want %.9f", got, tc.want)
			}
		})
	}
}

// longPlate is 1500 x 200 with twelve holes, a window, rails, chamfers and ids.
func longPlate() *jig.Print {
	p := &jig.Print{
		File: "t.stl", ThicknessMM: 8, Outline: geom.RoundCorners(box(0, 0, 1500, 200), 4), Window: geom.Relieve(box(60, 70, 1440, 130), 1.6),
		Rails: []jig.PrintRail{rail(box(64, 130.1, 1436, 134.1), 14), rail(box(64, 65.9, 1436, 69.9), 14)},
	}
	for i := range 12 {
		h := hole("P"+string(rune('1'+i%6)), 60+1380*float64(i/2)/5, 30+140*float64(i%2), 6.1)
		p.Holes = append(p.Holes, h)
		p.Marks = append(p.Marks, word(h.ID, h.Center.Add(geom.Vec{X: 6, Y: -3.5}), 7.4))
	}
	return chamfered(p)
}

// mostBytes is what a 1500 mm template may take at most: the project's contract.
const mostBytes = 500 << 20

func TestLongPlateFitsInMemory(t *testing.T) {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	s, err := Build(longPlate())
	if err != nil {
		t.Fatal(err)
	}
	runtime.ReadMemStats(&after)
	// All that was ever asked for, so an upper bound on what was held.
	if asked := after.TotalAlloc - before.TotalAlloc; asked > mostBytes {
		t.Errorf("%d MB asked for", asked>>20)
	}
	t.Logf("%d facets, volume %.3f, formula %.3f, deviation %.5f, %.1f MB asked for", s.Facets, s.VolumeMM3, s.FormulaMM3, s.DeviationMM, float64(after.TotalAlloc-before.TotalAlloc)/(1<<20))
}
