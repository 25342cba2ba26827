package beam

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/testdata/reference"
)

func near(got, want, rel float64) bool { return math.Abs(got-want) <= rel*math.Abs(want) }

// A bar is checked against one cut into short pieces, whose curvature is summed twice and whose
// shear is summed once, with no closed form of a deflection in it.
func TestBarAgainstSummedBeam(t *testing.T) {
	const n = 20000
	sum := func(b Bar, l float64, moment, force func(z float64) float64) (d float64) {
		slope, dz := 0.0, l/n
		for i := range n {
			z := (float64(i) + 0.5) * dz
			k := moment(z) / b.Stiffness()
			d += (slope + k*dz/2) * dz
			slope += k * dz
			d += force(z) / b.shear() * dz
		}
		return d
	}
	one := func(float64) float64 { return 1 }
	rail, bridge, side := Bar{1, 4, 3500, 0}, Bar{6, 5, 800, 595}, Bar{6, 24, 2800, 0}
	const q, l = 1.5, 200.0
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"rail, held below", rail.Cantilever(4.5, 1), sum(rail, 4.5, func(z float64) float64 { return 4.5 - z }, one)},
		{"bridge, no end turns", bridge.Guided(3, 1), sum(bridge, 3, func(z float64) float64 { return 1.5 - z }, one)},
		// Half of it, held in its middle, with the support's force on its end and the load on it.
		{"span", side.Span(l, q), sum(side, l/2, func(z float64) float64 { s := l/2 - z; return q*l/2*s - q*s*s/2 },
			func(z float64) float64 { return q * z })},
	} {
		if !near(c.got, c.want, 1e-6) {
			t.Errorf("%s: %g, the summed beam %g", c.name, c.got, c.want)
		}
	}
	if got := (Bar{10, 20, 0, 0}).Stress(4000); got != 6 {
		t.Errorf("stress %g, want 6 x 4000 / (10 x 400)", got)
	}
}

// Timoshenko and Gere, Theory of Elastic Stability, table of the elastica (2-4 in the second
// edition; recalled, and so not the only ground): slope of the ends in degrees, force in
// parts of Euler's, height and bow in parts of the length.
func TestSpringAgainstElasticaTable(t *testing.T) {
	const euler = math.Pi * math.Pi
	for _, c := range []struct{ height, force, bow float64 }{
		{0.970, 1.015, 0.110}, {0.881, 1.063, 0.211}, {0.741, 1.152, 0.297}, {0.560, 1.293, 0.359}, {0.349, 1.518, 0.396},
		{0.123, 1.884, 0.403},
	} {
		s := Spring(1, 1, c.height)
		// The height is printed to half a thousandth, at which the bow is known to 0.001 or so.
		if math.Abs(s.ForceN/euler-c.force) > 2e-3 || math.Abs(s.BowMM-c.bow) > 2e-3 {
			t.Errorf("height %g: force %.4f, bow %.4f, table %g, %g", c.height, s.ForceN/euler, s.BowMM, c.force, c.bow)
		}
	}
	if s := Spring(3, 10, 10); s != (Sprung{}) {
		t.Errorf("a bar that is not bent: %+v", s)
	}
}

// A sprung bar is laid piece by piece: of the curvature F y / E I it comes back to the line at
// the height that it was sprung to.
func TestSpringLaid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := rapid.Float64Range(100, 1500).Draw(t, "length")
		h := l * rapid.Float64Range(0.3, 0.999).Draw(t, "share")
		const ei = 1e6
		s := Spring(ei, l, h)
		p := s.Curvature / 2 / math.Sqrt(s.ForceN/ei) // the sine of half the slope
		theta, x, y := 2*math.Asin(p), 0.0, 0.0
		most, curve := 0.0, 0.0
		const n = 4000
		ds := l / n
		for range n {
			mid := theta - s.ForceN/ei*y*ds/2
			ym := y + math.Sin(theta)*ds/2
			theta -= s.ForceN / ei * ym * ds
			x, y = x+math.Cos(mid)*ds, y+math.Sin(mid)*ds
			most, curve = max(most, y), max(curve, s.ForceN/ei*y)
		}
		if !near(x, h, 2e-3) || math.Abs(y) > 2e-3*l || !near(most, s.BowMM, 2e-3) || !near(curve, s.Curvature, 2e-3) {
			t.Fatalf("laid %g high, %g aside, bow %g; want %g, 0, %+v", x, y, most, h, s)
		}
		if s.ForceN < math.Pi*math.Pi*ei/l/l*(1-1e-9) {
			t.Fatalf("%g N is under Euler's load", s.ForceN)
		}
	})
}

// cut is Under by a beam cut into short pieces on springs: Hermite's elements of stiffness, a
// band of equations solved by elimination. It shares no formula with Hetenyi's.
func cut(b Bedded, loads []Load, n int) []float64 {
	size, h := 2*(n+1), b.LengthMM/float64(n)
	k := make([][]float64, size)
	for i := range k {
		k[i] = make([]float64, size)
	}
	rhs := make([]float64, size)
	e := [4][4]float64{{12, 6 * h, -12, 6 * h}, {6 * h, 4 * h * h, -6 * h, 2 * h * h}, {-12, -6 * h, 12, -6 * h},
		{6 * h, 2 * h * h, -6 * h, 4 * h * h}}
	bed := [4][4]float64{{156, 22 * h, 54, -13 * h}, {22 * h, 4 * h * h, 13 * h, -3 * h * h}, {54, 13 * h, 156, -22 * h},
		{-13 * h, -3 * h * h, -22 * h, 4 * h * h}}
	for i := range n {
		for r := range 4 {
			for c := range 4 {
				k[2*i+r][2*i+c] += e[r][c]*b.Stiffness/(h*h*h) + bed[r][c]*b.Bed*h/420
			}
		}
	}
	for _, l := range loads {
		rhs[2*int(math.Round(l.AtMM/h))] += l.ForceN
	}
	for i := range size {
		for r := i + 1; r < min(size, i+4); r++ {
			f := k[r][i] / k[i][i]
			for c := i; c < min(size, i+4); c++ {
				k[r][c] -= f * k[i][c]
			}
			rhs[r] -= f * rhs[i]
		}
	}
	for i := size - 1; i >= 0; i-- {
		for c := i + 1; c < min(size, i+4); c++ {
			rhs[i] -= k[i][c] * rhs[c]
		}
		rhs[i] /= k[i][i]
	}
	out := make([]float64, n+1)
	for i := range out {
		out[i] = rhs[2*i] * b.Bed
	}
	return out
}

func TestBeddedAgainstCutBeam(t *testing.T) {
	const n, h = 60, 8.0
	rapid.Check(t, func(t *rapid.T) {
		// lambda l from a bar that hardly bends to one that leaves its middle free.
		z := rapid.Float64Range(0.3, 20).Draw(t, "lambda l")
		b := Bedded{LengthMM: 480, Stiffness: 1e8, Bed: 4 * 1e8 * math.Pow(z/480, 4)}
		var loads []Load
		for range rapid.IntRange(1, 4).Draw(t, "loads") {
			loads = append(loads, Load{h * float64(rapid.IntRange(0, n).Draw(t, "at")),
				rapid.Float64Range(1, 9).Draw(t, "force")})
		}
		want, at := cut(b, loads, n), make([]float64, n+1)
		for i := range at {
			at[i] = h * float64(i)
		}
		got := b.Under(loads, at)
		scale := 0.0
		for i := range want {
			scale = max(scale, math.Abs(want[i]))
		}
		for i := range want {
			if math.Abs(got[i]-want[i]) > 3e-4*scale {
				t.Fatalf("lambda l %g, loads %v, at %g: %g, cut %g", z, loads, at[i], got[i], want[i])
			}
		}
	})
}

// A bar that hardly bends presses as statics has it, whether it is taken as stiff or not: 4 P/l at
// the end that is loaded, -2 P/l at the other.
func TestStiffBar(t *testing.T) {
	for _, z := range []float64{0.01, 0.14, 0.16, 0.2} {
		b := Bedded{LengthMM: 480, Stiffness: 1e8, Bed: 4 * 1e8 * math.Pow(z/480, 4)}
		p := b.Under([]Load{{0, 480}}, []float64{0, 480})
		if math.Abs(p[0]-4) > 1e-3 || math.Abs(p[1]+2) > 1e-3 {
			t.Errorf("lambda l %g: %g and %g", z, p[0], p[1])
		}
	}
}

// Far from its ends a long bar with even loads is midway's, and an endless one with one load is
// Hetenyi's P lambda / 2 under it.
func TestMidway(t *testing.T) {
	b := Bedded{LengthMM: 4000, Stiffness: 1e8, Bed: 20}
	for _, spacing := range []float64{10, 50, 100, 160, 250} {
		var loads []Load
		middle := 2000.0
		for i := -int(1900 / spacing); float64(i)*spacing <= 1900; i++ {
			loads = append(loads, Load{middle + float64(i)*spacing, 100})
		}
		got := b.Under(loads, []float64{middle, middle + spacing/2})
		mid, under := midway(b.Root(), spacing)
		mean := 100 / spacing
		if math.Abs(got[1]/mean-mid) > 1e-6 || math.Abs(got[0]/mean-under) > 1e-6 {
			t.Errorf("spacing %g: %g and %g, the long bar %g and %g", spacing, mid, under, got[1]/mean, got[0]/mean)
		}
	}
	if p := b.Under([]Load{{2000, 100}}, []float64{2000})[0]; !near(p, 50*b.Root(), 1e-9) {
		t.Errorf("one load: %g, want P lambda/2 = %g", p, 50*b.Root())
	}
	if m := b.Bending([]Load{{2000, 100}}); !near(m, 25/b.Root(), 1e-9) {
		t.Errorf("moment %g, want P/(4 lambda) = %g", m, 25/b.Root())
	}
	// A stiff bar on its two quarter points: q l^2/32 there and none midway, as any statics.
	b.Bed = 1e-12
	if m := b.Bending([]Load{{1000, 100}, {3000, 100}}); !near(m, 0.05*4000*4000/32, 1e-3) {
		t.Errorf("stiff bar bends by %g, want %g", m, 0.05*4000*4000/32)
	}
}

// The materials are those of the reference.
func TestMaterialsAgainstReference(t *testing.T) {
	rows := map[string]string{}
	for _, r := range reference.Rows(t, "materials.csv") {
		rows[r["material"]+" | "+r["property"]] = r["value"] + " " + r["status"]
	}
	for _, c := range []struct{ row, want string }{
		{"Beech | E along, radial, tangential", "12.205 1.858 0.774 standard"},
		{"Beech | yield along, radial, tangential", "42.51 4.49 9.83 standard"},
		{"Sitka spruce | E along, radial, tangential", "9.05 0.817 0.403 standard"},
		{"Plywood | E in bending", "6.86-8.98 standard"},
		{"MDF | E in bending, 6 to 19 mm", "2.2-2.7 recalled"},
		{"Glass fibre rod, pultruded | E in bending", "20.6-41.4 web"},
	} {
		if rows[c.row] != c.want {
			t.Errorf("%s: %q, want %q", c.row, rows[c.row], c.want)
		}
	}
	if Hardwood.Across.Most != 1858 || Softwood.Across.Least != 403 || plywood.Modulus.Most != 8980 ||
		GlassRod.Modulus.Least != 20600 {
		t.Error("a material has other figures than the reference")
	}
	for name, want := range map[string]string{"birch plywood": "plywood", "cast acrylic": "cast acrylic",
		"acrylic": "extruded acrylic", "MDF": "mdf", "PETG": "petg", "pla": "pla"} {
		if m, ok := Lookup(name); !ok || m.Name != want || m.Across.Least == 0 {
			t.Errorf("%s: %+v", name, m)
		}
	}
	if _, ok := Lookup("brass"); ok || !strings.Contains(Wood(true).Name, "soft") || Wood(false).Name != "hardwood" {
		t.Error("brass is no sheet here")
	}
}

// midway returns the pressure midway between endless loads a spacing apart, and under one of
// them, in parts of the mean.
//
//	u = lambda s / 2
//	mid    = u (cosh u sin u + sinh u cos u) / (sinh^2 u + sin^2 u)
//	under  = u (sinh u cosh u + sin u cos u) / (sinh^2 u + sin^2 u)
//
// Reference: derived from y”” + 4 lambda^4 y = 0 with no slope at either place; the same as the
// series of Hetenyi's endless bar.
func midway(root, spacingMM float64) (mid, under float64) {
	u := root * spacingMM / 2
	if u < 1e-3 {
		return 1, 1 // to u^4
	}
	sin, cos := math.Sincos(u)
	sinh, cosh := math.Sinh(u), math.Cosh(u)
	d := float64(sinh*sinh) + float64(sin*sin)
	return u * (float64(cosh*sin) + float64(sinh*cos)) / d, u * (float64(sinh*cosh) + float64(sin*cos)) / d
}
