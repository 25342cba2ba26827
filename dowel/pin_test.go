package dowel

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/units"
	"reseat/testdata/reference"
)

// Every row of the transcribed standards, limits in the printed micrometres.
func TestLookupAgainstTables(t *testing.T) {
	for _, r := range reference.Rows(t, "pins_iso.csv") {
		d := reference.Number(t, r["d_mm"])
		std := strings.Replace(r["standard"], "ISO", "ISO ", 1)
		for _, class := range []string{"m6", "h8"} {
			if r[class+"_lower_um"] == "" {
				if _, err := Lookup(std, d, class); err == nil {
					t.Errorf("%s %g %s: want an error", std, d, class)
				}
				continue
			}
			p, err := Lookup(std, d, class)
			if err != nil {
				t.Fatal(err)
			}
			low, high := d+reference.Number(t, r[class+"_lower_um"])/1000, d+reference.Number(t,
				r[class+"_upper_um"])/1000
			if !near(p.MinMM, low, asPrinted) || !near(p.MaxMM, high, asPrinted) {
				t.Errorf("%s %g %s: %g to %g, the table has %g to %g", std, d, class, p.MinMM, p.MaxMM, low, high)
			}
			n := len(p.LengthsMM)
			if p.ChamferMM != reference.Number(t, r["c_mm"]) || n == 0 ||
				p.LengthsMM[0] != reference.Number(t, r["L_min_mm"]) ||
				p.LengthsMM[n-1] != reference.Number(t, r["L_max_mm"]) {
				t.Errorf("%s %g: chamfer %g, lengths %v; the table has %v", std, d, p.ChamferMM, p.LengthsMM, r)
			}
		}
	}
	for _, r := range reference.Rows(t, "pins_asme_b18_8_2.csv") {
		d := reference.Number(t, r["nominal_decimal"]) * units.MMPerInch
		p, err := Lookup("asme b18.8.2", d, "")
		if err != nil {
			t.Fatal(err)
		}
		if !near(p.MinMM/units.MMPerInch, reference.Number(t, r["min_dia"]), asPrinted) ||
			!near(p.MaxMM/units.MMPerInch, reference.Number(t, r["max_dia"]), asPrinted) {
			t.Errorf("%s in: %g to %g mm, the table has %s to %s in", r["nominal_in"], p.MinMM, p.MaxMM, r["min_dia"],
				r["max_dia"])
		}
		if got := units.Inches(d); got != r["nominal_in"] {
			t.Errorf("%g mm is called %s in, want %s", d, got, r["nominal_in"])
		}
	}
	for _, r := range reference.Rows(t, "pins_asme_b18_8_5m.csv") {
		p, err := Lookup("asme b18.8.5m", reference.Number(t, r["d_mm"]), "")
		if err != nil || p.MinMM != reference.Number(t, r["min_mm"]) || p.MaxMM != reference.Number(t, r["max_mm"]) {
			t.Errorf("%v: %+v, %v", r, p, err)
		}
	}
	for _, r := range reference.Rows(t, "pins_din6325.csv") {
		p, err := Lookup("din 6325", reference.Number(t, r["d_mm"]), "")
		if err != nil || p.ChamferMM != reference.Number(t, r["z1_mm"]) || p.Class != "m6" {
			t.Errorf("%v: %+v, %v", r, p, err)
		}
	}
}

// ISO 2338 lengths and their limits, row by row.
func TestLengthsAgainstTable(t *testing.T) {
	rows := reference.Rows(t, "pins_iso_lengths.csv")
	if len(rows) != len(lengthSeries) {
		t.Fatalf("%d lengths, the table has %d", len(lengthSeries), len(rows))
	}
	for i, r := range rows {
		l := reference.Number(t, r["L_nom_mm"])
		if lengthSeries[i] != l || lengthTolerance(l) != reference.Number(t, r["L_max_mm"])-l ||
			lengthTolerance(l) != l-reference.Number(t, r["L_min_mm"]) {
			t.Errorf("length %g +- %g, the table has %v", lengthSeries[i], lengthTolerance(l), r)
		}
	}
}

func TestLookupNames(t *testing.T) {
	for _, c := range []struct {
		name, standard string
		d              float64
		class          string
		want           Pin // Standard, Class, NominalMM
	}{
		{"capitals", "ISO 8734", 6, "", Pin{Standard: iso8734, Class: "m6", NominalMM: 6}},
		{"without a space", "iso2338", 6, "H8", Pin{Standard: iso2338, Class: "h8", NominalMM: 6}},
		{"hyphen", "DIN-6325", 6, "m6", Pin{Standard: din6325, Class: "m6", NominalMM: 6}},
		{"inch with three decimals of mm", "asme b18.8.2", 4.763, "", Pin{Standard: asmeInch, NominalMM: 4.7625}},
		{"rod of any size", "rod", 6.3, "g6", Pin{Standard: rod, Class: "g6", NominalMM: 6.3}},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := Lookup(c.standard, c.d, c.class)
			if err != nil {
				t.Fatal(err)
			}
			if p.Standard != c.want.Standard || p.Class != c.want.Class || p.NominalMM != c.want.NominalMM {
				t.Errorf("got %+v", p)
			}
		})
	}
}

func TestLookupErrors(t *testing.T) {
	for _, c := range []struct {
		standard string
		d        float64
		class    string
		what     string
		says     string
	}{
		{"din 8734", 6, "", "standard", "did you mean iso 8734?"},
		{"iso 8734", 6.35, "", "diameter", "the nearest is 6 mm"},
		{"asme b18.8.2", 6, "", "diameter", "6.35 mm (1/4 in)"},
		{"iso 8734", 6, "h6", "class", "there are m6"},
		{"asme b18.8.2", 6.35, "m6", "class", "leave the class out"},
		{"rod", 0, "", "diameter", "up to 50"},
		{"rod", -6, "", "diameter", "up to 50"},
		{"iso 2338", math.NaN(), "", "diameter", "up to 50"},
		{"rod", math.Inf(1), "", "diameter", "up to 50"},
		{"rod", 51, "", "diameter", "up to 50"},
	} {
		_, err := Lookup(c.standard, c.d, c.class)
		var le *LookupError
		if !errors.As(err, &le) || le.What != c.what || !strings.Contains(le.Says, c.says) {
			t.Errorf("%s %g %s: %v", c.standard, c.d, c.class, err)
		}
	}
}

func TestListings(t *testing.T) {
	for _, s := range Series() {
		if !slices.IsSorted(s.DiametersMM) {
			t.Errorf("%s: %v", s.Name, s.DiametersMM)
		}
		for _, d := range s.DiametersMM {
			for _, c := range append(slices.Clone(s.Classes), "") {
				if p, err := Lookup(s.Name, d, c); err != nil || !(p.MinMM < p.MaxMM) || p.SDMM <= 0 || p.Source == "" {
					t.Errorf("%s %g %s: %+v %v", s.Name, d, c, p, err)
				}
			}
		}
	}
}

// TestStockLengths: the lengths of the standard where it is known, else those of ISO 2338;
// measured pins take lengths and chamfer of the standard that the job names.
func TestStockLengths(t *testing.T) {
	measured := Pin{Standard: measured, NominalMM: 5}
	for _, c := range []struct {
		name        string
		pin         func() (Pin, error)
		first, lead float64
		tol24       float64
		from        string
	}{
		{"hardened", func() (Pin, error) { return Lookup("iso 8734", 6, "") }, 14, 1.2, 0.5, "ISO 8734"},
		{"rod", func() (Pin, error) { return Lookup("rod", 6, "") }, 2, 1.2, 0.5, "the lengths of ISO 2338"},
		{"inch", func() (Pin, error) { return Lookup("asme b18.8.2", 6.35, "") }, 9.525, 2.159, 0.254,
			"ASME B18.8.2 (lengths recalled)"},
		{"measured", func() (Pin, error) { return measured.WithFormOf("iso 2338"), nil }, 10, 0.8, 0.5, "ISO 2338"},
		{"measured, of no such size", func() (Pin, error) {
			p := measured
			p.NominalMM = 5.5
			return p.WithFormOf("iso 2338"), nil
		}, 2, 1.1, 0.5, "the lengths of ISO 2338"},
	} {
		p, err := c.pin()
		if err != nil {
			t.Fatal(err)
		}
		all, from := p.StockLengths()
		if !near(all[0], c.first, 1e-9) || !slices.IsSorted(all) || from != c.from || !near(p.LeadMM(), c.lead, 1e-9) ||
			!near(p.LengthTolerance(24), c.tol24, 1e-9) {
			t.Errorf("%s: from %g (%s), lead %g, tolerance %g", c.name, all[0], from, p.LeadMM(), p.LengthTolerance(24))
		}
	}
}

// A rod of any size has limits that hold its nominal size from below.
func TestRodProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(0.5, 50).Draw(t, "d")
		c := rapid.SampledFrom([]string{"h6", "h8", "g6"}).Draw(t, "class")
		p, err := Lookup("rod", d, c)
		if err != nil {
			t.Fatal(err)
		}
		if p.MaxMM > d || p.MinMM >= p.MaxMM || p.MinMM < d-0.05 { // IT8 to 50 mm is 0.039
			t.Fatalf("%g %s: %g to %g", d, c, p.MinMM, p.MaxMM)
		}
	})
}

// TestPinName: an inch pin is asked for in inches, by diameter and by length.
func TestPinName(t *testing.T) {
	for _, c := range []struct {
		pin          Pin
		name, length string
	}{
		{Pin{Standard: "iso 8734", NominalMM: 6, Class: "m6"}, "ISO 8734 6 m6", "15.875 mm"},
		{Pin{Standard: asmeInch, NominalMM: 6.35}, "ASME B18.8.2 1/4 in", "5/8 in"},
		{Pin{Standard: "measured", NominalMM: 6}, "6 (measured)", "15.875 mm"},
	} {
		if got, long := c.pin.Name(), c.pin.SizeSold(15.875); got != c.name || long != c.length {
			t.Errorf("%q, %q; want %q, %q", got, long, c.name, c.length)
		}
	}
}
