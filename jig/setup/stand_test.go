package setup

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/dowel"
)

func lookup(t interface{ Fatal(...any) }, standard string, d float64) dowel.Pin {
	p, err := dowel.Lookup(standard, d, "")
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestShortestOfAlike: over a plate too thin for any length a longer pin bears by a few hundredths more,
// since its deeper hole is rounded up by less; the shortest is taken, and no hole of 19.5 bored for that.
func TestShortestOfAlike(t *testing.T) {
	p := lookup(t, "asme b18.8.2", 6.35)
	if s := MachinePins(p, 0, Between{HolderMM: 25.4, PlateMM: 3}); s.LengthMM != 12.7 || s.DepthMM > 10+hairMM {
		t.Errorf("%+v, want 12.7 long, 10 deep", s)
	}
}

// TestStandsByHand: pins of ISO 2338, 24 long, are 23.5 to 24.5; the chamfer of 6 mm pins
// is 1.2, of 8 mm pins 1.6 (the standard's tables).
func TestStandsByHand(t *testing.T) {
	for _, c := range []struct {
		name, reason string
		d, named     float64
		in           Between
		want         Stand
	}{
		{"plate of 6 on a bed of 18", "9 deep is 1.5 d; the shortest of 14 reaches 4.5, less 1.2 of chamfer", 6, 0,
			Between{18, 6, 0}, Stand{LengthMM: 14, OverMM: 0.5, DepthMM: 9, FloorMM: 9, HeldMM: 9, BearsMM: 3.3,
				ProudMM: -0.5}},
		{"24 leaves 18 no floor", "24.5 - 6 is more than the bed: through, and half a millimetre proud", 6, 24,
			Between{18, 6, 0},
			Stand{LengthMM: 24, OverMM: 0.5, DepthMM: 18, Through: true, HeldMM: 18, BearsMM: 4.3, ProudMM: 0.5}},
		{"22 leaves 18 a thin floor", "22.5 - 6 = 16.5; through it would bear over 2.3 of 3 only", 6, 22,
			Between{18, 6, 0}, Stand{LengthMM: 22, OverMM: 0.5, DepthMM: 16.5, FloorMM: 1.5, HeldMM: 16.5, BearsMM: 3.8}},
		{"blank of 26 on a bed of 25", "40.5 - 26", 8, 40, Between{25, 26, 0},
			Stand{LengthMM: 40, OverMM: 0.5, DepthMM: 14.5, FloorMM: 10.5, HeldMM: 14.5, BearsMM: 23.4}},
		{"the same drilled", "the point takes 2.4 of the floor", 8, 40, Between{25, 26, 2.4},
			Stand{LengthMM: 40, OverMM: 0.5, DepthMM: 14.5, FloorMM: 8.1, HeldMM: 14.5, BearsMM: 23.4}},
		{"as thin as the pins need", "14 deep leaves 3 of 17", 8, 40, Between{17.5, 26, 0},
			Stand{LengthMM: 40, OverMM: 0.5, DepthMM: 14.5, FloorMM: 3, HeldMM: 14.5, BearsMM: 23.4}},
		{"thin plate", "no length bears over 2.5 in 3 mm; 10 is 0.25 long or short", 5, 0, Between{18, 3, 0},
			Stand{LengthMM: 10, OverMM: 0.25, DepthMM: 7.5, FloorMM: 10.5, HeldMM: 7.5, BearsMM: 1.45, ProudMM: -0.25}},
		{"bed too thin for blind holes", "12 - 9 - 1 is all a blind hole could be; through, 20.5 is flush", 8, 0,
			Between{12, 9, 0},
			Stand{LengthMM: 20, OverMM: 0.5, DepthMM: 12, Through: true, HeldMM: 12, BearsMM: 5.9, ProudMM: -0.5}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := MachinePins(lookup(t, "iso 2338", c.d), c.named, c.in)
			got.Named = false
			for _, f := range []*float64{&got.BearsMM, &got.FloorMM, &got.ProudMM, &got.DepthMM, &got.HeldMM} {
				*f = math.Round(*f*1e6) / 1e6
			}
			if got != c.want {
				t.Errorf("%s:\n got %+v\nwant %+v", c.reason, got, c.want)
			}
		})
	}
}

// TestStands: whatever the parts, a pin never falls below the table; blind holes leave a
// floor under the drill's point; what lacks nothing is really held, bears and ends below
// the plate at either end of the length's tolerance, and no shorter length does.
func TestStands(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := lookup(t, "iso 8734", rapid.SampledFrom([]float64{3, 4, 5, 6, 8, 10}).Draw(t, "d"))
		in := Between{
			HolderMM: rapid.Float64Range(3, 60).Draw(t, "holder"), PlateMM: rapid.Float64Range(1, 40).Draw(t, "plate"),
			PointMM: rapid.SampledFrom([]float64{0, 0.3 * p.NominalMM}).Draw(t, "point"),
		}
		s := MachinePins(p, 0, in)
		if !slices.Contains(p.LengthsMM, s.LengthMM) || s.DepthMM > in.HolderMM {
			t.Fatalf("%+v", s)
		}
		if !s.Through && math.Abs(s.DepthMM+in.PointMM+s.FloorMM-in.HolderMM) > 1e-9 || !s.Through && s.FloorMM < 1-1e-9 {
			t.Fatalf("floor: %+v", s)
		}
		all := func(s Stand) bool {
			long, short := s.LengthMM+s.OverMM, s.LengthMM-s.OverMM
			return long <= s.DepthMM+in.PlateMM+1e-6 && s.DepthMM >= 1.5*p.NominalMM-1e-6 &&
				short-s.DepthMM-p.ChamferMM >= 0.5*p.NominalMM-1e-6 && in.PlateMM >= 0.5*p.NominalMM-1e-6 &&
				(s.Through || s.FloorMM >= 3-1e-6)
		}
		if all(s) != (s.lacks(p)+s.lacksFloor() < 1e-5) {
			t.Fatalf("lacks %g: %+v", s.lacks(p), s)
		}
		for _, l := range p.LengthsMM {
			if o := stand(p, l, in, s.Through); l < s.LengthMM && o.DepthMM > 0 && all(o) {
				t.Fatalf("%g would do: %+v", l, s)
			}
		}
		if s.Through && all(s) {
			for _, l := range p.LengthsMM {
				if o := stand(p, l, in, false); o.DepthMM > 0 && all(o) {
					t.Fatalf("%g would do in a blind hole: %+v", l, s)
				}
			}
		}
	})
}

// lying is one pin in a bed under a template, as a set-up on the machine.
func lying(s Stand, in Between) []Setup {
	return []Setup{{
		Number: 3, Place: "machine",
		Stack: []Layer{
			{Name: "bed", ToMM: in.HolderMM}, {Name: "template", FromMM: in.HolderMM, ToMM: in.HolderMM + in.PlateMM},
		},
		Pins: []Pin{{ToMM: in.HolderMM - s.DepthMM + s.LengthMM, ProudMM: s.OverMM}},
	}}
}

// TestRemediesOfPins: what a rule of the pins offers is applied, and the rule passes.
func TestRemediesOfPins(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := lookup(t, "iso 8734", rapid.SampledFrom([]float64{4, 5, 6, 8}).Draw(t, "d"))
		in := Between{
			HolderMM: rapid.Float64Range(6, 40).Draw(t, "holder"), PlateMM: rapid.Float64Range(2, 30).Draw(t, "plate"),
		}
		named := rapid.SampledFrom(p.LengthsMM).Draw(t, "named")
		judged := func(named float64, in Between) []Finding {
			s := MachinePins(p, named, in)
			return PinRules(p, s, in, "template", lying(s, in))
		}
		for _, f := range judged(named, in) {
			offers := func(what string, mm *float64) bool {
				_, rest, ok := strings.Cut(f.Remedy, what)
				fmt.Sscan(rest, mm)
				return ok
			}
			length, anew := named, in
			if f.Level == "pass" || !offers("pins of ", &length) && !offers("a template of ", &anew.PlateMM) &&
				!offers("a bed of ", &anew.HolderMM) {
				continue // all is well, or thinner pins are asked for
			}
			for _, g := range judged(length, anew) {
				if g.ID == f.ID && g.Level != "pass" {
					t.Errorf("%s: %q, then: %s", f.ID, f.Remedy, g.Says)
				}
			}
		}
	})
}

// TestProud: a pin that may stand over the plate blocks, in whichever set-up it does.
func TestProud(t *testing.T) {
	p, in := lookup(t, "iso 2338", 6), Between{HolderMM: 18, PlateMM: 6}
	for _, tc := range []struct {
		name            string
		length, boardMM float64 // boardMM: 0: no board beside the template
		level           string
	}{
		{"below the template", 14, 0, "pass"},
		{"the longest of its length half a millimetre over the template", 24, 0, "fail"},
		{"and still below the board's face, which the cutter works on", 24, 6.5, "pass"},
		{"a board that it stands over", 24, 6.4, "fail"},
	} {
		s := MachinePins(p, tc.length, in)
		setups := lying(s, in)
		for i := range setups {
			setups[i].Stack = append(setups[i].Stack, Layer{Name: "board", FromMM: 18, ToMM: 18 + tc.boardMM})
		}
		all := PinRules(p, s, in, "template", setups)
		if f := all[len(all)-1]; f.ID != "pin-proud" || f.Level != tc.level || !f.Blocks {
			t.Errorf("%s: %+v", tc.name, f)
		}
	}
}
