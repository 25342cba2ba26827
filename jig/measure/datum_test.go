package measure

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"
	"reseat/jig/geom"
)

// The machine frames of the design contract, section 3.
var (
	longX = geom.Rigid{}
	longY = geom.Rigid{Angle: math.Pi / 2} // u -> +Y, v -> -X
)

func bouzouki(m geom.Rigid) DatumSpec {
	return DatumSpec{LengthMM: 478, WidthStartMM: 41.5, WidthEndMM: 55, ToMachine: m, ToleranceMM: 0.1}
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
	var r []Reading
	for i, v := range []float64{0.01, 0.04, 0.05, 0.09, 0.11} {
		r = append(r, Reading{Line: i + 2, On: OnDatum, At: vec(100*float64(i), v)})
	}
	spec := DatumSpec{LengthMM: 400, WidthStartMM: 40, WidthEndMM: 50, ToleranceMM: 0.05}
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
		{"offset", rep.OffsetMM, 0.01, tol},
		{"rms", rep.RMSmm, math.Sqrt(3e-5), tol},
		{"residual sd", rep.Uncertainty.ResidualSDmm, math.Sqrt(5e-5), tol},
		{"half interval", rep.Uncertainty.RunoutHalfMM, 0.0284647, 1e-7},
		{"tap", rep.Tap.MM, 0.1, tol},
	} {
		if math.Abs(c.got-c.want) > c.tol {
			t.Errorf("%s = %.9g, want %.9g", c.name, c.got, c.want)
		}
	}
	for i, want := range []float64{0, 0.005, -0.01, 0.005, 0} {
		if got := rep.Residuals[i]; math.Abs(got.ResidualMM-want) > tol || got.Line != i+2 || math.Abs(got.StationMM-100*float64(i)) > tol {
			t.Errorf("residual %d: %+v, want %g", i, got, want)
		}
	}
	if rep.Pass || rep.Tap != (Tap{"far", "right", "-Y", rep.RunoutMM}) || rep.Other != (Tap{"start", "left", "+Y", rep.RunoutMM}) {
		t.Errorf("pass %v, tap %+v or %+v", rep.Pass, rep.Tap, rep.Other)
	}
	if want := "tap the far end 0.10 mm towards -Y (to its right, looking from the start end) and keep the start end where it is; or the start end 0.10 mm towards +Y"; rep.Says != want {
		t.Errorf("says %q\nwant %q", rep.Says, want)
	}
}

// lay returns readings of a board turned by angle about its start and shifted by
// off, wider than the job says by extra, at the given stations.
func lay(s DatumSpec, edges []Edge, angle, extra float64, off geom.Vec, stations ...float64) []Reading {
	var out []Reading
	for _, e := range edges {
		for _, u := range stations {
			w := (s.WidthStartMM + (s.WidthEndMM-s.WidthStartMM)*u/s.LengthMM + extra) / 2
			p := vec(u, map[Edge]float64{OnDatum: 0, OnLeft: w, OnRight: -w}[e])
			p = geom.Rigid{Angle: angle, Shift: off}.Apply(p)
			out = append(out, Reading{Line: len(out) + 2, On: e, At: s.ToMachine.Apply(p)})
		}
	}
	return out
}

// exact is what rounding leaves of an angle from points without scatter, rad.
const exact = 1e-13

func TestDatumGeometry(t *testing.T) {
	both := []Edge{OnLeft, OnRight}
	for _, c := range []struct {
		name         string
		machine      geom.Rigid
		edges        []Edge
		angle, extra float64 // in the board frame
		stations     []float64
		wantAngle    float64
		toward, dir  string // of the far end
	}{
		{"true to the axis", longY, both, 0, 0, []float64{10, 240, 460}, 0, "", ""},
		{"long axis x, left edge, turned left", longX, []Edge{OnLeft}, 1e-3, 0, []float64{10, 460}, 1e-3, "right", "-Y"},
		{"long axis x, right edge, turned right", longX, []Edge{OnRight}, -1e-3, 0, []float64{10, 460}, -1e-3, "left", "+Y"},
		{"long axis y, both edges, turned left", longY, both, 1e-3, 0, []float64{10, 240, 460}, 1e-3, "right", "+X"},
		{"long axis y, both edges, turned right", longY, both, -1e-3, 0, []float64{10, 240, 460}, -1e-3, "left", "-X"},
		{"long axis y, datum line", longY, []Edge{OnDatum}, -1e-3, 0, []float64{10, 240, 460}, -1e-3, "left", "-X"},
		{"u runs towards -Y", geom.Rigid{Angle: -math.Pi / 2}, both, 1e-3, 0, []float64{10, 460}, 1e-3, "right", "-X"},
		{"two degrees: the taper is still removed exactly", longX, both, 0.035, 0, []float64{10, 240, 460}, 0.035, "right", "-Y"},
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
			if rep.RMSmm > 1e-12*478 {
				t.Errorf("points without scatter leave %g mm", rep.RMSmm)
			}
			if c.toward == "" {
				if !rep.Pass || !strings.HasPrefix(rep.Says, "leave it") {
					t.Errorf("pass %v, says %q", rep.Pass, rep.Says)
				}
				return
			}
			if rep.Pass || rep.Tap.Toward != c.toward || rep.Tap.Direction != c.dir || rep.Tap.End != "far" {
				t.Errorf("pass %v, tap %+v; want the far end to the %s, %s", rep.Pass, rep.Tap, c.toward, c.dir)
			}
		})
	}
}

// A tap by the stated amount in the stated direction must put the board right.
// The check does not trust the words: it moves the far end as told.
func TestTapPutsItRight(t *testing.T) {
	dirs := map[string]geom.Vec{"+X": vec(1, 0), "-X": vec(-1, 0), "+Y": vec(0, 1), "-Y": vec(0, -1)}
	for _, m := range []geom.Rigid{longX, longY, {Angle: math.Pi}, {Angle: -math.Pi / 2}, {Mirror: true}, {Mirror: true, Angle: math.Pi / 2}} {
		for _, angle := range []float64{8e-4, -8e-4} {
			s := bouzouki(m)
			r := lay(s, []Edge{OnLeft, OnRight}, angle, 0, vec(0, 0.03), 10, 200, 470)
			rep, err := CheckDatum(r, s)
			if err != nil {
				t.Fatal(err)
			}
			for _, tap := range []Tap{rep.Tap, rep.Other} {
				moved := make([]Reading, len(r))
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
		edges []Edge
		probe float64
		extra float64
		want  float64
	}{
		{"datum line", []Edge{OnDatum}, 0, 0, 0.07},
		{"both edges", []Edge{OnLeft, OnRight}, 0, 0, 0.07},
		{"both edges of a wider board", []Edge{OnRight, OnLeft}, 0, 0.5, 0.07},
		{"one edge trusts the width", []Edge{OnLeft}, 0, 0.5, 0.07 + 0.25},
		{"probe of 1.5 mm radius taken out on the left", []Edge{OnLeft}, 1.5, 0, 0.07},
		{"probe of 1.5 mm radius taken out on the right", []Edge{OnRight}, 1.5, 0, 0.07},
		{"the datum line beats the edges", []Edge{OnLeft, OnDatum}, 0, 3, 0.07},
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
					if r[i].On == OnRight {
						n.Y = -n.Y
					}
					r[i].At = s.ToMachine.Apply(s.ToMachine.Inverse().Apply(r[i].At).Add(n))
				}
			}
			rep, err := CheckDatum(r, s)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(rep.OffsetMM-c.want) > 1e-9 || math.Abs(rep.AngleRad) > exact {
				t.Errorf("offset %.9f, want %g; angle %g", rep.OffsetMM, c.want, rep.AngleRad)
			}
		})
	}
}

// The stated 95 % interval must hold the truth in 95 % of seeded trials. With
// 4000 trials the share scatters by 0.34 % (one sigma); the bound is 3 sigma.
func TestIntervalCoverage(t *testing.T) {
	const trials, scatter, bound = 4000, 0.02, 0.0104
	r := rand.New(rand.NewPCG(2024, 6))
	s := bouzouki(longY)
	held := 0
	for range trials {
		truth := 2e-4 * r.NormFloat64()
		readings := lay(s, []Edge{OnLeft, OnRight}, truth, 0.1, vec(0, 0), 15, 130, 250, 360, 465)
		for i := range readings {
			readings[i].At.X += scatter * r.NormFloat64()
		}
		rep, err := CheckDatum(readings, s)
		if err != nil {
			t.Fatal(err)
		}
		signed := math.Copysign(rep.RunoutMM, rep.AngleRad)
		if math.Abs(signed-math.Tan(truth)*s.LengthMM) <= rep.Uncertainty.RunoutHalfMM {
			held++
		}
	}
	if share := float64(held) / trials; math.Abs(share-0.95) > bound {
		t.Errorf("the interval held the truth in %.2f %% of the trials", 100*share)
	}
}

func TestExampleReadings(t *testing.T) {
	fingerboard := bouzouki(longY)
	neck := DatumSpec{LengthMM: 560, WidthStartMM: 52, WidthEndMM: 66, ToMachine: longY, ToleranceMM: 0.15}
	ukulele := DatumSpec{LengthMM: 178, WidthStartMM: 35, WidthEndMM: 46, ToMachine: longY, ToleranceMM: 0.2}
	dulcimer := DatumSpec{LengthMM: 431.8, WidthStartMM: 38.1, WidthEndMM: 38.1, ToMachine: longX, ToleranceMM: 0.15}
	for _, c := range []struct {
		file           string
		spec           DatumSpec
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
			r, err := ReadReadings(c.file, data)
			if err != nil {
				t.Fatal(err)
			}
			rep, err := CheckDatum(r, c.spec)
			if err != nil {
				t.Fatal(err)
			}
			if rep.Pass != c.pass || math.Abs(rep.RunoutMM-c.runout) > c.within || c.dir != "" && rep.Tap.Direction != c.dir {
				t.Errorf("pass %v, runout %.3f, tap %+v", rep.Pass, rep.RunoutMM, rep.Tap)
			}
			// The interval must be of the size that the scatter leads to.
			if h := rep.Uncertainty.RunoutHalfMM; h > 3*c.within || h < c.within/10 {
				t.Errorf("interval +-%.3f mm", h)
			}
		})
	}
}

// Mistakes that a person makes at the machine are named.
func TestExchangedReadings(t *testing.T) {
	s := bouzouki(longY)
	r := lay(s, []Edge{OnLeft, OnRight}, 1e-4, 0, vec(0, 0), 10, 200, 460)
	sides := append([]Reading{}, r...)
	axes := append([]Reading{}, r...)
	for i := range r {
		sides[i].On = map[Edge]Edge{OnLeft: OnRight, OnRight: OnLeft}[r[i].On]
		axes[i].At = vec(r[i].At.Y, r[i].At.X)
	}
	var ex *ExchangedError
	if _, err := CheckDatum(sides, s); !errors.As(err, &ex) {
		t.Errorf("left and right exchanged: %v", err)
	}
	var swapped *SwappedError
	if _, err := CheckDatum(axes, s); !errors.As(err, &swapped) {
		t.Errorf("x and y exchanged: %v", err)
	}
}

func TestDatumRefuses(t *testing.T) {
	good := lay(bouzouki(longY), []Edge{OnDatum}, 0, 0, vec(0, 0), 0, 200, 400)
	var input *InputError
	var few *TooFewError
	for _, c := range []struct {
		name   string
		spoil  func(*DatumSpec, *[]Reading)
		target any
	}{
		{"no readings", func(_ *DatumSpec, r *[]Reading) { *r = nil }, &few},
		{"one reading", func(_ *DatumSpec, r *[]Reading) { *r = good[:1] }, &few},
		{"one on each edge", func(s *DatumSpec, r *[]Reading) { *r = lay(*s, []Edge{OnLeft, OnRight}, 0, 0, vec(0, 0), 100) }, &few},
		{"all within a millimetre", func(s *DatumSpec, r *[]Reading) { *r = lay(*s, []Edge{OnLeft}, 0, 0, vec(0, 0), 100, 100.5, 101) }, &few},
		{"no length", func(s *DatumSpec, _ *[]Reading) { s.LengthMM = 0 }, &input},
		{"negative width", func(s *DatumSpec, _ *[]Reading) { s.WidthEndMM = -1 }, &input},
		{"no tolerance", func(s *DatumSpec, _ *[]Reading) { s.ToleranceMM = 0 }, &input},
		{"tolerance not a number", func(s *DatumSpec, _ *[]Reading) { s.ToleranceMM = math.NaN() }, &input},
		{"negative probe", func(s *DatumSpec, _ *[]Reading) { s.ProbeRadiusMM = -1 }, &input},
		{"frame not a number", func(s *DatumSpec, _ *[]Reading) { s.ToMachine.Angle = math.NaN() }, &input},
		{"unknown edge", func(_ *DatumSpec, r *[]Reading) { *r = append(*r, Reading{On: "top"}) }, &input},
		{"reading not a number", func(_ *DatumSpec, r *[]Reading) { *r = append(*r, Reading{On: OnLeft, At: vec(math.NaN(), 0)}) }, &input},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, r := bouzouki(longY), append([]Reading{}, good...)
			c.spoil(&s, &r)
			if rep, err := CheckDatum(r, s); !errors.As(err, c.target) {
				t.Errorf("report %+v, error %v; want a %T", rep, err, c.target)
			}
		})
	}
	// Two points are enough for a line and say nothing of its uncertainty.
	rep, err := CheckDatum(good[:2], bouzouki(longY))
	if err != nil || rep.Uncertainty != nil || !rep.Pass {
		t.Errorf("two points: %+v, %v", rep, err)
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
			readings := lay(bouzouki(longX), []Edge{OnLeft, OnRight}, angle, 0, vec(0, 0), 20, 150, 300, 450)
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
		if math.Abs(a.RunoutMM-b.RunoutMM) > tol || math.Abs(a.AngleRad-b.AngleRad) > tol/478 || math.Abs(a.RMSmm-b.RMSmm) > tol {
			t.Fatalf("%+v\n%+v", a, b)
		}
		for i := range a.Residuals {
			if math.Abs(a.Residuals[i].ResidualMM-b.Residuals[i].ResidualMM) > tol {
				t.Fatalf("residual %d: %+v, %+v", i, a.Residuals[i], b.Residuals[i])
			}
		}
	})
}

func BenchmarkCheckDatum(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 1))
	s := bouzouki(longY)
	var stations []float64
	for range 5000 {
		stations = append(stations, 478*r.Float64())
	}
	readings := lay(s, []Edge{OnLeft, OnRight}, 1e-4, 0, vec(0, 0), stations...)
	for _, c := range []struct {
		name string
		r    []Reading
	}{
		{"ten readings", lay(s, []Edge{OnLeft, OnRight}, 1e-4, 0, vec(0, 0), 10, 120, 240, 360, 470)},
		{"10 000 readings", readings},
		{"10 000 dial readings", dialled(s, append([]Reading{}, readings...), 20)},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if _, err := CheckDatum(c.r, s); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	var text strings.Builder
	text.WriteString("on,x_mm,y_mm\n")
	for _, x := range readings {
		fmt.Fprintf(&text, "%s,%.6f,%.6f\n", x.On, x.At.X, x.At.Y)
	}
	data := []byte(text.String())
	b.Run("reading 10 000 lines", func(b *testing.B) {
		for b.Loop() {
			if _, err := ReadReadings("r.csv", data); err != nil {
				b.Fatal(err)
			}
		}
	})
}
