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
		Wood: Hardwood, DepthMM: 1, FeedMMmin: 900, RPM: 18000, Teeth: 2,
		Parts: []Part{{Name: "board", AreaMM2: 23520}, {Name: "plate", AreaMM2: 57200, LessMM2: 25000}},
	}
}

// Worked by hand. Chip 900/36000 = 0.025 mm; 44/sqrt(0.025) = 278.2805 N/mm2, and twice
// that x 0.025 mm2 = 13.91402 N sideways; lift tan 30 = 0.57735, 8.033265 N; together
// 21.94729, by two 43.89457 N. Over 9.80665/625 = 0.01569064 N/mm2 (15.7 kPa): 2797.5 mm2.
// Mean lift: two teeth of 8.033265 x 0.38138, 6.127451 N, by two 12.25490 over
// 9.80665/6000 = 0.001634442 (1.6 kPa): 7497.9 mm2. Board: 0.8 x 23520 = 18816.
func TestByHand(t *testing.T) {
	r := Check(slow())
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"chip", r.ChipMM, 0.025},
		{"specific", r.Specific.Least, 278.2805},
		{"sideways", r.SidewaysN, 13.91402},
		{"lift", r.LiftN, 8.033265},
		{"mean lift", r.MeanLiftN, 6.127451},
		{"need, short", r.NeedShortMM2, 2797.5},
		{"need, whole cut", r.NeedLastingMM2, 7497.9},
		{"board", r.Parts[0].AvailableMM2, 18816},
		{"plate", r.Parts[1].AvailableMM2, 25760},
	} {
		if math.Abs(c.got-c.want) > 5e-4*c.want { // to four digits
			t.Errorf("%s: %.6g, want %.6g", c.what, c.got, c.want)
		}
	}
	if r.Specific.Mark != sourced.Web || !r.Thin {
		t.Errorf("marked %s, thin chip: %t", r.Specific.Mark, r.Thin)
	}
	// A measured force wins; of four teeth two cut at once, each half the chip.
	s := slow()
	s.SpecificNMM2, s.Teeth = 20, 4
	if r := Check(s); math.Abs(r.SidewaysN-0.5) > 1e-12 || r.Specific.Mark != sourced.Given || r.Dull != 1 || r.Thin {
		t.Errorf("%+v", r)
	}
	if s.SpecificNMM2, s.FeedMMmin = 0, 9000; Check(s).Thin {
		t.Error("a chip of 0.125 mm is called thin")
	}
}

// TestForceAgainstTable: the constants are the most that the book's ranges have, and its
// range for particleboard takes in what an independent paper measured in milling it.
func TestForceAgainstTable(t *testing.T) {
	most, least := map[string]float64{}, map[string]float64{}
	paper := 0.0
	for _, row := range reference.Rows(t, "machining.csv") {
		switch row["quantity"] {
		case "cutting force over chip width and root of thickness":
			low, high, _ := strings.Cut(row["value"], "-")
			least[row["material"]], most[row["material"]] = reference.Number(t, low), reference.Number(t, high)
		case "mean specific principal cutting force, fast milling (40-60 m/s)":
			paper = reference.Number(t, row["value"])
		}
	}
	if rootForce[Hardwood] != max(most["oak"], most["beech"]) || rootForce[Softwood] != max(most["pine"], most["spruce"]) {
		t.Errorf("%v, the table has %v", rootForce, most)
	}
	// k/sqrt(h) of particleboard is the paper's 37.6 N/mm2 at a chip of 0.10 to 0.23 mm, which
	// is what peripheral milling takes.
	thin, thick := math.Pow(least["particleboard"]/paper, 2), math.Pow(most["particleboard"]/paper, 2)
	if !(0.05 < thin && thin < thick && thick < 0.3) {
		t.Errorf("particleboard takes %g N/mm2 at chips of %.2f to %.2f mm", paper, thin, thick)
	}
}

// TestMeanOfATurn integrates the force of a tooth over a turn.
func TestMeanOfATurn(t *testing.T) {
	const n = 200000
	root, even := 0.0, 0.0
	for i := range n / 2 {
		s := math.Sin(2 * math.Pi * (float64(i) + 0.5) / n)
		root, even = root+math.Sqrt(s)/n, even+s/n
	}
	if math.Abs(root-meanRoot) > 1e-5 || math.Abs(even-meanEven) > 1e-5 {
		t.Errorf("%.6f and %.6f, want %.6f and %.6f", root, even, meanRoot, meanEven)
	}
}

func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		reason string
		area   float64
		want   Level
	}{
		{"2700 mm2 is under 2798", 2700 / 0.8, Fail},
		{"3000 mm2 is over 2798 and under 7498", 3000 / 0.8, Warn},
		{"8000 mm2 is over 7498", 8000 / 0.8, Pass},
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
			Wood: Softwood, DepthMM: rapid.Float64Range(0.1, 3).Draw(t, "depth"), FeedMMmin: rapid.Float64Range(100, 3000).Draw(t,
				"feed"),
			RPM: rapid.Float64Range(5000, 24000).Draw(t, "rpm"), Teeth: rapid.IntRange(1, 4).Draw(t, "teeth"),
		}
		r := Check(s)
		deeper, faster, slower := s, s, s
		deeper.DepthMM *= 1.5
		faster.FeedMMmin *= 1.5
		slower.RPM /= 1.5
		for _, more := range []Spec{deeper, faster, slower} {
			if q := Check(more); !(q.NeedShortMM2 > r.NeedShortMM2 && q.NeedLastingMM2 >= q.NeedShortMM2) {
				t.Fatalf("%+v needs %g, %+v %g", more, q.NeedShortMM2, s, r.NeedShortMM2)
			}
		}
		// Half the feed takes more than half the force.
		thinner := s
		thinner.FeedMMmin /= 2
		if q := Check(thinner); q.SidewaysN <= r.SidewaysN/2 || q.Specific.Least <= r.Specific.Least {
			t.Fatalf("half the chip: %g of %g N", q.SidewaysN, r.SidewaysN)
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
