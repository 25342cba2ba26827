package measure

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"reseat/jig/geom"
)

// dialled turns points on an edge into what a dial shows there, set to zero at
// zero: more when the edge stands farther out. The dial is carried along the
// machine's axis.
func dialled(s DatumSpec, readings []Reading, zero float64) []Reading {
	back := s.ToMachine.Inverse()
	for i, r := range readings {
		p := back.Apply(r.At)
		show := p.Y
		if r.On == OnRight {
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
		edges   []Edge
		angle   float64 // board frame
		want    float64 // seen from above
		dir     string
	}{
		{"left edge", longY, []Edge{OnLeft}, 1e-3, 1e-3, "+X"},
		{"right edge", longY, []Edge{OnRight}, 1e-3, 1e-3, "+X"},
		{"both edges", longX, []Edge{OnLeft, OnRight}, -1e-3, -1e-3, "+Y"},
		{"turned over", geom.Rigid{Mirror: true}, []Edge{OnLeft}, 1e-3, -1e-3, "+Y"},
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
				if math.Abs(rep.AngleRad-c.want) > 1e-12 || rep.RMSmm > 1e-9 || rep.Tap.Direction != c.dir {
					t.Errorf("angle %.12g, rms %g, tap %+v", rep.AngleRad, rep.RMSmm, rep.Tap)
				}
				if rep.OffsetKnown || rep.OffsetMM != 0 || rep.Edges != nil && rep.Edges.WidthKnown {
					t.Errorf("an offset from a dial: %+v, %+v", rep, rep.Edges)
				}
			})
		}
	}
	t.Run("a dial and points together", func(t *testing.T) {
		s := bouzouki(longY)
		r := append(lay(s, []Edge{OnLeft}, 1e-3, 0, vec(0, 0.2), 10, 240, 460), dialled(s, lay(s, []Edge{OnLeft}, 1e-3, 0, vec(0, 0.2), 50, 150, 400), 7)...)
		rep, err := CheckDatum(r, s)
		if err != nil || math.Abs(rep.AngleRad-1e-3) > 1e-12 || !rep.OffsetKnown || len(rep.UsedEdges) != 1 || rep.Points != 6 {
			t.Errorf("%+v, %v", rep, err)
		}
	})
	t.Run("a dial on the datum line is refused", func(t *testing.T) {
		_, err := CheckDatum([]Reading{{2, OnDatum, vec(1, 0), true}, {3, OnDatum, vec(400, 0), true}}, bouzouki(longY))
		var input *InputError
		if !errors.As(err, &input) || !strings.Contains(err.Error(), "dial") {
			t.Errorf("%v", err)
		}
	})
}

// Readings in inches and exchanged axes are told by how they fit the board.
func TestMisreadUnits(t *testing.T) {
	inch := func(r []Reading) []Reading {
		for i := range r {
			r[i].At = r[i].At.Scale(1 / mmPerInch)
		}
		return r
	}
	short := DatumSpec{LengthMM: 178, WidthStartMM: 35, WidthEndMM: 46, ToMachine: longY, ToleranceMM: 0.2}
	long := bouzouki(longY)
	stations := func(s DatumSpec) []float64 { return []float64{0.03 * s.LengthMM, 0.4 * s.LengthMM, 0.97 * s.LengthMM} }
	for _, s := range []DatumSpec{short, long, bouzouki(longX)} {
		rnd := rand.New(rand.NewPCG(4, 4))
		on := func(edges ...Edge) []Reading {
			return spoiled(s, lay(s, edges, 2e-3, 0.2, vec(0, 0.3), stations(s)...), 0.02, rnd)
		}
		for name, r := range map[string][]Reading{
			"both edges": on(OnLeft, OnRight), "one edge": on(OnRight), "datum line": on(OnDatum),
			"dial, both columns in inches": dialled(s, on(OnLeft), 20),
		} {
			if _, err := CheckDatum(append([]Reading{}, r...), s); err != nil {
				t.Fatalf("%s of %g in millimetres: %v", name, s.LengthMM, err)
			}
			var e *InchError
			if _, err := CheckDatum(inch(r), s); !errors.As(err, &e) || !strings.Contains(err.Error(), "reach") {
				t.Errorf("%s of %g: %v", name, s.LengthMM, err)
			}
		}
		d := dialled(s, on(OnLeft, OnRight), 20)
		for i := range d {
			d[i].At.Y /= mmPerInch // stations in millimetres
		}
		var e *InchError
		if _, err := CheckDatum(d, s); !errors.As(err, &e) || !strings.Contains(err.Error(), "taper") {
			t.Errorf("dial in inches: %v", err)
		}
		for name, r := range map[string][]Reading{"both edges": on(OnLeft, OnRight), "datum line": on(OnDatum)} {
			for i := range r {
				r[i].At = vec(r[i].At.Y, r[i].At.X)
			}
			var e *SwappedError
			if _, err := CheckDatum(r, s); !errors.As(err, &e) {
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
		r    []Reading
	}{
		{"5 degrees askew", lay(s, []Edge{OnLeft, OnRight}, 5*math.Pi/180, 0, vec(0, 0), 10, 240, 460)},
		{"15 mm to the side", lay(s, []Edge{OnLeft, OnRight}, 0, 0, vec(0, 15), 10, 240, 460)},
		{"over a third of the board", lay(s, []Edge{OnDatum}, 1e-3, 0, vec(0, 0), 10, 80, 150)},
		{"over a tenth of the board, edges", lay(s, []Edge{OnLeft, OnRight}, 1e-3, 0, vec(0, 0), 10, 30, 55)},
		{"4 mm narrower than the job", lay(s, []Edge{OnLeft, OnRight}, 1e-3, -4, vec(0, 0), 10, 240, 460)},
		{"a dial along a straight fence", dialled(s, lay(DatumSpec{LengthMM: 478, WidthStartMM: 40, WidthEndMM: 40, ToMachine: longY}, []Edge{OnLeft}, 1e-3, 0, vec(0, 0), 10, 240, 460), 20)},
	} {
		if _, err := CheckDatum(c.r, s); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// A dial along a straight fence of a tapered board's job is told.
func TestDialAlongFence(t *testing.T) {
	s := bouzouki(longY)
	fence := DatumSpec{LengthMM: 478, WidthStartMM: 40, WidthEndMM: 40, ToMachine: longY}
	rep, err := CheckDatum(dialled(fence, lay(fence, []Edge{OnLeft}, 1e-4, 0, vec(0, 0), 10, 120, 240, 360, 460), 20), s)
	if err != nil || rep.Verdict != NotParallel || len(rep.Notes) != 1 || !strings.Contains(rep.Notes[0].Says, "straight fence") {
		t.Errorf("%s, notes %v, %v", rep.Verdict, rep.Notes, err)
	}
}

// Thousands of faults are not all printed.
func TestFaultsAreFew(t *testing.T) {
	s := bouzouki(longY)
	var off []Reading
	var unknown []MarkReading
	for i := range 1000 {
		off = append(off, Reading{Line: i + 2, On: OnDatum, At: vec(0, 600+float64(i))})
		unknown = append(unknown, MarkReading{i + 2, "nothing", vec(float64(i), 0)})
	}
	_, err := CheckDatum(off, s)
	if err == nil || len(err.Error()) > 2000 || !strings.Contains(err.Error(), "and 980 more") {
		t.Errorf("%v", err)
	}
	_, err = Locate(unknown, locating(longY, fretDots()))
	var e *UnknownNameError
	if !errors.As(err, &e) || len(err.Error()) > 4000 || !strings.Contains(err.Error(), "and 980 faults more") {
		t.Errorf("%v", err)
	}
}

// Every fault of spec and readings comes at once.
func TestDatumFaultsAtOnce(t *testing.T) {
	s := bouzouki(longY)
	s.Confidence, s.ToleranceMM, s.PinStationMM = 0.2, 0, -4
	_, err := CheckDatum([]Reading{{Line: 2, On: "top"}, {Line: 3, On: OnLeft, At: vec(math.Inf(1), 0)}}, s)
	for _, part := range []string{"confidence", "tolerance", "last pin", `"top"`, "line 3"} {
		if err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("no %s in %v", part, err)
		}
	}
	s = bouzouki(longY)
	crowd := append(lay(s, []Edge{OnLeft, OnRight}, 0, 0, vec(0, 0), 100, 104), lay(s, []Edge{OnDatum}, 0, 0, vec(0, 0), -90, 700)...)
	_, err = CheckDatum(crowd, s)
	for _, part := range []string{"the line left", "the line right", "off the board"} {
		if err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("no %s in %v", part, err)
		}
	}
}

// The same place read twice counts twice and is told; it is not a fault.
func TestRepeatedPlace(t *testing.T) {
	s := bouzouki(longY)
	r := lay(s, []Edge{OnLeft}, 0, 0, vec(0, 0), 10, 240, 460, 10.2)
	r[3].At.X += 0.04
	rep, err := CheckDatum(r, s)
	if err != nil || len(rep.Notes) != 1 || len(rep.Notes[0].Lines) != 2 || rep.Notes[0].Lines[0] != 2 || rep.Notes[0].Lines[1] != 5 || !strings.Contains(rep.Notes[0].Says, "0.040 mm apart") {
		t.Errorf("notes %+v, %v", rep.Notes, err)
	}
	if rep.Uncertainty.DF != 2 {
		t.Errorf("%d degrees of freedom, want 2: each reading counts", rep.Uncertainty.DF)
	}
}
