package measure

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/reading"

	"pgregory.net/rapid"
)

// The machine frames of the design contract, section 3.
var (
	longX = geom.Rigid{}
	longY = geom.Rigid{Angle: math.Pi / 2} // u -> +Y, v -> -X
)

func bouzouki(m geom.Rigid) Spec {
	return Spec{LengthMM: 478, WidthStartMM: 41.5, WidthEndMM: 55, ToMachine: m, ToleranceMM: 0.1}
}

// Five readings on the datum line, worked by hand.
//
//	u     0     100   200   300   400     mean 200
//	v   0.01   0.04  0.05  0.09  0.11     mean 0.06
//	Sxx = 100 000, Sxy = 10 + 2 + 0 + 3 + 10 = 25, slope 2.5e-4, offset 0.06 - 0.05 = 0.01
//	residuals 0, 0.005, -0.01, 0.005, 0: SSE 1.5e-4, s^2 = SSE/3 = 5e-5
//	se slope = sqrt(5e-5/1e5) = 2.2360680e-5, t(3, 97.5 %) = 3.182446 (Student's table)
//	over 400 mm: runout 0.1, half interval 0.0284647
func TestDatumWorkedExample(t *testing.T) {
	var r []reading.Reading
	for i, v := range []float64{0.01, 0.04, 0.05, 0.09, 0.11} {
		r = append(r, reading.Reading{Line: i + 2, On: reading.OnDatum, At: vec(100*float64(i), v)})
	}
	spec := Spec{LengthMM: 400, WidthStartMM: 40, WidthEndMM: 50, ToleranceMM: 0.05}
	rep, err := CheckDatum(r, spec)
	if err != nil {
		t.Fatal(err)
	}
	const tol = 1e-9 // the hand calculation carries ten digits
	for _, c := range []struct {
		name           string
		got, want, tol float64
	}{
		{"angle", rep.AngleRad, math.Atan(2.5e-4), tol},
		{"runout", rep.RunoutMM, 0.1, tol},
		{"offset", *rep.OffsetMM, 0.01, tol},
		{"rms", rep.RMSMM, math.Sqrt(3e-5), tol},
		{"reading's sd", rep.ReadingSDMM, math.Sqrt(5e-5), tol},
		{"runout's half width", *rep.RunoutHalf, 0.0284647, 1e-7},
		{"tap", rep.Far.MM, 0.1, tol},
	} {
		if math.Abs(c.got-c.want) > c.tol {
			t.Errorf("%s = %.9g, want %.9g", c.name, c.got, c.want)
		}
	}
	for i, want := range []float64{0, 0.005, -0.01, 0.005, 0} {
		if got := rep.Residuals[i]; math.Abs(got.ResidualMM-want) > tol || got.Line != i+2 ||
			math.Abs(got.StationMM-100*float64(i)) > tol {
			t.Errorf("residual %d: %+v, want %g", i, got, want)
		}
	}
	if rep.Pass || rep.Far != (Tap{"far", "right", "-Y", rep.RunoutMM}) || rep.Start != (Tap{"start", "left", "+Y",
		rep.RunoutMM}) {
		t.Errorf("pass %v, tap %+v or %+v", rep.Pass, rep.Far, rep.Start)
	}
}

// lay returns readings of a board turned by angle about its start and shifted by
// off, wider than the job says by extra, at the given stations.
func lay(s Spec, edges []string, angle, extra float64, off geom.Vec, stations ...float64) []reading.Reading {
	var out []reading.Reading
	for _, e := range edges {
		for _, u := range stations {
			w := (s.WidthStartMM + (s.WidthEndMM-s.WidthStartMM)*u/s.LengthMM + extra) / 2
			p := vec(u, map[string]float64{reading.OnDatum: 0, reading.OnLeft: w, reading.OnRight: -w}[e])
			p = geom.Rigid{Angle: angle, Shift: off}.Apply(p)
			out = append(out, reading.Reading{Line: len(out) + 2, On: e, At: s.ToMachine.Apply(p)})
		}
	}
	return out
}

// exact is what rounding leaves of an angle from points without scatter, rad.
const exact = 1e-13

func TestDatumGeometry(t *testing.T) {
	both := []string{reading.OnLeft, reading.OnRight}
	for _, c := range []struct {
		name         string
		machine      geom.Rigid
		edges        []string
		angle, extra float64 // in the board frame
		stations     []float64
		wantAngle    float64
		toward, dir  string // of the far end
	}{
		{"true to the axis", longY, both, 0, 0, []float64{10, 240, 460}, 0, "", ""},
		{"long axis x, left edge, turned left", longX, []string{reading.OnLeft}, 1e-3, 0, []float64{10, 460}, 1e-3, "right", "-Y"},
		{"long axis x, right edge, turned right", longX, []string{reading.OnRight}, -1e-3, 0, []float64{10, 460}, -1e-3, "left",
			"+Y"},
		{"long axis y, both edges, turned left", longY, both, 1e-3, 0, []float64{10, 240, 460}, 1e-3, "right", "+X"},
		{"long axis y, both edges, turned right", longY, both, -1e-3, 0, []float64{10, 240, 460}, -1e-3, "left", "-X"},
		{"long axis y, datum line", longY, []string{reading.OnDatum}, -1e-3, 0, []float64{10, 240, 460}, -1e-3, "left", "-X"},
		{"u runs towards -Y", geom.Rigid{Angle: -math.Pi / 2}, both, 1e-3, 0, []float64{10, 460}, 1e-3, "right", "-X"},
		{"two degrees: the taper is still removed exactly", longX, both, 0.035, 0, []float64{10, 240, 460}, 0.035, "right",
			"-Y"},
		{"a board 1 mm wider is not an angle", longY, both, 5e-4, 1, []float64{10, 240, 460}, 5e-4, "right", "+X"},
		// Turned over about its datum line: the board's own left lies to the right,
		// and what is counter-clockwise on the board is clockwise from above.
		{"turned over", geom.Rigid{Mirror: true}, both, 1e-3, 0, []float64{10, 460}, -1e-3, "left", "+Y"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := bouzouki(c.machine)
			rep, err := CheckDatum(lay(s, c.edges, c.angle, c.extra, vec(0.4, 0.02), c.stations...), s)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(rep.AngleRad-c.wantAngle) > exact {
				t.Errorf("angle %.12g, want %.12g", rep.AngleRad, c.wantAngle)
			}
			if want := math.Tan(math.Abs(c.wantAngle)) * 478; math.Abs(rep.RunoutMM-want) > exact*478*2 {
				t.Errorf("runout %.9g, want %.9g", rep.RunoutMM, want)
			}
			if rep.RMSMM > 1e-12*478 {
				t.Errorf("points without scatter leave %g mm", rep.RMSMM)
			}
			if c.toward == "" {
				if !rep.Pass || rep.Far.MM > exact*478*2 {
					t.Errorf("pass %v, tap %+v", rep.Pass, rep.Far)
				}
				return
			}
			if rep.Pass || rep.Far.Toward != c.toward || rep.Far.Direction != c.dir || rep.Far.End != "far" {
				t.Errorf("pass %v, tap %+v; want the far end to the %s, %s", rep.Pass, rep.Far, c.toward, c.dir)
			}
		})
	}
}

// A tap by the stated amount in the stated direction must put the board right.
// The check does not trust the words: it moves the far end as told.
func TestTapPutsItRight(t *testing.T) {
	dirs := map[string]geom.Vec{"+X": vec(1, 0), "-X": vec(-1, 0), "+Y": vec(0, 1), "-Y": vec(0, -1)}
	for _, m := range []geom.Rigid{longX, longY, {Angle: math.Pi}, {Angle: -math.Pi / 2}, {Mirror: true}, {Mirror: true,
		Angle: math.Pi / 2}} {
		for _, angle := range []float64{8e-4, -8e-4} {
			s := bouzouki(m)
			r := lay(s, []string{reading.OnLeft, reading.OnRight}, angle, 0, vec(0, 0.03), 10, 200, 470)
			rep, err := CheckDatum(r, s)
			if err != nil {
				t.Fatal(err)
			}
			for _, tap := range []Tap{rep.Far, rep.Start} {
				moved := make([]reading.Reading, len(r))
				for i, p := range r {
					u := m.Inverse().Apply(p.At).X
					share := u / s.LengthMM // the other end stays where it is
					if tap.End == "start" {
						share = 1 - share
					}
					p.At = p.At.Add(dirs[tap.Direction].Scale(tap.MM * share))
					moved[i] = p
				}
				again, err := CheckDatum(moved, s)
				if err != nil {
					t.Fatal(err)
				}
				// A tap shears points rather than turning them: second order in
				// the angle and the taper.
				if again.RunoutMM > 1e-3*rep.RunoutMM {
					t.Errorf("%+v, %+v: runout %.4f, after the tap %.4f", m, tap, rep.RunoutMM, again.RunoutMM)
				}
			}
		}
	}
}

func TestDatumOffset(t *testing.T) {
	for _, c := range []struct {
		name  string
		edges []string
		probe float64
		extra float64
		want  float64
	}{
		{"datum line", []string{reading.OnDatum}, 0, 0, 0.07},
		{"both edges", []string{reading.OnLeft, reading.OnRight}, 0, 0, 0.07},
		{"both edges of a wider board", []string{reading.OnRight, reading.OnLeft}, 0, 0.5, 0.07},
		{"one edge trusts the width", []string{reading.OnLeft}, 0, 0.5, 0.07 + 0.25},
		{"probe of 1.5 mm radius taken out on the left", []string{reading.OnLeft}, 1.5, 0, 0.07},
		{"probe of 1.5 mm radius taken out on the right", []string{reading.OnRight}, 1.5, 0, 0.07},
		{"the datum line beats the edges", []string{reading.OnLeft, reading.OnDatum}, 0, 3, 0.07},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := bouzouki(longY)
			r := lay(s, c.edges, 0, c.extra, vec(0, 0.07), 0, 200, 470)
			if c.probe > 0 {
				s.ProbeRadiusMM = c.probe
				slope := (s.WidthEndMM - s.WidthStartMM) / 2 / s.LengthMM
				for i := range r {
					// The tool's centre stands square off the tapered edge.
					n := vec(-slope, 1).Unit().Scale(c.probe)
					if r[i].On == reading.OnRight {
						n.Y = -n.Y
					}
					r[i].At = s.ToMachine.Apply(s.ToMachine.Inverse().Apply(r[i].At).Add(n))
				}
			}
			rep, err := CheckDatum(r, s)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(*rep.OffsetMM-c.want) > 1e-9 || math.Abs(rep.AngleRad) > exact {
				t.Errorf("offset %.9f, want %g; angle %g", *rep.OffsetMM, c.want, rep.AngleRad)
			}
		})
	}
}

func TestExampleReadings(t *testing.T) {
	fingerboard := bouzouki(longY)
	neck := Spec{LengthMM: 560, WidthStartMM: 52, WidthEndMM: 66, ToMachine: longY, ToleranceMM: 0.15}
	ukulele := Spec{LengthMM: 178, WidthStartMM: 35, WidthEndMM: 46, ToMachine: longY, ToleranceMM: 0.2}
	dulcimer := Spec{LengthMM: 431.8, WidthStartMM: 38.1, WidthEndMM: 38.1, ToMachine: longX, ToleranceMM: 0.15}
	for _, c := range []struct {
		file           string
		spec           Spec
		pass           bool
		runout, within float64 // the truth written in the file's head, and thrice its standard error
		dir            string
	}{
		{"bouzouki-parallel.csv", fingerboard, true, 0.03, 0.036, ""},
		{"bouzouki-askew.csv", fingerboard, false, 0.30, 0.036, "+X"},
		{"bouzouki-line.csv", fingerboard, false, 0.18, 0.11, "-X"},
		{"bouzouki-one-edge.csv", fingerboard, true, 0.05, 0.05, ""},
		{"neck-askew.csv", neck, false, 0.45, 0.12, "-X"},
		{"ukulele-parallel.csv", ukulele, true, 0.04, 0.045, ""},
		{"dulcimer-parallel.csv", dulcimer, true, 0.05, 0.03, ""},
	} {
		t.Run(c.file, func(t *testing.T) {
			data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "readings", c.file))
			if err != nil {
				t.Fatal(err)
			}
			r, err := reading.Datum(c.file, data)
			if err != nil {
				t.Fatal(err)
			}
			rep, err := CheckDatum(r, c.spec)
			if err != nil {
				t.Fatal(err)
			}
			if rep.Pass != c.pass || math.Abs(rep.RunoutMM-c.runout) > c.within || c.dir != "" && rep.Far.Direction != c.dir {
				t.Errorf("pass %v, runout %.3f, tap %+v", rep.Pass, rep.RunoutMM, rep.Far)
			}
			// The interval must be of the size that the scatter leads to.
			if h := *rep.RunoutHalf; h > 3*c.within || h < c.within/10 {
				t.Errorf("interval +-%.3f mm", h)
			}
		})
	}
}

// Readings that are not of this board as they stand are refused, with what is likely.
func TestDatumRefuses(t *testing.T) {
	s := bouzouki(longY)
	both := lay(s, []string{reading.OnLeft, reading.OnRight}, 1e-4, 0, vec(0, 0), 10, 200, 460)
	changed := func(f func(r *reading.Reading)) []reading.Reading {
		out := append([]reading.Reading{}, both...)
		for i := range out {
			f(&out[i])
		}
		return out
	}
	crowd := append(lay(s, []string{reading.OnLeft, reading.OnRight}, 0, 0, vec(0, 0), 100, 104), lay(s, []string{reading.OnDatum}, 0, 0, vec(0,
		0), -90, 700)...)
	var off []reading.Reading
	for i := range 1000 {
		off = append(off, reading.Reading{Line: i + 2, On: reading.OnDatum, At: vec(0, 600+float64(i))})
	}
	for _, c := range []struct {
		name string
		r    []reading.Reading
		says []string
	}{
		{"no readings", nil, []string{"0 readings"}},
		{"one reading", both[:1], []string{"1 readings"}},
		{"one on each edge", lay(s, []string{reading.OnLeft, reading.OnRight}, 0, 0, vec(0, 0), 100), []string{"give no direction"}},
		{"all within a millimetre", lay(s, []string{reading.OnLeft}, 0, 0, vec(0, 0), 100, 100.5, 101),
			[]string{"give no direction"}},
		{"end for end", changed(func(r *reading.Reading) { r.At.Y = s.LengthMM - r.At.Y }),
			[]string{"the board lies end for end, most likely: it is 55"}},
		{"left and right exchanged", changed(func(r *reading.Reading) {
			r.On = map[string]string{reading.OnLeft: reading.OnRight,
				reading.OnRight: reading.OnLeft}[r.On]
		}), []string{"exchange left and right"}},
		{"x and y exchanged", changed(func(r *reading.Reading) { r.At = vec(r.At.Y, r.At.X) }), []string{"X and Y are exchanged"}},
		{"askew by 11 degrees", lay(s, []string{reading.OnDatum}, 11*math.Pi/180, 0, vec(0, 0), 10, 460),
			[]string{"by 11.0 degrees"}},
		{"every fault at once", crowd, []string{"the line left", "the line right", "off the board", "station -90.0",
			"station 700.0"}},
		{"not all of a thousand faults", off, []string{"and 980 more"}},
	} {
		rep, err := CheckDatum(c.r, s)
		for _, says := range c.says {
			if err == nil || !strings.Contains(err.Error(), says) || len(err.Error()) > 2000 {
				t.Errorf("%s: %+v, %v; want %q", c.name, rep, err, says)
			}
		}
	}
	for name, r := range map[string][]reading.Reading{
		"beyond the ends, on the pins": lay(s, []string{reading.OnDatum}, 0, 0, vec(0, 0), -20, 498),
		"askew by 9 degrees":           lay(s, []string{reading.OnDatum}, 9*math.Pi/180, 0, vec(0, 0), 10, 460),
	} {
		if _, err := CheckDatum(r, s); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// The machine's axis must not matter: the same board read in another frame gives
// the same angle, runout and residuals.
func TestDatumFrameDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		angle := rapid.Float64Range(-2e-3, 2e-3).Draw(t, "angle")
		seed := rapid.Uint64().Draw(t, "seed")
		report := func(m geom.Rigid) DatumReport {
			r := rand.New(rand.NewPCG(seed, 1))
			s := bouzouki(m)
			readings := lay(bouzouki(longX), []string{reading.OnLeft, reading.OnRight}, angle, 0, vec(0, 0), 20, 150, 300, 450)
			for i := range readings {
				readings[i].At.Y += 0.02 * r.NormFloat64()
				readings[i].At = m.Apply(readings[i].At)
			}
			rep, err := CheckDatum(readings, s)
			if err != nil {
				t.Fatal(err)
			}
			return rep
		}
		a := report(longX)
		b := report(geom.Rigid{Angle: rapid.Float64Range(-3, 3).Draw(t, "axis"), Shift: vec(120, -45)})
		const tol = 1e-9 // mm; coordinates of some 600 mm carry 1e-13
		if math.Abs(a.RunoutMM-b.RunoutMM) > tol || math.Abs(a.AngleRad-b.AngleRad) > tol/478 ||
			math.Abs(a.RMSMM-b.RMSMM) > tol {
			t.Fatalf("%+v\n%+v", a, b)
		}
		for i := range a.Residuals {
			if math.Abs(a.Residuals[i].ResidualMM-b.Residuals[i].ResidualMM) > tol {
				t.Fatalf("residual %d: %+v, %+v", i, a.Residuals[i], b.Residuals[i])
			}
		}
	})
}
