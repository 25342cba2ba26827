package holddown

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// rounding is what a few products lose, as a share.
const rounding = 1e-12

// handShare is the share by which figures worked by hand to four digits may differ.
const handShare = 5e-4

func near(t *testing.T, what string, got, want, share float64) {
	t.Helper()
	if !(math.Abs(got-want) <= share*math.Abs(want)) {
		t.Errorf("%s: got %.8g, want %.8g", what, got, want)
	}
}

// slow is a small router in hardwood: 1 mm deep, 900 mm/min at 18000 1/min, two
// teeth.
func slow() Spec {
	return Spec{
		DepthMM: 1, FeedMMmin: 900, RPM: 18000, Teeth: 2,
		Parts: []Part{{Name: "board", AreaMM2: 23520}, {Name: "plate", AreaMM2: 57200, LessMM2: 25000, Share: 0.5}},
	}
}

func check(t *testing.T, s Spec) Result {
	t.Helper()
	r, err := Check(s)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Worked by hand. Feed per tooth 900/36000 = 0.025 mm; section 0.025 mm2; 75.2
// N/mm2 x 0.025 = 1.88 N sideways; lift tan 30 = 0.57735, 1.085418 N; together
// 2.965418, by four 11.86167 N. Over 9.80665/625 = 0.01569064 N/mm2: 755.97 mm2; over
// 9.80665/6000 = 0.001634442: 7257.3 mm2. Board: 0.8 x 23520 = 18816, so its deepest
// turn is 18816/7257.3 = 2.5927 mm.
func TestByHand(t *testing.T) {
	r := check(t, slow())
	near(t, "feed per tooth", r.FeedPerTooth.Value, 0.025, rounding)
	near(t, "specific", r.Specific.Value, 75.2, rounding)
	near(t, "sideways", r.Sideways.Value, 1.88, rounding)
	near(t, "lift", r.Lift.Value, 1.085418, handShare)
	near(t, "hold, short", r.HoldShort.Value*1000, 15.7, 0.001)   // facts: 15.7 kPa
	near(t, "hold, lasting", r.HoldLasting.Value*1000, 1.6, 0.03) // facts: 1.6 kPa
	near(t, "need, short", r.NeedShort.Value, 755.97, handShare)
	near(t, "need, lasting", r.NeedLasting.Value, 7257.3, handShare)
	near(t, "board", r.Parts[0].Available.Value, 18816, rounding)
	near(t, "plate", r.Parts[1].Available.Value, 16100, rounding)
	near(t, "deepest turn", r.Parts[0].MostMM.Value, 2.5927, handShare)
	if r.Level != Pass || r.NeedShort.Basis != Practice || r.HoldShort.Basis != Derived || r.Specific.Basis != Practice {
		t.Errorf("%+v", r)
	}
	if len(r.Notes) != 2 || !strings.Contains(r.Notes[0], "3.8 N instead of 1.9") {
		t.Errorf("notes %q", r.Notes)
	}
}

func TestDefaultsAndGiven(t *testing.T) {
	s := slow()
	s.Stock = Particleboard
	if r := check(t, s); r.Specific.Value != 37.6 || r.Specific.Basis != Found || r.Section.Basis != Derived {
		t.Errorf("particleboard %+v", r.Specific)
	}
	s.SpecificNMM2, s.Factor, s.HoldKPa = 50, 3, 20
	zero := 0.0
	s.LiftShare = &zero
	r := check(t, s)
	// 50 x 0.025 x 3 / 0.020 = 187.5 mm2.
	near(t, "need", r.NeedShort.Value, 187.5, rounding)
	near(t, "need", r.NeedLasting.Value, 187.5, rounding)
	if r.NeedShort.Basis != Derived || r.Specific.Basis != Given {
		t.Errorf("basis %+v", r)
	}
	down := -0.5
	s.LiftShare = &down
	if got := check(t, s).NeedShort.Value; math.Abs(got-187.5) > 187.5*rounding {
		t.Errorf("pressing down changes the need to %g", got)
	}
	for bit, want := range map[Bit]float64{UpCut: math.Tan(math.Pi / 6), DownCut: 0, Straight: 0} {
		s := slow()
		s.Bit = bit
		near(t, "share of "+string(bit), check(t, s).LiftShare.Value, want, rounding)
	}
	// Four teeth: half the feed per tooth, two in the cut.
	s = slow()
	s.Teeth = 4
	near(t, "four teeth", check(t, s).Sideways.Value, 1.88, rounding)
}

func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		name, reason string
		area         float64
		want         Level
	}{
		{"none", "700 mm2 is under 756", 700 / 0.8, Fail},
		{"short", "1000 mm2 is over 756 and under 7257", 1000 / 0.8, Warn},
		{"good", "8000 mm2 is over 7257", 8000 / 0.8, Pass},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := slow()
			s.Parts = []Part{{Name: "board", AreaMM2: c.area}, {Name: "plate", AreaMM2: 1e6}}
			r := check(t, s)
			if r.Level != c.want || r.Parts[0].Level != c.want || r.Parts[1].Level != Pass || r.Parts[0].Says == "" {
				t.Errorf("%s: %+v", c.reason, r.Parts)
			}
		})
	}
}

// The deepest turn that a part allows needs exactly the tape that it has, and the
// need grows with depth and feed and falls with speed.
func TestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Spec{
			DepthMM: rapid.Float64Range(0.1, 3).Draw(t, "depth"), FeedMMmin: rapid.Float64Range(100, 3000).Draw(t, "feed"),
			RPM: rapid.Float64Range(5000, 24000).Draw(t, "rpm"), Teeth: rapid.IntRange(1, 4).Draw(t, "teeth"),
			Parts: []Part{{Name: "board", AreaMM2: rapid.Float64Range(1000, 50000).Draw(t, "area")}},
		}
		r, err := Check(s)
		if err != nil {
			t.Fatal(err)
		}
		at := s
		at.DepthMM = r.Parts[0].MostMM.Value
		if at.DepthMM > leastDepthMM && at.DepthMM < mostDepthMM {
			q, err := Check(at)
			if err != nil || math.Abs(q.NeedLasting.Value-r.Parts[0].Available.Value) > 1e-9*q.NeedLasting.Value { // a few products
				t.Fatalf("deepest turn %g: %+v, %v", at.DepthMM, q.NeedLasting, err)
			}
		}
		for i, more := range []Spec{{DepthMM: s.DepthMM * 1.5, FeedMMmin: s.FeedMMmin, RPM: s.RPM}, {DepthMM: s.DepthMM, FeedMMmin: s.FeedMMmin * 1.5, RPM: s.RPM}, {DepthMM: s.DepthMM, FeedMMmin: s.FeedMMmin, RPM: s.RPM / 1.5}} {
			more.Teeth, more.Parts = s.Teeth, s.Parts
			q, err := Check(more)
			if err != nil || !(q.NeedShort.Value > r.NeedShort.Value && q.NeedLasting.Value > q.NeedShort.Value) {
				t.Fatalf("%d: %v after %v, %v", i, q.NeedShort, r.NeedShort, err)
			}
		}
	})
}

func TestRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	_, err := Check(Spec{
		Stock: "oak", Bit: "compression", SpecificNMM2: nan, DepthMM: 0, FeedMMmin: inf, RPM: -1, Teeth: 0,
		LiftShare: &nan, HoldKPa: -2, Factor: 0.5,
		Parts: []Part{{AreaMM2: 100, LessMM2: 100}, {Name: "plate", AreaMM2: nan, Share: 1.5}},
	})
	want := []string{
		`stock is "oak"`, `bit is "compression"`, "specific cutting force (N/mm2) is NaN", "depth of a turn (mm) is 0", "feed (mm/min) is +Inf",
		"spindle speed (1/min) is -1", "teeth is 0", "share of lift is NaN", "holding pressure of the tape (kPa) is -2", "safety factor is 0.5",
		"window and holes of part 1 (mm2) is 100", "area of plate (mm2) is NaN", "share of plate that carries tape is 1.5",
	}
	if err == nil {
		t.Fatal("taken")
	}
	for _, w := range want {
		if !strings.Contains(err.Error(), w) {
			t.Errorf("no %q in %v", w, err)
		}
	}
	if got := strings.Count(err.Error(), "\n") + 1; got != len(want) {
		t.Errorf("%d faults, want %d: %v", got, len(want), err)
	}
	if !errors.As(err, new(*InputError)) || !errors.As(err, new(*WordError)) || strings.Count(err.Error(), prefix) != 1 {
		t.Errorf("%v", err)
	}
	s := slow()
	s.Parts = nil
	if _, err := Check(s); !errors.As(err, new(*InputError)) {
		t.Errorf("no parts: %v", err)
	}
}

// The advice warns of what harms: heat over the solvent, alcohol on acrylic and on
// a finish.
func TestLifting(t *testing.T) {
	for _, c := range []struct {
		finished, acrylic bool
		words             []string
		not               string
	}{
		{false, false, []string{"Warm", "Twist", "spatula", "burn", "Bare wood"}, "acrylic"},
		{true, true, []string{"shellac", "crazes", "where it does not show"}, "Bare wood"},
	} {
		var all strings.Builder
		for _, a := range Lifting(c.finished, c.acrylic) {
			all.WriteString(a.Do + " " + a.Care + "\n")
		}
		for _, w := range c.words {
			if !strings.Contains(all.String(), w) {
				t.Errorf("no %q in %s", w, all.String())
			}
		}
		if strings.Contains(all.String(), c.not) {
			t.Errorf("%q in %s", c.not, all.String())
		}
	}
}
