package measure

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/reading"
	"reseat/jig/units"
	"reseat/jig/verdict"
)

// dialled turns points on an edge into what a dial shows there, set to zero at
// zero: more when the edge stands farther out. The dial is carried along the
// machine's axis.
func dialled(s Spec, readings []reading.Reading, zero float64) []reading.Reading {
	back := s.ToMachine.Inverse()
	for i, r := range readings {
		p := back.Apply(r.At)
		show := p.Y
		if r.On == reading.OnRight {
			show = -p.Y
		}
		readings[i].At, readings[i].Dial = vec(p.X, show-zero), true
	}
	return readings
}

// A dial along an edge gives the angle that points on it give, wherever its zero
// was set; the offset it cannot give.
func TestDial(t *testing.T) {
	for _, c := range []struct {
		name    string
		machine geom.Rigid
		edges   []string
		angle   float64 // board frame
		want    float64 // seen from above
		dir     string
	}{
		{"left edge", longY, []string{reading.OnLeft}, 1e-3, 1e-3, "+X"},
		{"right edge", longY, []string{reading.OnRight}, 1e-3, 1e-3, "+X"},
		{"both edges", longX, []string{reading.OnLeft, reading.OnRight}, -1e-3, -1e-3, "+Y"},
		{"turned over", geom.Rigid{Mirror: true}, []string{reading.OnLeft}, 1e-3, -1e-3, "+Y"},
	} {
		for _, zero := range []float64{0, 20.75, -3} {
			t.Run(c.name, func(t *testing.T) {
				s := bouzouki(c.machine)
				rep, err := CheckDatum(dialled(s, lay(s, c.edges, c.angle, 0, vec(0, 0.2), 10, 150, 300, 460), zero), s)
				if err != nil {
					t.Fatal(err)
				}
				// The dial's zero shifts the foot of the plunger along the tapered edge,
				// all readings alike.
				if math.Abs(rep.AngleRad-c.want) > 1e-12 || rep.RMSMM > 1e-9 || rep.Far.Direction != c.dir {
					t.Errorf("angle %.12g, rms %g, tap %+v", rep.AngleRad, rep.RMSMM, rep.Far)
				}
				if rep.OffsetMM != nil || rep.Edges != nil && rep.Edges.WidthFarMM != nil {
					t.Errorf("an offset from a dial: %+v, %+v", rep, rep.Edges)
				}
			})
		}
	}
	t.Run("a dial and points together", func(t *testing.T) {
		s := bouzouki(longY)
		r := append(lay(s, []string{reading.OnLeft}, 1e-3, 0, vec(0, 0.2), 10, 240, 460), dialled(s, lay(s, []string{reading.OnLeft}, 1e-3,
			0, vec(0, 0.2), 50, 150, 400), 7)...)
		rep, err := CheckDatum(r, s)
		if err != nil || math.Abs(rep.AngleRad-1e-3) > 1e-12 || rep.OffsetMM == nil || len(rep.On) != 1 || rep.Points != 6 {
			t.Errorf("%+v, %v", rep, err)
		}
	})
}

// Readings in inches and exchanged axes are told by how they fit the board.
func TestMisreadUnits(t *testing.T) {
	inch := func(r []reading.Reading) []reading.Reading {
		for i := range r {
			r[i].At = r[i].At.Scale(1 / units.MMPerInch)
		}
		return r
	}
	short := Spec{LengthMM: 178, WidthStartMM: 35, WidthEndMM: 46, ToMachine: longY, ToleranceMM: 0.2}
	long := bouzouki(longY)
	stations := func(s Spec) []float64 { return []float64{0.03 * s.LengthMM, 0.4 * s.LengthMM, 0.97 * s.LengthMM} }
	for _, s := range []Spec{short, long, bouzouki(longX)} {
		rnd := rand.New(rand.NewPCG(4, 4))
		on := func(edges ...string) []reading.Reading {
			return spoiled(s, lay(s, edges, 2e-3, 0.2, vec(0, 0.3), stations(s)...), 0.02, rnd)
		}
		for name, r := range map[string][]reading.Reading{
			"both edges": on(reading.OnLeft, reading.OnRight), "one edge": on(reading.OnRight), "datum line": on(reading.OnDatum),
			"dial, both columns in inches": dialled(s, on(reading.OnLeft), 20),
		} {
			if _, err := CheckDatum(append([]reading.Reading{}, r...), s); err != nil {
				t.Fatalf("%s of %g in millimetres: %v", name, s.LengthMM, err)
			}
			if _, err := CheckDatum(inch(r), s); err == nil || !strings.Contains(err.Error(),
				"in inches") || !strings.Contains(err.Error(), "reach") {
				t.Errorf("%s of %g: %v", name, s.LengthMM, err)
			}
		}
		d := dialled(s, on(reading.OnLeft, reading.OnRight), 20)
		for i := range d {
			d[i].At.Y /= units.MMPerInch // stations in millimetres
		}
		if _, err := CheckDatum(d, s); err == nil || !strings.Contains(err.Error(),
			"in inches") || !strings.Contains(err.Error(), "taper") {
			t.Errorf("dial in inches: %v", err)
		}
		for name, r := range map[string][]reading.Reading{"both edges": on(reading.OnLeft, reading.OnRight), "datum line": on(reading.OnDatum)} {
			for i := range r {
				r[i].At = vec(r[i].At.Y, r[i].At.X)
			}
			if _, err := CheckDatum(r, s); err == nil || !strings.Contains(err.Error(), "X and Y are exchanged") {
				t.Errorf("%s of %g exchanged: %v", name, s.LengthMM, err)
			}
		}
	}
}

// A board that lies badly, or was measured over a short piece, is not taken for
// one in inches or with its axes exchanged.
func TestBadlyLaidIsNotMisread(t *testing.T) {
	s := bouzouki(longY)
	for _, c := range []struct {
		name string
		r    []reading.Reading
	}{
		{"5 degrees askew", lay(s, []string{reading.OnLeft, reading.OnRight}, 5*math.Pi/180, 0, vec(0, 0), 10, 240, 460)},
		{"15 mm to the side", lay(s, []string{reading.OnLeft, reading.OnRight}, 0, 0, vec(0, 15), 10, 240, 460)},
		{"over a third of the board", lay(s, []string{reading.OnDatum}, 1e-3, 0, vec(0, 0), 10, 80, 150)},
		{"over a tenth of the board, edges", lay(s, []string{reading.OnLeft, reading.OnRight}, 1e-3, 0, vec(0, 0), 10, 30, 55)},
		{"4 mm narrower than the job", lay(s, []string{reading.OnLeft, reading.OnRight}, 1e-3, -4, vec(0, 0), 10, 240, 460)},
		{"a dial along a straight fence", dialled(s, lay(Spec{LengthMM: 478, WidthStartMM: 40, WidthEndMM: 40,
			ToMachine: longY}, []string{reading.OnLeft}, 1e-3, 0, vec(0, 0), 10, 240, 460), 20)},
	} {
		if _, err := CheckDatum(c.r, s); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// A dial along a straight fence of a tapered board's job is told.
func TestDialAlongFence(t *testing.T) {
	s := bouzouki(longY)
	fence := Spec{LengthMM: 478, WidthStartMM: 40, WidthEndMM: 40, ToMachine: longY}
	rep, err := CheckDatum(dialled(fence, lay(fence, []string{reading.OnLeft}, 1e-4, 0, vec(0, 0), 10, 120, 240, 360, 460), 20),
		s)
	if err != nil || rep.Verdict != verdict.OutOfTolerance || rep.NoTaperMM != 6.75 {
		t.Errorf("%s, %g, %v", rep.Verdict, rep.NoTaperMM, err)
	}
}

// The same place read twice counts twice and is told; it is not a fault.
func TestRepeatedPlace(t *testing.T) {
	s := bouzouki(longY)
	r := lay(s, []string{reading.OnLeft}, 0, 0, vec(0, 0), 10, 240, 460, 10.2)
	r[3].At.X += 0.04
	rep, err := CheckDatum(r, s)
	if err != nil || len(rep.Repeats) != 1 || !slices.Equal(rep.Repeats[0].Lines, []int{2,
		5}) || math.Abs(rep.Repeats[0].RangeMM-0.04) > 1e-3 {
		t.Fatalf("%+v, %v", rep.Repeats, err)
	}
	if rep.DF != 2 {
		t.Errorf("%d degrees of freedom, want 2: each reading counts", rep.DF)
	}
}
