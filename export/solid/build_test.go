package solid

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/deadsy/sdfx/sdf"
	"pgregory.net/rapid"

	"reseat/jig"
	"reseat/jig/geom"
)

// crossings returns the heights at which the upright line at (x, y) meets the
// mesh, lowest first: a way to the relief that knows nothing of how it was made.
// ok is false when the line meets an edge of a facet seen from above.
func crossings(m *Mesh, x, y float64) (out []float64, ok bool) {
	for _, f := range m.Facets {
		a, b, c := m.corner(f[0]), m.corner(f[1]), m.corner(f[2])
		s := (b[0]-a[0])*(y-a[1]) - (b[1]-a[1])*(x-a[0])
		t := (c[0]-b[0])*(y-b[1]) - (c[1]-b[1])*(x-b[0])
		u := (a[0]-c[0])*(y-c[1]) - (a[1]-c[1])*(x-c[0])
		if s > 0 && t > 0 && u > 0 || s < 0 && t < 0 && u < 0 {
			w := s + t + u
			out = append(out, (t*a[2]+u*b[2]+s*c[2])/w)
		} else if (s >= 0 && t >= 0 && u >= 0 || s <= 0 && t <= 0 && u <= 0) && (s != 0 || t != 0 || u != 0) {
			return nil, false
		}
	}
	if len(out) == 2 && out[0] > out[1] {
		out[0], out[1] = out[1], out[0]
	}
	return out, true
}

// facesOut asks the field on both sides of every facet whether that is outside and
// inside. A facet may have strayed sideways over an edge by the surface tolerance.
func facesOut(m *Mesh, f sdf.SDF3) error {
	const probeMM = 2 * surfaceTolMM
	for _, t := range m.Facets {
		a, b, c := vec(m.corner(t[0])), vec(m.corner(t[1])), vec(m.corner(t[2]))
		middle := a.Add(b).Add(c).MulScalar(1. / 3)
		step := vec(m.normal(t)).Normalize().MulScalar(probeMM)
		out, in := f.Evaluate(middle.Add(step)), f.Evaluate(middle.Sub(step))
		if !(out > -surfaceTolMM && in < surfaceTolMM) {
			return fmt.Errorf("the facet at %v does not have the body on its inner side", middle)
		}
	}
	return nil
}

// heights is what the print's description says stands at (x, y), and how far the
// nearest contour is.
func heights(p *jig.Print, x, y float64) (want []float64, gap float64) {
	at := geom.Vec{X: x, Y: y}
	gap = p.Outline.Distance(at)
	in := p.Outline.Contains(at)
	top := p.ThicknessMM
	for _, r := range p.Rails {
		gap = math.Min(gap, r.Outline.Distance(at))
		if r.Outline.Contains(at) {
			top = math.Max(top, r.TopMM)
		}
	}
	for _, m := range p.Marks {
		for _, c := range capsules(m) {
			d := c.distance(at)
			gap = math.Min(gap, math.Max(math.Abs(d)-markTolMM, 0))
			if d < 0 {
				top = math.Max(top, m.LevelMM)
			}
		}
	}
	voids := []geom.Loop{}
	if p.Window != nil {
		voids = append(voids, p.Window)
	}
	for _, h := range p.Holes {
		voids = append(voids, geom.Slot(h.Center, h.Angle, h.Travel, h.Diameter))
	}
	for _, l := range voids {
		gap = math.Min(gap, l.Distance(at))
		in = in && !l.Contains(at)
	}
	if !in {
		return nil, gap
	}
	return []float64{0, top}, gap
}

// storedTol is half the distance of float32 numbers between 32 and 64, as the
// heights are stored.
const storedTol = 2e-6

// lookOver holds a built solid against its description: the relief at places all
// over it, the volume within what the surface tolerance allows, Euler's count.
func lookOver(t *rapid.T, p *jig.Print, s *Solid) {
	onRelief(t, p, s)
	if err := facesOut(s.Mesh, field(p)); err != nil {
		t.Fatal(err)
	}
	// Euler and Poincare: V - E + F = 2 - 2 handles, E = 3 F / 2.
	handles := len(p.Holes)
	if p.Window != nil {
		handles++
	}
	if got := len(s.Mesh.Vertices) - s.Facets/2; got != 2-2*handles {
		t.Fatalf("Euler's number %d, want %d for %d holes through", got, 2-2*handles, handles)
	}
}

// onRelief asks at places all over a solid whether it has the heights that its
// description says.
func onRelief(t *rapid.T, p *jig.Print, s *Solid) {
	lo, hi := s.Min, s.Max
	for i := range 150 {
		// A low-discrepancy sequence (Kronecker, golden ratio squared and cubed
		// roots); any spread of places would do.
		x := lo[0] + (hi[0]-lo[0])*math.Mod(0.5+0.7548776662466927*float64(i), 1)
		y := lo[1] + (hi[1]-lo[1])*math.Mod(0.5+0.5698402909980532*float64(i), 1)
		want, gap := heights(p, x, y)
		if gap < math.Max(surfaceTolMM, p.FootMM) {
			continue
		}
		got, ok := crossings(s.Mesh, x, y)
		if !ok {
			continue
		}
		near := func(a, b float64) bool { return math.Abs(a-b) <= storedTol }
		if !slices.EqualFunc(got, want, near) {
			t.Fatalf("over (%g, %g) the mesh has %v, the print %v", x, y, got, want)
		}
	}
}

// anyPrint draws a plate with a window, rails that may lie on the window's
// edge to the last bit, beside it or over it, and holes and slots that stay
// clear of them.
func anyPrint(t *rapid.T) *jig.Print {
	f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	l, w0, w1 := f("board", 50, 1400), f("start", 20, 60), f("end", 20, 60)
	m := geom.Rigid{Shift: geom.Vec{X: 30, Y: 70}}
	if rapid.Bool().Draw(t, "upright") {
		m = geom.Rigid{Angle: math.Pi / 2, Shift: geom.Vec{X: 70, Y: 30}}
	}
	p := &jig.Print{
		File: "t.stl", ThicknessMM: f("thickness", 1, 25),
		Outline: m.Loop(geom.RoundCorners(box(-30, -70, l+30, 70), f("corner", 0, 10))),
	}
	window := geom.Taper(l, w0, w1)
	switch rapid.IntRange(0, 3).Draw(t, "window") {
	case 0:
		p.Window = m.Loop(window)
	case 1:
		p.Window = m.Loop(geom.RoundCorners(window, f("rounding", 0.1, 8)))
	case 2:
		p.Window = m.Loop(geom.Relieve(window, f("relief", 0.3, 4)))
	}
	if gap := rapid.SampledFrom([]float64{-1, 0, 0, 0.0001, 0.05, 0.1, 3}).Draw(t, "gap"); rapid.Bool().Draw(t, "rails") {
		top := p.ThicknessMM + f("rail", 0.2, 9)
		inset := rapid.SampledFrom([]float64{0, 0, 1, 5}).Draw(t, "inset")
		if gap < 0 {
			inset = 5 // so that the window's corner does not touch the cut rail in a point
		}
		for _, side := range []float64{1, -1} {
			a, b := geom.Vec{X: 0, Y: side * w0 / 2}, geom.Vec{X: l, Y: side * w1 / 2}
			along := b.Sub(a).Unit()
			n := along.Left().Scale(side)
			a, b = a.Add(along.Scale(inset)), b.Sub(along.Scale(inset))
			pts := []geom.Vec{a.Add(n.Scale(gap)), b.Add(n.Scale(gap)), b.Add(n.Scale(gap + 4)), a.Add(n.Scale(gap + 4))}
			if side < 0 {
				pts[0], pts[1], pts[2], pts[3] = pts[3], pts[2], pts[1], pts[0]
			}
			p.Rails = append(p.Rails, jig.PrintRail{Outline: m.Loop(geom.FromPoints(pts)), TopMM: top})
		}
	}
	for i := range rapid.IntRange(0, 6).Draw(t, "holes") {
		x, y := l*(float64(i)+0.5)/6+f("dx", -1, 1), rapid.SampledFrom([]float64{-55, 55}).Draw(t, "side")
		h := hole(fmt.Sprintf("p%d", i+1), x, y, f("d", 0.5, 5))
		if rapid.Bool().Draw(t, "slot") {
			h.Travel, h.Angle = f("travel", 0, 2), f("angle", -4, 4)
		}
		h.Center = m.Apply(h.Center)
		h.Angle += m.Angle
		p.Holes = append(p.Holes, h)
	}
	return p
}

func TestRandomPrints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPrint(t)
		s, err := Build(p)
		if err != nil {
			t.Fatal(err)
		}
		lookOver(t, p, s)
	})
}

// TestBadPrints: what cannot be made is refused with its figures, several faults at
// once where there are several.
func TestBadPrints(t *testing.T) {
	nan := math.NaN()
	eight := geom.FromPoints([]geom.Vec{{X: 20, Y: 20}, {X: 60, Y: 40}, {X: 60, Y: 20}, {X: 20, Y: 50}})
	holed := func(p *jig.Print, x float64) {
		p.Holes = []jig.PrintHole{hole("p1", 30, 30, 6), hole("p2", 30+x, 30, 6)}
	}
	for _, tc := range []struct {
		name string
		edit func(p *jig.Print)
		says []string
	}{
		{"thickness is not a number", func(p *jig.Print) { p.ThicknessMM = nan }, []string{"thickness NaN mm"}},
		{"no outline", func(p *jig.Print) { p.Outline = nil }, []string{"outline of 0 corners encloses nothing"}},
		{"outline run the wrong way", func(p *jig.Print) { p.Outline = p.Outline.Reverse() },
			[]string{"outline of 4 corners encloses nothing"}},
		{"outline far away", func(p *jig.Print) { p.Outline = box(0, 0, 1e9, 60) }, []string{"outline: corner (1e+09, 0)"}},
		{"several at once", func(p *jig.Print) {
			p.ThicknessMM = -1
			p.Holes = append(p.Holes, hole("p1", 10, nan, 6), hole("p2", 10, 10, -6))
			p.Rails = append(p.Rails, rail(box(10, 10, 20, 20), -3))
			p.Marks = append(p.Marks, mark("A", 0, 1, line(nan, 10, 20, 10)))
		}, []string{"thickness -1", "hole p1: at (10, NaN)", "hole p2: diameter -6", "rail 1: height -2", "mark A: width 0",
			"mark A: a point at (NaN, 10)"}},
		{"a foot that is not a number", func(p *jig.Print) { p.FootMM = nan }, []string{"foot chamfer: leg NaN mm"}},
		{"no straight hole left", func(p *jig.Print) { p.FootMM, p.EntryMM = 2, 4 },
			[]string{"foot of 2 mm and entry of 4 mm leave 0.000 mm of straight hole"}},
		{"two legs almost alike", func(p *jig.Print) { p.FootMM, p.EntryMM = 0.4, 0.405 },
			[]string{"differ by less than 0.01 mm"}},
		{"hole in the window", func(p *jig.Print) {
			p.Window = box(20, 20, 100, 40)
			p.Holes = append(p.Holes, hole("p1", 20, 30, 6))
		}, []string{"hole p1 overlaps window"}},
		{"holes that meet, and one over the edge", func(p *jig.Print) {
			p.Holes = append(p.Holes, hole("p1", 30, 30, 6), hole("p2", 35, 30, 6), hole("p3", 119, 30, 6))
		}, []string{"hole p1 overlaps hole p2", "hole p3 reaches beyond the plate's outline"}},
		{"window crosses itself", func(p *jig.Print) { p.Window = eight }, []string{"window crosses itself"}},
		{"feet that eat the web between holes", func(p *jig.Print) { holed(p, 6.7); p.FootMM = 0.4 },
			[]string{"chamfer of hole p1 overlaps chamfer of hole p2"}},
		{"entries that eat it", func(p *jig.Print) { holed(p, 6.7); p.EntryMM = 0.4 },
			[]string{"chamfer of hole p1 overlaps chamfer of hole p2"}},
		{"feet of a hole and of the outline", func(p *jig.Print) {
			p.Holes = []jig.PrintHole{hole("p1", 3.6, 30,
				6)}
			p.FootMM = 0.4
		}, []string{"chamfer of hole p1 reaches into the chamfer of the outline"}},
		{"an entry that reaches the plate's edge", func(p *jig.Print) {
			p.Holes = []jig.PrintHole{hole("p1", 3.6, 30,
				6)}
			p.EntryMM = 0.7
		}, []string{"chamfer of hole p1 reaches beyond the plate's outline"}},
		{"window foot and hole", func(p *jig.Print) {
			p.Window, p.WindowFootMM, p.Holes = box(40, 20, 80, 40), 2.5, []jig.PrintHole{hole("p1", 34.6, 30, 6)}
		}, []string{"hole p1 overlaps chamfer of window"}},
		{"a needle of a corner", func(p *jig.Print) {
			p.Window = geom.FromPoints(line(20, 20, 100, 20, 20,
				25))
			p.WindowFootMM = 0.4
		}, []string{"chamfer of window: the corner at (100.000, 20.000) is too sharp"}},
		{"a neck that closes up", func(p *jig.Print) {
			p.Outline = geom.FromPoints(line(0, 0, 50, 0, 50, 29.7, 70, 29.7, 70, 0, 120, 0, 120, 60, 70, 60, 70, 30.3, 50,
				30.3, 50, 60, 0, 60))
			p.FootMM = 0.4
		}, []string{"chamfer of outline crosses itself"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p := plate()
			tc.edit(p)
			_, err := Build(p)
			var bad inputError
			if !errors.As(err, &bad) {
				t.Fatalf("error %v, want an inputError", err)
			}
			for _, s := range tc.says {
				if !strings.Contains(err.Error(), s) {
					t.Errorf("error %q does not say %q", err, s)
				}
			}
		})
	}
}

// TestTouchingBodies: what would be no clean body is refused with its place.
func TestTouchingBodies(t *testing.T) {
	for _, tc := range []struct {
		name string
		edit func(p *jig.Print)
		says string
	}{
		{"two rails touch in a corner", func(p *jig.Print) {
			p.Rails = append(p.Rails, rail(box(20, 20, 40, 24), 12), rail(box(40, 24, 60, 28), 12))
		}, "1 edges shared by more than two facets, the first at (40.000, 24.000"},
		{"window touches the outline in corners", func(p *jig.Print) {
			p.Window = geom.FromPoints([]geom.Vec{{X: 0, Y: 30}, {X: 60, Y: 10}, {X: 90, Y: 30}, {X: 60, Y: 50}})
		}, "(0.000, 30.000"},
		{"window cuts the plate in two", func(p *jig.Print) { p.Window = box(50, 0, 60, 60) }, "2 separate bodies"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p := plate()
			tc.edit(p)
			if _, err := Build(p); err == nil || !strings.Contains(err.Error(), tc.says) {
				t.Errorf("error %v, want one that says %q", err, tc.says)
			}
		})
	}
}

// TestRailsAreCutAway: a rail ends at holes, the window and the plate's edge.
func TestRailsAreCutAway(t *testing.T) {
	p := plate()
	p.Window = box(20, 20, 100, 40)
	p.Holes = append(p.Holes, hole("p1", 20, 10, 4))
	p.Rails = append(p.Rails, rail(box(20, 38, 100, 44), 12), rail(box(15, 8, 25, 12), 12),
		rail(box(110, 8, 130, 12), 12))
	s, err := Build(p)
	if err != nil {
		t.Fatal(err)
	}
	want := (120*60-80*20-4*math.Pi)*6 + (80*4+10*4-4*math.Pi+10*4)*6
	if math.Abs(s.VolumeMM3-want) > surfaceTolMM*4*math.Pi*12 { // the hole's polygon is a trifle larger
		t.Errorf("volume %g, want %g", s.VolumeMM3, want)
	}
	if s.Holes[0].FreeMM < 4 || s.Max[0] != 120 {
		t.Errorf("free %g, reaches to %g", s.Holes[0].FreeMM, s.Max[0])
	}
}

// Free diameters are taken on all facets, not on those meant for a hole.
func TestFreeDiameterSeesEveryFacet(t *testing.T) {
	s, err := Build(plate())
	if err != nil {
		t.Fatal(err)
	}
	r := s.Mesh.measure([]jig.PrintHole{hole("a", 60, 30, 4), hole("b", 200, 30, 4)})
	if r.Holes[0].FreeMM != 0 {
		t.Errorf("solid plate is free for %g", r.Holes[0].FreeMM)
	}
	if r.Holes[1].FreeMM != 160 {
		t.Errorf("80 mm beside the plate it is free for %g, want 160", r.Holes[1].FreeMM)
	}
}

// TestFieldFindsTheWrongBody: a mesh of one print does not follow the field of
// another.
func TestFieldFindsTheWrongBody(t *testing.T) {
	base := chamfered(plate())
	base.Holes = []jig.PrintHole{hole("p1", 30, 30, 6), hole("p2", 90, 30, 6)}
	s, err := Build(base)
	if err != nil {
		t.Fatal(err)
	}
	for name, edit := range map[string]func(p *jig.Print){
		"a hole a little larger": func(p *jig.Print) { p.Holes[1].Diameter += 0.02 },
		"a hole more":            func(p *jig.Print) { p.Holes = append(p.Holes, hole("p3", 60, 30, 6)) },
		"thicker":                func(p *jig.Print) { p.ThicknessMM += 0.02 },
		"a little more chamfer":  func(p *jig.Print) { p.EntryMM += 0.02 },
		"no foot":                func(p *jig.Print) { p.FootMM = 0 },
		"a window":               func(p *jig.Print) { p.Window = box(40, 20, 80, 40) },
		"a rail":                 func(p *jig.Print) { p.Rails = append(p.Rails, rail(box(40, 20, 80, 24), 9)) },
		"a mark":                 func(p *jig.Print) { p.Marks = append(p.Marks, mark("I", 0.8, 6.6, line(50, 8, 50, 12))) },
	} {
		t.Run(name, func(t *testing.T) {
			p := *base
			p.Holes = slices.Clone(base.Holes)
			edit(&p)
			// A rail or mark that is wanted shows only where nothing stands: from the other side.
			if s.Mesh.verify(field(&p)) == nil && facesOut(s.Mesh, field(&p)) == nil {
				other, err := Build(&p)
				if err != nil || other.Mesh.verify(field(base)) == nil {
					t.Error("not found")
				}
			}
		})
	}
	turned := &Mesh{Vertices: s.Mesh.Vertices}
	for _, f := range s.Mesh.Facets {
		turned.Facets = append(turned.Facets, [3]int32{f[0], f[2], f[1]})
	}
	if facesOut(turned, field(base)) == nil {
		t.Error("a mesh turned inside out is taken")
	}
}

func TestLargePlates(t *testing.T) {
	for _, reach := range []float64{1500, 4000, 9000, 16000} {
		t.Run(fmt.Sprintf("%g mm", reach), func(t *testing.T) {
			p := &jig.Print{
				Outline: geom.RoundCorners(box(0, 0, reach, 200), 4), ThicknessMM: 8,
				Window: geom.Relieve(box(200, 50, reach-200, 150), 3),
				Holes:  []jig.PrintHole{hole("p1", 50, 50, 6.1), hole("p2", reach-50.1234, 50, 6.1)},
			}
			s, err := Build(p)
			if err != nil {
				t.Fatal(err)
			}
			if back := readSTL(t, stlOf(t, s.Mesh)); back.volumeMM3() != s.VolumeMM3 {
				t.Errorf("read back: volume %g, built %g", back.volumeMM3(), s.VolumeMM3)
			}
		})
	}
}

func TestGridIsExactInFloat32(t *testing.T) {
	for _, reach := range []float64{1, 520, 4096, 4097, 9000, largestMM} {
		g := gridFor(reach)
		for _, x := range []float64{reach, -reach, reach / 3, 0.1, reach - 0.0123} {
			p := g.mm(g.snap(geom.Vec{X: x, Y: -x}))
			if float64(float32(p.X)) != p.X || float64(float32(p.Y)) != p.Y {
				t.Errorf("reach %g: %v is not exact in float32", reach, p)
			}
			if d := p.Dist(geom.Vec{X: x, Y: -x}); d > g.snapMM() {
				t.Errorf("reach %g: snapping moved %g by %g", reach, x, d)
			}
		}
		if g.edgeChordMM() <= 0 {
			t.Errorf("reach %g: nothing is left for chords", reach)
		}
	}
}
