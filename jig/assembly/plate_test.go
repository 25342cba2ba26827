package assembly

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"reseat/jig/geom"
	"reseat/testdata/reference"

	"pgregory.net/rapid"
)

// made is one joint as it came out.
type made struct {
	Off     geom.Vec // pin's place less hole's place, each from where it was drawn, mm
	ClearMM float64  // hole less pin on the diameter
}

// open is how far apart rounding may leave the bounds of s* where an exchange ends
// early, mm: some in 100 000 patterns, seen up to 2e-8. twice is what two extra
// clearances of one assembly may then differ by: each is 2 s*.
const (
	open  = 50 * gapMM
	twice = 4 * open
)

// lay returns the extra clearance, 2 s*, that one plate needs, and the joints that
// hold it up.
func lay(t interface{ Fatal(...any) }, joints []Joint, as []made) (extra float64, binding []int) {
	p, err := newPlate(joints)
	if err != nil {
		t.Fatal(err)
	}
	var off []geom.Vec
	var room []float64
	for _, m := range as {
		off, room = append(off, m.Off), append(room, m.ClearMM/2)
	}
	problem := p.problem(off, room)
	s, bits := p.solve(&problem)
	if !(s.High-s.Low <= open) || s.Low > s.High {
		t.Fatal("bounds", s, "of", joints, as)
	}
	for i := range joints {
		if bits>>i&1 == 1 {
			binding = append(binding, i)
		}
	}
	return 2 * s.High, binding
}

func TestCases(t *testing.T) {
	pair := []Joint{{}, {At: vec(400, 0)}}
	slotted := []Joint{{}, {At: vec(400, 0), TravelMM: 1}}
	for _, c := range []struct {
		name, reason string
		joints       []Joint
		made         []made
		want         float64
		binding      []int
	}{
		{"two round, true", "the smaller clearance decides", pair, []made{{ClearMM: 0.03}, {ClearMM: 0.05}}, -0.03,
			[]int{0}},
		{"two round, alike", "both decide", pair, []made{{ClearMM: 0.05}, {ClearMM: 0.05}}, -0.05, []int{0, 1}},
		{"pin larger than its hole", "no pose helps", pair, []made{{ClearMM: -0.02}, {ClearMM: 0.05}}, 0.02, []int{0}},
		{"no clearance at all", "it just enters", pair, []made{{}, {}}, 0, []int{0, 1}},
		{
			"stretched", "0.1 too long: 2 s* = 0.1 - (0.04 + 0.04)/2", pair,
			[]made{{vec(-0.04, 0), 0.04}, {vec(0.06, 0), 0.04}},
			0.06,
			[]int{0, 1},
		},
		{
			"stretched, unlike", "2 s* = 0.1 - (0.02 + 0.06)/2", pair,
			[]made{{vec(0, 0), 0.02}, {vec(0.1, 0), 0.06}},
			0.06,
			[]int{0, 1},
		},
		{"across", "a turn mends it", pair, []made{{vec(0, -0.3), 0.02}, {vec(0, 0.4), 0.02}}, -0.02, []int{0, 1}},
		{
			"slot", "the travel takes the stretch", slotted, []made{{vec(-0.2, 0), 0.02}, {vec(0.3, 0.1), 0.04}}, -0.02,
			[]int{0},
		},
		{
			"slot too short", "0.1 beyond the round end: 2 s* = 0.1 - (0.02 + 0.04)/2", slotted,
			[]made{{vec(-0.2, 0), 0.02}, {vec(0.4, 0), 0.04}},
			0.07,
			[]int{0, 1},
		},
		{
			"slots along one line", "nothing holds the plate along it",
			[]Joint{{TravelMM: 1}, {At: vec(400, 0), TravelMM: 1}},
			[]made{{vec(0.2, 0), 0.02}, {vec(0.3, 0.1), 0.04}},
			-0.02,
			[]int{0},
		},
		// Three pins in a row, the middle one off by 0.09 across: the plate goes
		// 0.045 to its side, 2 s* = 0.09 - 0.04.
		{
			"collinear, middle off", "half the error each way",
			[]Joint{{}, {At: vec(100, 0)}, {At: vec(200, 0)}},
			[]made{{ClearMM: 0.04}, {vec(0, 0.09), 0.04}, {ClearMM: 0.04}},
			0.05,
			[]int{0, 1, 2},
		},
		{
			"coincident, apart", "0.1 between them: 2 s* = 0.1 - 0.04",
			[]Joint{{}, {}, {At: vec(100, 0)}},
			[]made{{vec(0, 0.05), 0.04}, {vec(0, -0.05), 0.04}, {ClearMM: 1}},
			0.06,
			[]int{0, 1},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			extra, binding := lay(t, c.joints, c.made)
			if math.Abs(extra-c.want) > twice {
				t.Errorf("extra %.12g, want %g: %s", extra, c.want, c.reason)
			}
			if !slices.Equal(binding, c.binding) {
				t.Errorf("binding %v, want %v: %s", binding, c.binding, c.reason)
			}
		})
	}
}

func drawPair(t *rapid.T) ([]Joint, []made) {
	n := rapid.IntRange(leastJoints, 8).Draw(t, "joints")
	u, v := rapid.Float64Range(0, 600), rapid.Float64Range(-60, 60)
	off, clear := rapid.Float64Range(-0.2, 0.2), rapid.Float64Range(-0.05, 0.4)
	joints, as := make([]Joint, n), make([]made, n)
	for i := range joints {
		joints[i].At = vec(u.Draw(t, "u"), v.Draw(t, "v"))
		if rapid.Bool().Draw(t, "slot") {
			joints[i].TravelMM = rapid.Float64Range(0, 2).Draw(t, "travel")
			joints[i].AngleRad = rapid.Float64Range(-3, 3).Draw(t, "angle")
		}
		as[i] = made{vec(off.Draw(t, "du"), off.Draw(t, "dv")), clear.Draw(t, "clearance")}
	}
	joints[0].At.X -= 10 // two places at least
	return joints, as
}

func TestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		joints, as := drawPair(t)
		extra, _ := lay(t, joints, as)

		// More room, or more travel, at one joint never hurts.
		more := rapid.Float64Range(0, 0.2).Draw(t, "more")
		i := rapid.IntRange(0, len(joints)-1).Draw(t, "joint")
		wider := slices.Clone(as)
		wider[i].ClearMM += more
		longer := slices.Clone(joints)
		longer[i].TravelMM += more
		if a, _ := lay(t, joints, wider); a > extra+twice {
			t.Fatalf("more clearance at joint %d needs more: %.12g, %.12g", i, a, extra)
		}
		if a, _ := lay(t, longer, as); a > extra+twice {
			t.Fatalf("more travel at joint %d needs more: %.12g, %.12g", i, a, extra)
		}

		// Any rigid move of the frame changes nothing.
		m := geom.Rigid{Angle: rapid.Float64Range(-3, 3).Draw(t, "turn"), Shift: vec(200, -70)}
		turned, turnedMade := slices.Clone(joints), slices.Clone(as)
		for i := range turned {
			turned[i].At = m.Apply(turned[i].At)
			turned[i].AngleRad += m.Angle
			turnedMade[i].Off = geom.Rigid{Angle: m.Angle}.Apply(as[i].Off)
		}
		if a, _ := lay(t, turned, turnedMade); math.Abs(a-extra) > twice {
			t.Fatalf("frame moved: extra %.12g, want %.12g", a, extra)
		}
	})
}

// Position tolerance formulas: a pin fixed in one plate enters wherever both lie
// in their zones when T1 + T2 = H - F; a loose fastener through two clearance
// holes when each zone is T = H - F, its room between the holes being 2 (H - F).
// Sources: the # lines of testdata/reference/position_cases.csv.
func TestPositionTolerances(t *testing.T) {
	const decimal = 1e-9 // rows are printed to 0.01 mm; what binary makes of them
	for _, row := range positionCases(t) {
		t.Run(row.name, func(t *testing.T) {
			fixed := math.Abs(row.t1+row.t2-(row.h-row.f)) < decimal
			room := row.h - row.f
			if !fixed {
				if math.Abs(row.t1-room) > decimal {
					t.Fatalf("neither formula fits: %+v", row)
				}
				room *= 2
			}
			r := rand.New(rand.NewPCG(8, 8))
			for k := range 300 {
				n := leastJoints + k%(mostJoints-1)
				joints, as := make([]Joint, n), make([]made, n)
				for i := range joints {
					joints[i].At = vec(500*r.Float64(), 100*r.Float64())
					pin := geom.Polar(row.t1/2, 2*math.Pi*r.Float64()) // on the rim: the worst
					hole := geom.Polar(row.t2/2, 2*math.Pi*r.Float64())
					as[i] = made{pin.Sub(hole), room}
				}
				if extra, _ := lay(t, joints, as); extra > twice {
					t.Errorf("%d pins within their zones need %.3g mm more", n, extra)
				}
			}
			// The formulas are sharp: two pins pushed apart to their limits just
			// enter, and 0.01 mm beyond on either side needs 0.02 mm more.
			joints := []Joint{{}, {At: vec(300, 40)}}
			apart := joints[1].At.Unit()
			for _, beyond := range []float64{0, 0.01} {
				off := apart.Scale((row.t1+row.t2)/2 + beyond)
				extra, _ := lay(t, joints, []made{{off.Scale(-1), room}, {off, room}})
				if math.Abs(extra-2*beyond) > twice {
					t.Errorf("%g mm beyond the zones needs %.12g more, want %g", beyond, extra, 2*beyond)
				}
			}
		})
	}
}

type positionCase struct {
	name         string
	h, f, t1, t2 float64
}

func positionCases(t *testing.T) (cases []positionCase) {
	t.Helper()
	for _, r := range reference.Rows(t, "position_cases.csv") {
		n := func(head string) float64 { return reference.Number(t, r[head]) }
		cases = append(cases, positionCase{r["case"], n("H"), n("F"), n("T1"), n("T2")})
	}
	if len(cases) < 4 {
		t.Fatalf("only %d rows", len(cases))
	}
	return cases
}
