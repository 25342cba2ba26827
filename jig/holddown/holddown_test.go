package holddown

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/sourced"
	"reseat/testdata/reference"
)

// slow is a small router in hardwood: 1 mm deep, 900 mm/min at 18000 1/min, two
// teeth.
func slow() Spec {
	return Spec{
		DepthMM: 1, FeedMMmin: 900, RPM: 18000, Teeth: 2,
		Parts: []Part{{Name: "board", AreaMM2: 23520}, {Name: "plate", AreaMM2: 57200, LessMM2: 25000}},
	}
}

// Worked by hand. Feed per tooth 900/36000 = 0.025 mm; section 0.025 mm2; 75.2
// N/mm2 x 0.025 = 1.88 N sideways; lift tan 30 = 0.57735, 1.085418 N; together
// 2.965418, by four 11.86167 N. Over 9.80665/625 = 0.01569064 N/mm2 (15.7 kPa): 755.97
// mm2; over 9.80665/6000 = 0.001634442 (1.6 kPa): 7257.3 mm2. Board: 0.8 x 23520 = 18816.
func TestByHand(t *testing.T) {
	r := Check(slow())
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"specific", r.Specific.Least, 75.2},
		{"sideways", r.SidewaysN, 1.88},
		{"lift", r.LiftN, 1.085418},
		{"need, short", r.NeedShortMM2, 755.97},
		{"need, lasting", r.NeedLastingMM2, 7257.3},
		{"board", r.Parts[0].AvailableMM2, 18816},
		{"plate", r.Parts[1].AvailableMM2, 25760},
	} {
		if math.Abs(c.got-c.want) > 5e-4*c.want { // to four digits
			t.Errorf("%s: %.6g, want %.6g", c.what, c.got, c.want)
		}
	}
	if r.Specific.Mark != sourced.Practice {
		t.Errorf("a guess is marked %s", r.Specific.Mark)
	}
	// A measured force wins; of four teeth two cut at once, each half the chip.
	s := slow()
	s.SpecificNMM2, s.Teeth = 20, 4
	if r := Check(s); math.Abs(r.SidewaysN-0.5) > 1e-12 || r.Specific.Mark != sourced.Given {
		t.Errorf("%+v", r)
	}
	for _, row := range reference.Rows(t, "machining.csv") {
		if row["quantity"] == "mean specific principal cutting force, fast milling (40-60 m/s)" &&
			reference.Number(t, row["value"]) != particleboardNMM2 {
			t.Errorf("particleboard: %g, reference %s", particleboardNMM2, row["value"])
		}
	}
}

func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		reason string
		area   float64
		want   Level
	}{
		{"700 mm2 is under 756", 700 / 0.8, Fail},
		{"1000 mm2 is over 756 and under 7257", 1000 / 0.8, Warn},
		{"8000 mm2 is over 7257", 8000 / 0.8, Pass},
	} {
		s := slow()
		s.Parts[0].AreaMM2 = c.area
		if r := Check(s); r.Parts[0].Level != c.want || r.Parts[1].Level != Pass {
			t.Errorf("%s: %+v", c.reason, r.Parts)
		}
	}
}

// The need grows with depth and feed and falls with speed.
func TestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Spec{
			DepthMM: rapid.Float64Range(0.1, 3).Draw(t, "depth"), FeedMMmin: rapid.Float64Range(100, 3000).Draw(t,
				"feed"),
			RPM: rapid.Float64Range(5000, 24000).Draw(t, "rpm"), Teeth: rapid.IntRange(1, 4).Draw(t, "teeth"),
		}
		r := Check(s)
		deeper, faster, slower := s, s, s
		deeper.DepthMM *= 1.5
		faster.FeedMMmin *= 1.5
		slower.RPM /= 1.5
		for _, more := range []Spec{deeper, faster, slower} {
			if q := Check(more); !(q.NeedShortMM2 > r.NeedShortMM2 && q.NeedLastingMM2 > q.NeedShortMM2) {
				t.Fatalf("%+v needs %g, %+v %g", more, q.NeedShortMM2, s, r.NeedShortMM2)
			}
		}
	})
}

// The advice warns of what harms: heat over the solvent, alcohol on acrylic.
func TestLifting(t *testing.T) {
	for acrylic, words := range map[bool][]string{
		false: {"Warm", "Twist", "spatula", "burn", "Bare wood"},
		true:  {"Warm", "crazes", "acrylic plate grows"},
	} {
		all := strings.Join(Lifting(false, acrylic), "\n")
		for _, w := range words {
			if !strings.Contains(all, w) {
				t.Errorf("no %q in %s", w, all)
			}
		}
		if strings.Contains(all, "acrylic") != acrylic {
			t.Errorf("acrylic %t: %s", acrylic, all)
		}
		if all = strings.Join(Lifting(true, acrylic), "\n"); strings.Contains(all, "Twist") || !strings.Contains(all, "relief") {
			t.Errorf("in a window with finger reliefs: %s", all)
		}
	}
}
