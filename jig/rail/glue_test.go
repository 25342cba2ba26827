package rail

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/sourced"
	"reseat/testdata/reference"
)

// byHand is how far a figure may be from one worked by hand to four digits.
const byHand = 6e-4

func near(got, want float64) bool { return math.Abs(got-want) <= byHand*math.Abs(want) }

// A plain case worked by hand with casein, whose pressure is 0.7 to 1.7 MPa:
// 400 x 50 mm, so 20 000 mm2 or 0.02 m2. PVA's spread of 149.40 to 224.10 g/m2
// makes 2.9880 g at least, or /1.1 = 2.7164 ml; 0.4 of it leaves, 1.0866 ml, into
// 2 x 400 mm: 1.3582 mm2, a chamfer of sqrt(2.7164) = 1.6482 mm. 0.7 MPa presses with
// 14 kN: seven clamps of 2 kN. Out of
// square by 2 degrees: 488.593 N, on 400 mm 1.221482 N/mm. A rail 6 high, 4 wide, of
// 3500 MPa: bending 1.221482 x 216/(3 x 3500 x 5.3333) = 0.0047114, shear 1.221482 x
// 6/(5/6 x 1296.30 x 4) = 0.0016961; together 0.0064076 mm.
func TestGlueWorkedByHand(t *testing.T) {
	g, err := Glue(GlueSpec{AreaMM2: 20000, EdgeMM: 800, Glue: "casein", RailHeightMM: 6,
		RailLengthMM: 400})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name      string
		got       sourced.Value
		want      float64
		unit      string
		mark      sourced.Mark
		worthMost bool // it has a range
	}{
		{"mass", g.Mass, 2.9880, "g", sourced.Practice, true},
		{"squeeze-out", g.SqueezeOut, 1.0866, "ml", sourced.Practice, true},
		{"chamfer", g.Chamfer, 1.6482, "mm", sourced.Practice, true},
		{"pressure", g.Pressure, 0.7, "MPa", sourced.Recalled, true},
		{"force", g.Force, 14000, "N", sourced.Recalled, true},
		{"clamps", g.Clamps, 7, "", sourced.Practice, true},
		{"side load", g.SideLoad, 488.593, "N", sourced.Practice, true},
		{"deflection", g.Deflection, 0.0064076, "mm", sourced.Practice, true},
		{"clamp", g.ClampForce, 2000, "N", sourced.Practice, false},
		{"open time", g.OpenTime, 5, "min", sourced.Standard, true},
	} {
		if !near(c.got.Least, c.want) || c.got.Unit != c.unit || c.got.Mark != c.mark ||
			(c.got.Most > c.got.Least) != c.worthMost || c.got.Source == "" {
			t.Errorf("%s: %+v, want %g %s (%s)", c.name, c.got, c.want, c.unit, c.mark)
		}
	}
	if _, err := Glue(GlueSpec{Glue: "spit"}); err == nil ||
		!strings.Contains(err.Error(), "pva, epoxy, hide, casein") {
		t.Errorf("%v", err)
	}
}

// numbers returns the figures in a table's entry, 0.69-1.03 as 0.69 and 1.03.
func numbers(t *testing.T, s string) []float64 {
	t.Helper()
	var out []float64
	for _, n := range regexp.MustCompile(`[0-9]+(\.[0-9]+)?`).FindAllString(s, -1) {
		out = append(out, reference.Number(t, n))
	}
	return out
}

// The rows of the reference that hold a figure of this package. A printed figure is
// right to half its last digit.
func TestAgainstReference(t *testing.T) {
	rows := map[string]map[string]string{}
	for _, r := range reference.Rows(t, "glue.csv") {
		rows[r["glue"]+" | "+r["quantity"]] = r
	}
	ends := func(v sourced.Value, unit float64) []float64 { return []float64{v.Least / unit, v.Most / unit} }
	galPerMil := usGallonML / 0.0254 / 1e3 / squareFootM2 // ft2 covered 1 mil thick; ml/mm = 1e-3 m2
	for _, c := range []struct {
		row  string
		mark sourced.Mark
		got  []float64
		half float64 // half of the last printed digit
	}{
		{"PVA | open waiting time 20 C", sourced.Standard, ends(kinds["pva"].open, 1), 0},
		{"casein | open waiting time 20 C", sourced.Standard, ends(kinds["casein"].open, 1), 0},
		{"epoxy | clamping", sourced.Web, ends(kinds["epoxy"].soft, psiMPa), 1e-9},
		{"liquid hide | clamping", sourced.Web, ends(kinds["hide"].soft, psiMPa), 1e-9},
		{"wood adhesives | pressure low density / highest density woods", sourced.Recalled,
			ends(kinds["casein"].soft, 1), 0},
		{"PVA | spread from that coverage at 1.1 kg/L", sourced.Derived, ends(pvaSpread, 1), 0.5},
		{"any | exact yield of 1 US gal at 1 mil", sourced.Derived, []float64{galPerMil}, 0.1},
		{"epoxy unfilled | 0.1 mm bond line at 1.107 kg/L", sourced.Derived, []float64{0.1 * epoxyDensity.Least * 1e3},
			0.5},
	} {
		row := rows[c.row]
		want := numbers(t, row["value"])
		if len(want) < len(c.got) || row["status"] != string(c.mark) {
			t.Errorf("%s: %v", c.row, row)
			continue
		}
		for i := range c.got {
			if math.Abs(c.got[i]-want[i]) > c.half {
				t.Errorf("%s: %.6g, reference %g", c.row, c.got[i], want[i])
			}
		}
	}
	// PVA's pressures contradict each other, so the span takes all of them in, in psi.
	for wood, list := range map[Hardness][]string{
		Softwood: {"PVA | clamping softwood", "PVA | test optimum: ponderosa pine flat-sawn"},
		Hardwood: {"PVA | clamping hardwood", "PVA | clamping hardwood (same maker's guide)"},
	} {
		span := kinds["pva"].pressure(wood)
		for _, name := range list {
			told, _, _ := strings.Cut(rows[name]["value"], " (")
			for _, psi := range numbers(t, told) {
				if psi*psiMPa < span.Least-1e-9 || psi*psiMPa > span.Most+1e-9 {
					t.Errorf("%s: %g psi is not in %v", name, psi, span)
				}
			}
		}
	}
	both := kinds["pva"].pressure(HardnessUnknown)
	if both.Least != kinds["pva"].soft.Least || both.Most != kinds["pva"].hard.Most {
		t.Errorf("a wood that is not known: %v", both)
	}
	// The head of the reference says 1 lb/1000 ft2 = 4.8824 g/m2: the same unit
	// factors another way round.
	if got := poundKg * 1e3 / (1000 * squareFootM2); math.Abs(got-4.8824) > 5e-5 ||
		math.Abs(psiMPa-0.006894757) > 5e-10 {
		t.Errorf("1 lb per 1000 ft2 is %g g/m2, 1 psi %g MPa", got, psiMPa)
	}
}

// More of anything never needs less: area, pressure and glue.
func TestGlueProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := GlueSpec{
			AreaMM2: rapid.Float64Range(1e3, 1e5).Draw(t, "area"), EdgeMM: rapid.Float64Range(200, 2000).Draw(t, "edge"),
			RailHeightMM: rapid.Float64Range(0, 10).Draw(t, "height"), RailLengthMM: 90,
			Glue: rapid.SampledFrom([]string{"pva", "epoxy", "hide", "casein"}).Draw(t, "glue"),
			Wood: rapid.SampledFrom([]Hardness{HardnessUnknown, Softwood, Hardwood}).Draw(t, "wood"),
		}
		a, err1 := Glue(s)
		s.AreaMM2 *= rapid.Float64Range(1, 3).Draw(t, "larger")
		b, err2 := Glue(s)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		for _, p := range [][2]sourced.Value{{a.Mass, b.Mass}, {a.Force, b.Force}, {a.Clamps, b.Clamps},
			{a.SideLoad, b.SideLoad}, {a.Deflection, b.Deflection}} {
			if v, w := p[0], p[1]; v.Least > v.Most || w.Least < v.Least || w.Most < v.Most || math.IsNaN(w.Most) {
				t.Fatalf("%+v, larger %+v", v, w)
			}
		}
		if s.RailHeightMM == 0 && a.Deflection.Most != 0 {
			t.Fatalf("no rail moves by %v", a.Deflection)
		}
	})
}

func TestHardnessOf(t *testing.T) {
	for names, want := range map[string]Hardness{
		"pear": Hardwood, "Sitka spruce": Softwood, "maple, hard|sapele": Hardwood, "maple|spruce": HardnessUnknown,
		"pear|something else": HardnessUnknown, "something else|pear": HardnessUnknown, "Spanish-cedar": Hardwood,
		"western redcedar": Softwood, "pineapple": HardnessUnknown,
	} {
		if got := HardnessOf(strings.Split(names, "|")...); got != want {
			t.Errorf("%q: %q, want %q", names, got, want)
		}
	}
	if got := HardnessOf(); got != HardnessUnknown {
		t.Errorf("no wood: %q", got)
	}
}
