package rail_test

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"reseat/jig/rail"
)

// land is the glue land of the design's example board.
func land() rail.GlueSpec {
	return rail.GlueSpec{
		LengthMM: 478, WidthStartMM: 41.5, WidthEndMM: 55,
		Glue: "pva", Wood: rail.Hardwood, RailHeightMM: 4.5,
	}
}

// byHand is how far a figure may be from one worked by hand to four digits.
const byHand = 6e-4

func near(got, want float64) bool { return math.Abs(got-want) <= byHand*math.Abs(want) }

// A plain case worked by hand: 400 x 50 mm, so 20 000 mm2 or 0.02 m2; 200 g/m2
// make 4 g or 4/1.1 = 3.636 ml; half of it leaves, 1.818 ml, into 2 x 400 mm of
// groove: 2.273 mm2, a chamfer of sqrt(4.545) = 2.132 mm. 1 MPa presses with
// 20 kN = 2039 kgf: ten clamps of 2 kN exactly. Out of level by 0.02 rad:
// 20000 x sin 0.02 = 399.97 N, on 400 mm 0.99993 N/mm. A rail 6 high, 4 wide, of
// 2800 MPa: bending 0.99993 x 216 / (3 x 2800 x 5.3333) = 0.0048211, shear
// 0.99993 x 6 / (5/6 x 1037.04 x 4) = 0.0017356; together 0.0065567 mm.
func TestGlueWorkedByHand(t *testing.T) {
	g, err := rail.Glue(rail.GlueSpec{
		LengthMM: 400, WidthStartMM: 50, WidthEndMM: 50, Glue: "pva",
		SpreadGM2: 200, PressureMPa: 1, SqueezeShare: 0.5, ClampN: 2000, TiltRad: 0.02,
		RailHeightMM: 6, RailWidthMM: 4, RailModulusMPa: rail.AcrylicModulusMPa, WedgeSlope: 0.2,
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		name string
		got  rail.Figure
		want float64
		unit string
	}{
		{"area", g.Area, 20000, "mm2"},
		{"mass", g.Mass, 4, "g"},
		{"volume", g.Volume, 3.6364, "ml"},
		{"squeeze-out", g.SqueezeOut, 1.8182, "ml"},
		{"groove", g.Groove, 2.2727, "mm2"},
		{"chamfer", g.Chamfer, 2.1320, "mm"},
		{"force", g.Force, 20000, "N"},
		{"force in kgf", g.ForceKgf, 2039.4, "kgf"},
		{"clamps, no eleventh by rounding", g.Clamps, 10, ""},
		{"side load", g.SideLoad, 399.97, "N"},
		{"deflection", g.Deflection, 0.0065567, "mm"},
	} {
		if !near(tc.got.Least, tc.want) || !near(tc.got.Most, tc.want) || tc.got.Unit != tc.unit {
			t.Errorf("%s: %v, want %g %s", tc.name, tc.got, tc.want, tc.unit)
		}
	}
	// alpha = atan(0.2)/2 = 5.655 degrees; phi = 16.699 and 26.565 degrees:
	// 1/(2 tan 22.354) = 1.2159 and 1/(2 tan 32.220) = 0.7934.
	if !near(g.WedgeRatio.Most, 1.2159) || !near(g.WedgeRatio.Least, 0.7934) {
		t.Errorf("wedge %v", g.WedgeRatio)
	}
}

// The design's board with what is usual, by hand: area 478 x 48.25 = 23 063.5
// mm2; PVA at 149.40 to 224.10 g/m2: 3.446 to 5.169 g, 3.132 to 4.699 ml; 0.4 of
// the most is 1.8794 ml into 2 x hypot(478, 6.75) = 956.10 mm: 1.9657 mm2, leg
// 1.9828. Hardwood, 1.2066 to 1.7237 MPa: 27.83 to 39.75 kN, 14 to 20 clamps;
// 0.01 rad: up to 397.5 N on a rail.
func TestGlueWithDefaults(t *testing.T) {
	g, err := rail.Glue(land())
	if err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		name        string
		got         rail.Figure
		least, most float64
		basis       rail.Basis
	}{
		{"area", g.Area, 23063.5, 23063.5, rail.Derived},
		{"mass", g.Mass, 3.4457, 5.1686, rail.Derived},
		{"volume rests on a density without a source", g.Volume, 3.1325, 4.6987, rail.Practice},
		{"squeeze-out", g.SqueezeOut, 1.2530, 1.8795, rail.Practice},
		{"groove", g.Groove, 1.3105, 1.9658, rail.Practice},
		{"chamfer", g.Chamfer, 1.6190, 1.9828, rail.Practice},
		{"force", g.Force, 27828, 39754, rail.Derived},
		{"clamps", g.Clamps, 14, 20, rail.Practice},
		{"side load", g.SideLoad, 278.27, 397.54, rail.Practice},
		{"open time", g.OpenTime, 5, 30, rail.Found},
	} {
		if !near(tc.got.Least, tc.least) || !near(tc.got.Most, tc.most) || tc.got.Basis != tc.basis {
			t.Errorf("%s: %v (%s), want %g to %g (%s)", tc.name, tc.got, tc.got.Basis, tc.least, tc.most, tc.basis)
		}
	}
}

func TestGlueSaysWhereEveryFigureIsFrom(t *testing.T) {
	for _, name := range rail.Glues() {
		for _, wood := range []rail.Hardness{rail.HardnessUnknown, rail.Softwood, rail.Hardwood} {
			s := land()
			s.Glue, s.Wood = name, wood
			g, err := rail.Glue(s)
			if err != nil {
				t.Fatal(err)
			}
			v := reflect.ValueOf(g)
			for i := range v.NumField() {
				f := v.Field(i).Interface().(rail.Figure)
				field := v.Type().Field(i).Name
				if f.Source == "" || f.Basis == "" {
					t.Errorf("%s %s: %s has basis %q, source %q", name, wood, field, f.Basis, f.Source)
				}
				if f.Known() && !(f.Least > 0 && f.Least <= f.Most) || math.IsInf(f.Most, 0) {
					t.Errorf("%s %s: %s is %v", name, wood, field, f)
				}
				if !f.Known() && (f.Least != 0 || f.Most != 0) {
					t.Errorf("%s %s: %s is unknown, yet %g to %g", name, wood, field, f.Least, f.Most)
				}
			}
		}
	}
}

func TestUnknownWoodTakesBothClassesIn(t *testing.T) {
	s := land()
	s.Wood = rail.HardnessUnknown
	g, err := rail.Glue(s)
	if err != nil {
		t.Fatal(err)
	}
	if g.Pressure.String() != "0.689 to 1.72 MPa" || !strings.Contains(g.Pressure.Source, "softwood 100 to 150 psi") ||
		!strings.Contains(g.Pressure.Source, "hardwood 175 to 250 psi") {
		t.Errorf("%v: %s", g.Pressure, g.Pressure.Source)
	}
}

func TestGlueRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, tc := range []struct {
		name   string
		change func(*rail.GlueSpec)
		want   []string // one for each fault
	}{
		{"no length", func(s *rail.GlueSpec) { s.LengthMM = 0 }, []string{"length of the glue land is 0 mm; want 5 to 3000 mm"}},
		{"not numbers", func(s *rail.GlueSpec) { s.WidthStartMM, s.WidthEndMM, s.SpreadGM2 = nan, inf, nan }, []string{
			"width at the start is NaN mm; want 1 to 600 mm", "width at the end is +Inf mm; want 1 to 600 mm", "spread is NaN g/m2; want 10 to 2000 g/m2",
		}},
		{"unknown glue and wood", func(s *rail.GlueSpec) { s.Glue, s.Wood = "paste", "soft" }, []string{
			`glue is "paste"; want one of pva, epoxy, hide, casein`, `hardness of the wood is "soft"; want softwood, hardwood or nothing`,
		}},
		{"pressure in psi", func(s *rail.GlueSpec) { s.PressureMPa = 150 }, []string{"pressure is 150 MPa; want 0.005 to 20 MPa"}},
		{"share in percent", func(s *rail.GlueSpec) { s.SqueezeShare = 40 }, []string{"share of squeeze-out is 40; want 0.01 to 1"}},
		{"groove beyond the land", func(s *rail.GlueSpec) { s.GrooveMM = 1100 }, []string{"length of the groove is 1100 mm; want 1 to 1053.6 mm"}},
		{"tilt in degrees", func(s *rail.GlueSpec) { s.TiltRad = 0.5 }, []string{"tilt is 0.5 rad; want 0.0001 to 0.2 rad"}},
		{"modulus in GPa", func(s *rail.GlueSpec) { s.RailModulusMPa = 3.5 }, []string{"modulus of the rail is 3.5 MPa; want 10 to 1e+06 MPa"}},
		{"negative rail and clamp", func(s *rail.GlueSpec) { s.RailHeightMM, s.ClampN = -1, -1 }, []string{
			"force of a clamp is -1 N; want 10 to 100000 N", "height of the rail is -1 mm; want 0.1 to 200 mm",
		}},
		{"endless rail", func(s *rail.GlueSpec) { s.RailLengthMM, s.RailWidthMM, s.WedgeSlope = inf, inf, nan }, []string{
			"slope of a wedge is NaN; want 0.005 to 1", "width of the rail is +Inf mm; want 0.4 to 200 mm", "length of the rail is +Inf mm; want 5 to 3000 mm",
		}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s := land()
			tc.change(&s)
			g, err := rail.Glue(s)
			var spec *rail.SpecError
			if !errors.As(err, &spec) {
				t.Fatalf("error %v, figures %v", err, g)
			}
			if d := cmp.Diff(tc.want, strings.Split(strings.ReplaceAll(err.Error(), "rail: ", ""), "\n")); d != "" {
				t.Error(d)
			}
			if len(spec.Faults) != len(tc.want) {
				t.Errorf("%d faults", len(spec.Faults))
			}
		})
	}
}

func TestNoRailAboveThePlate(t *testing.T) {
	s := land()
	s.RailHeightMM = 0
	g, err := rail.Glue(s)
	if err != nil || g.Deflection.Most != 0 || g.Deflection.Source != "no rail stands above the plate" {
		t.Errorf("%v, %v", g.Deflection, err)
	}
}

func TestGlueProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rail.GlueSpec{
			LengthMM:     rapid.Float64Range(10, 1400).Draw(t, "length"),
			WidthStartMM: rapid.Float64Range(2, 250).Draw(t, "start"),
			WidthEndMM:   rapid.Float64Range(2, 250).Draw(t, "end"),
			Glue:         rapid.SampledFrom(rail.Glues()).Draw(t, "glue"),
			RailHeightMM: rapid.Float64Range(0.5, 50).Draw(t, "height"),
		}
		g := glue(t, s)
		// All lengths of the land doubled: four times area, glue and force; the
		// groove, twice as long, needs twice the section.
		d := s
		d.LengthMM, d.WidthStartMM, d.WidthEndMM = 2*s.LengthMM, 2*s.WidthStartMM, 2*s.WidthEndMM
		h := glue(t, d)
		for _, tc := range []struct {
			name     string
			one, two rail.Figure
			k        float64
		}{
			{"mass", g.Mass, h.Mass, 4},
			{"squeeze-out", g.SqueezeOut, h.SqueezeOut, 4},
			{"groove", g.Groove, h.Groove, 2},
			{"chamfer", g.Chamfer, h.Chamfer, math.Sqrt2},
			{"force", g.Force, h.Force, 4},
			{"deflection", g.Deflection, h.Deflection, 2},
		} {
			if !near(tc.two.Most, tc.k*tc.one.Most) || !near(tc.two.Least, tc.k*tc.one.Least) {
				t.Errorf("%s: %v becomes %v, want %g times", tc.name, tc.one, tc.two, tc.k)
			}
		}
		// Turned end for end, nothing changes.
		e := s
		e.WidthStartMM, e.WidthEndMM = s.WidthEndMM, s.WidthStartMM
		if r := glue(t, e); r.Force != g.Force || r.Chamfer != g.Chamfer {
			t.Errorf("turned end for end: %v, %v", r.Force, g.Force)
		}
		// A higher rail gives way more.
		s.RailHeightMM *= 1.1
		if r := glue(t, s); r.Deflection.Most <= g.Deflection.Most {
			t.Errorf("rail 10 %% higher gives way %v, before %v", r.Deflection, g.Deflection)
		}
		// The groove holds what runs out.
		if v := g.Groove.Most * g.GrooveLength.Most / 1000; !near(v, g.SqueezeOut.Most) {
			t.Errorf("groove holds %g ml of %v", v, g.SqueezeOut)
		}
		if a := g.Chamfer.Most * g.Chamfer.Most / 2; !near(a, g.Groove.Most) {
			t.Errorf("chamfer has %g mm2 of %v", a, g.Groove)
		}
		if n := g.Clamps.Most; n != math.Trunc(n) || n*g.ClampForce.Most < g.Force.Most*(1-byHand) || (n-1)*g.ClampForce.Most >= g.Force.Most {
			t.Errorf("%v clamps for %v", g.Clamps, g.Force)
		}
	})
}

func glue(t *rapid.T, s rail.GlueSpec) rail.Gluing {
	g, err := rail.Glue(s)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// A wall is checked against a beam cut into short pieces: the curvature of each is
// summed twice, and its shear once, with no closed form of a deflection in it.
func TestWallAgainstSummedBeam(t *testing.T) {
	for _, w := range []rail.Wall{
		{HeightMM: 4.5, WidthMM: 4, ModulusMPa: rail.PLAModulusMPa},
		{HeightMM: 30, WidthMM: 2, ModulusMPa: rail.AcrylicModulusMPa},
		{HeightMM: 1, WidthMM: 8, ModulusMPa: 10000},
	} {
		const load, n = 0.8, 20000
		dz := w.HeightMM / n
		var slope, sum float64
		for i := range n {
			z := (float64(i) + 0.5) * dz
			moment := load * (w.HeightMM - z)
			curvature := moment / (w.ModulusMPa * math.Pow(w.WidthMM, 3) / 12)
			sum += (slope + curvature*dz/2) * dz
			slope += curvature * dz
			sum += load / (5.0 / 6 * w.ModulusMPa / 2.7 * w.WidthMM) * dz
		}
		if got := w.Deflection(load); math.Abs(got-sum) > 1e-6*sum {
			t.Errorf("%+v gives way %g, the summed beam %g", w, got, sum)
		}
	}
	for _, w := range []rail.Wall{{}, {HeightMM: math.NaN(), WidthMM: 4, ModulusMPa: 1}, {HeightMM: 1, WidthMM: -4, ModulusMPa: 1}} {
		if got := w.Deflection(1); got != 0 {
			t.Errorf("%+v gives way %g", w, got)
		}
	}
}

// A wedge without friction is a lever: the work on it equals the work it does.
// Pushed by s it opens by 2 s tan(alpha), half on either side.
func TestWedgeRatioWithoutFriction(t *testing.T) {
	for _, slope := range []float64{0.01, 0.1, 0.5, 1} {
		half := math.Atan(slope) / 2
		if got := rail.WedgeRatio(slope, 0) * 2 * math.Tan(half); !near(got, 1) {
			t.Errorf("slope %g: work out is %g of work in", slope, got)
		}
	}
	if got := rail.WedgeRatio(1, 1e9); got != 0 {
		t.Errorf("a wedge that sticks drives with %g", got)
	}
}

func TestHardnessOf(t *testing.T) {
	for _, tc := range []struct {
		names string
		want  rail.Hardness
	}{
		{"", rail.HardnessUnknown},
		{"pear", rail.Hardwood},
		{"Sitka spruce", rail.Softwood},
		{"maple, hard|sapele", rail.Hardwood},
		{"maple|spruce", rail.HardnessUnknown},
		{"pear|something else", rail.HardnessUnknown},
		{"something else|pear", rail.HardnessUnknown},
		{"Spanish-cedar", rail.Hardwood},
		{"western redcedar", rail.Softwood},
		{"pineapple", rail.HardnessUnknown},
	} {
		var names []string
		if tc.names != "" {
			names = strings.Split(tc.names, "|")
		}
		if got := rail.HardnessOf(names...); got != tc.want {
			t.Errorf("%q: %q, want %q", tc.names, got, tc.want)
		}
	}
}
