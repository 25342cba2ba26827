package solid

import (
	"errors"
	"math"
	"testing"

	"reseat/export/solid/plan"
	"reseat/jig"
	"reseat/jig/geom"
)

// slope is the height that has its own value on each of two loops.
func slope(pl *plan.Plan, a int, za float64, b int, zb float64) *height {
	h := &height{at: map[int32]float32{}}
	for _, v := range pl.OnLoop[a] {
		h.at[v] = level(za)
	}
	for _, v := range pl.OnLoop[b] {
		h.at[v] = level(zb)
	}
	return h
}

// TestChamferedHole raises what no print describes yet: a hole with a 45 degree
// entry above and a wider one below. Rings of slopes between the contours, with
// a spoke at each corner so that each piece is plane.
func TestChamferedHole(t *testing.T) {
	const r, foot, entry, thick = 3.0, 0.4, 0.8, 6.0
	c := geom.Vec{X: 20, Y: 15}
	g := gridFor(100)
	d := &drawing{grid: g}
	n := 0
	circle := func(radius float64) int {
		poly := outward(geom.Slot(c, 0, 0, 2*r), g.holeChordMM(), 0)
		n = len(poly)
		for i, p := range poly {
			poly[i] = c.Add(p.Sub(c).Scale(radius / r))
		}
		return d.add(part{}, poly)
	}
	bore, footRing, entryRing := circle(r+g.snapMM()), circle(r+foot), circle(r+entry)
	edge := d.add(part{}, box(0, 0, 40, 30).Corners())
	for i := range n {
		d.contours = append(d.contours, plan.Contour{Loop: -1, Points: []plan.Point{
			d.contours[bore].Points[i], d.contours[footRing].Points[i], d.contours[entryRing].Points[i],
		}})
	}
	pl, err := plan.New(d.contours, len(d.parts), g.weldUnits())
	if err != nil {
		t.Fatal(err)
	}
	coats := []coat{
		{inside: edge, outside: -1, fill: true, bottom: &height{}, top: &height{z: thick}},
		{inside: entryRing, outside: footRing, top: slope(pl, entryRing, thick, footRing, thick-entry+foot)},
		{inside: footRing, outside: bore, top: slope(pl, footRing, thick-entry+foot, bore, thick-entry), bottom: slope(pl, footRing, 0, bore, foot)},
		{inside: bore, outside: -1, clear: true},
	}
	m, err := newRelief(pl, coats).raise(g)
	if err != nil {
		t.Fatal(err)
	}
	h := jig.PrintHole{ID: "p1", Center: c, Diameter: 2 * r}
	rep := m.Check([]jig.PrintHole{h})
	if err := rep.Err(); err != nil {
		t.Fatal(err)
	}
	if f := rep.Holes[0].FreeMM; f < 2*r || f > 2*r+FreeOverMM {
		t.Errorf("free diameter %g", f)
	}
	// Frustum of a cone: V = pi h (R^2 + R r + r^2) / 3 (elementary mensuration).
	frustum := func(a, b float64) float64 { return math.Pi * (b - a) * (a*a + a*b + b*b) / 3 }
	want := 40*30*thick - frustum(r, r+foot) - frustum(r, r+entry) - math.Pi*r*r*(thick-foot-entry)
	if math.Abs(rep.VolumeMM3-want) > SurfaceTolMM*2*math.Pi*(r+entry)*thick {
		t.Errorf("volume %g, want %g", rep.VolumeMM3, want)
	}
	needJudge(t)
	judge(t, &Solid{Mesh: m}, []jig.PrintHole{h}, "--quiet")
}

// TestEngravedStrokes lowers the top inside strokes that cross each other and
// the plate's edge, as marks and grooves do.
func TestEngravedStrokes(t *testing.T) {
	const thick, deep = 6.0, 0.6
	g := gridFor(100)
	d := &drawing{grid: g}
	edge := d.add(part{}, box(0, 0, 40, 30).Corners())
	d.coats = []coat{{inside: edge, outside: -1, fill: true, bottom: &height{}, top: &height{z: thick}}}
	strokes := []geom.Loop{
		geom.Slot(geom.Vec{X: 20, Y: 15}, 0, 8, 0.8), geom.Slot(geom.Vec{X: 20, Y: 15}, math.Pi/2, 8, 0.8),
		geom.Slot(geom.Vec{X: 20, Y: 15}, 0.9, 8, 0.8), box(30, 5, 44, 6),
	}
	for _, l := range strokes {
		k := d.add(part{}, outward(l, g.edgeChordMM(), 0))
		d.coats = append(d.coats, coat{inside: k, outside: -1, top: &height{z: thick - deep}})
	}
	pl, err := plan.New(d.contours, len(d.parts), g.weldUnits())
	if err != nil {
		t.Fatal(err)
	}
	m, err := newRelief(pl, d.coats).raise(g)
	if err != nil {
		t.Fatal(err)
	}
	rep := m.Check(nil)
	if err := rep.Err(); err != nil {
		t.Fatal(err)
	}
	if rep.Vertices-rep.Facets/2 != 2 {
		t.Errorf("Euler's number %d, want that of a ball", rep.Vertices-rep.Facets/2)
	}
	// By counting cells of a fine lattice over the strokes.
	const cell = 0.02
	cut := 0
	for i := range int(40 / cell) {
		for j := range int(30 / cell) {
			p := geom.Vec{X: (float64(i) + 0.51) * cell, Y: (float64(j) + 0.49) * cell}
			for _, l := range strokes {
				if l.Contains(p) {
					cut++
					break
				}
			}
		}
	}
	want := 40*30*thick - float64(cut)*cell*cell*deep
	if math.Abs(rep.VolumeMM3-want) > 0.3 { // half a cell along 40 mm of strokes' edges, 0.6 deep
		t.Errorf("volume %g, want %g", rep.VolumeMM3, want)
	}
}

func TestSlopesThatClash(t *testing.T) {
	pl, err := plan.New([]plan.Contour{
		{Points: []plan.Point{{X: 0, Y: 0}, {X: 9000, Y: 0}, {X: 9000, Y: 9000}, {X: 0, Y: 9000}}, Loop: 0},
		{Points: []plan.Point{{X: 4000, Y: 0}, {X: 9000, Y: 0}, {X: 9000, Y: 9000}, {X: 4000, Y: 9000}}, Loop: 1},
	}, 2, 5)
	if err != nil {
		t.Fatal(err)
	}
	ramp := func(z func(p plan.Point) float32, skip plan.Point) *height {
		h := &height{at: map[int32]float32{}}
		for v, p := range pl.Points {
			if p != skip {
				h.at[int32(v)] = z(p)
			}
		}
		return h
	}
	nowhere := plan.Point{X: -1, Y: -1}
	rising := func(p plan.Point) float32 { return 1 + float32(p.Y)/1000 }
	falling := func(p plan.Point) float32 { return 10 - float32(p.Y)/1000 }
	for _, tc := range []struct {
		name  string
		left  *height
		right *height
		want  string
	}{
		{"slopes cross over an edge", ramp(rising, nowhere), ramp(falling, nowhere), "two slopes cross over an edge"},
		{"a slope without a height at a corner", ramp(rising, plan.Point{X: 4000, Y: 0}), &height{z: 3}, "a contour runs into a slope"},
		{"nothing between bottom and top", &height{z: 0.001}, &height{z: 3}, "top and bottom meet"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, err := newRelief(pl, []coat{
				{inside: 0, outside: -1, fill: true, bottom: &height{}, top: tc.left},
				{inside: 1, outside: -1, top: tc.right},
			}).raise(gridFor(10))
			var bad *ShapeError
			if !errors.As(err, &bad) || bad.Says != tc.want {
				t.Errorf("error %v, want %q", err, tc.want)
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
	if u := gridFor(4096).unitMM; u != finestUnitMM {
		t.Errorf("grid %g up to 4096 mm, want %g", u, finestUnitMM)
	}
}
