package setupsheet

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/units"
)

// Worked by hand: the scale runs to 0.06 over 60 - 2 x 6 = 48 mm of paper, so 0.05
// is 40 mm. A known error of 0.03 and 0.04 across and along is off by 0.05; with a
// standard deviation of 0.12 that would be 0.13, more than its worst case.
func TestBarsAreToScale(t *testing.T) {
	ts := []contribution{
		{source: "usual and worst", worst: 0.05, sd: 0.01},
		{source: "nothing"},
		{source: "all of it known", worst: 0.05, bias: 0.05},
	}
	f := budgetTable("dot 3", ts).Draw()
	var bars, marks []geom.Vec // lower left corner and size in turn; division's ends
	for _, it := range f.Items {
		s, ok := it.(picture.Stroke)
		if !ok || s.Pen != picture.PenThin {
			continue
		}
		b := geom.EmptyBox()
		for _, p := range s.Path {
			b = b.Include(p.Vec)
		}
		if math.Abs(b.Size().Y-barHigh) > 0.01 {
			continue
		}
		if s.Closed {
			bars = append(bars, b.Size())
		} else if b.Size().X == 0 {
			marks = append(marks, b.Min)
		}
	}
	want := []geom.Vec{at(40, barHigh), at(40, barHigh)}
	if diff := cmp.Diff(want, bars, near9); diff != "" {
		t.Error(diff)
	}
	// The first bar's hatching ends 8 mm from its start; nothing is a mark at zero.
	if len(marks) != 2 || math.Abs(marks[0].X-marks[1].X-8) > 1e-9 {
		t.Errorf("marks at %v, want two 8 mm apart", marks)
	}
	d := bouzouki(t)
	x := d.Budget.Features[0]
	x.Contributions = []budget.Contribution{{Source: "wood movement", WorstMM: 0.1, SDMM: 0.12, AlongBiasMM: 0.04,
		AcrossBiasMM: -0.03}}
	d.Budget = &budget.Budget{Features: []budget.FeatureBudget{x}}
	if got := contributions(d, 0)[0]; math.Abs(got.bias-0.05) > 1e-12 || got.usual() != got.worst {
		t.Errorf("got %+v, want bias 0.05 and a bar no longer than the worst case", got)
	}
}

func TestBarScale(t *testing.T) {
	for _, c := range []struct {
		name  string
		most  float64
		step  float64
		steps int
	}{
		{"between", 0.056, 0.02, 3},
		{"on the last step", 0.08, 0.02, 4},
		{"one more would be too many", 0.081, 0.03, 3},
		{"no error: the least scale", 0, 0.002, 3},
		{"huge", 20000, 5000, 4},
	} {
		s := newBarScale(c.most, 4)
		if math.Abs(s.step-c.step) > 1e-9*c.step || s.n != c.steps {
			t.Errorf("%s: %d steps of %v, want %d of %v", c.name, s.n, s.step, c.steps, c.step)
		}
	}
	rapid.Check(t, func(r *rapid.T) {
		most := math.Pow(10, rapid.Float64Range(-9, 4.3).Draw(r, "log"))
		steps := rapid.IntRange(2, 4).Draw(r, "steps")
		s := newBarScale(most, steps)
		end := s.step * float64(s.n)
		if most > end*(1+1e-9) || s.n > steps {
			r.Errorf("%d steps of %v for %v", s.n, s.step, most)
		}
		if most > leastScaleMM && end > 2*most*(1+1e-9) {
			r.Errorf("the scale ends at %v, the longest bar at %v", end, most)
		}
		// The figures say the steps exactly.
		f, err := strconv.ParseFloat(units.Fixed(s.step, s.decimals), 64)
		if err != nil || math.Abs(f-s.step) > 1e-9*s.step {
			r.Errorf("step %v is written %v", s.step, f)
		}
	})
}

func TestFeatureTable(t *testing.T) {
	d := bouzouki(t)
	got := worstFirst(d)
	for i := 1; i < len(got); i++ {
		if d.Budget.Features[got[i]].P95MM > d.Budget.Features[got[i-1]].P95MM {
			t.Errorf("feature %d comes after %d", got[i], got[i-1])
		}
	}
	if w := d.Budget.Worst(); got[0] != w {
		t.Errorf("feature %d comes first, the budget is that of %d", got[0], w)
	}
	f := d.Budget.Features[got[0]]
	row := []string{fmt.Sprintf("%.3f", f.P95MM), fmt.Sprintf("%.3f", f.WorstMM)}
	if t0 := featureTable(d); len(t0.Rows) != len(got) || !slices.Equal(t0.Rows[0][6:], row) {
		t.Errorf("first row %v, want it to end %v", t0.Rows[0], row)
	}
	// A budget of other features is not mixed in.
	d.Budget = &budget.Budget{Features: d.Budget.Features[1:]}
	if t0 := featureTable(d); len(t0.Cols) != 6 {
		t.Errorf("errors of other features: %d columns", len(t0.Cols))
	}
}

func TestClimateWords(t *testing.T) {
	for _, c := range []struct {
		name string
		do   func(*jig.Design)
		want string
	}{
		{"shrunk, from recalled figures", func(d *jig.Design) {
			d.Climate.WidthMM, d.Climate.LengthMM, d.Climate.FromMemory, d.Template.Window = -0.12, 0.0001, true, nil
		}, "is 0.120 mm narrower and less than 0.001 mm longer or shorter (coefficients recalled)."},
		{"measured in other air", func(d *jig.Design) {
			d.Climate.SinceMM, d.Climate.MeasuredC, d.Climate.MeasuredRHPct = -0.02, 18, 60
		}, "for the board now, 0.020 mm narrower than when it was measured at 18 °C and 60 %, clearance 0.1 mm per side; " +
			"the board fits up to 58 % RH."},
		{"goes in at any humidity", func(d *jig.Design) { d.Climate.EntersBelowRHPct = 0 }, "clearance 0.1 mm per side."},
	} {
		d := bouzouki(t)
		d.Template.ClearanceMM = 0.1
		d.Climate = &jig.Climate{
			MadeC: 21, MadeRHPct: 45, NowC: 20, NowRHPct: 48.5, Wood: "pear", WidthMM: 0.041, LengthMM: 0.014, EntersBelowRHPct: 58.9,
		}
		c.do(d)
		if got := strings.Join(climateLines(d), " "); !strings.HasSuffix(got, c.want) {
			t.Errorf("%s: got %q, want %q at its end", c.name, got, c.want)
		}
	}
}

func TestPercent(t *testing.T) {
	for in, want := range map[float64]string{
		1: "over 99.9 %", 0.99949: "99.9 %", 0.9995: "over 99.9 %", 0.5: "50.0 %", 0.0005: "0.1 %", 0: "under 0.1 %",
	} {
		if got := percent(in); got != want {
			t.Errorf("percent(%v) = %q, want %q", in, got, want)
		}
	}
}
