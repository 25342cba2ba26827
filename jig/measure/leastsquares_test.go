package measure

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"

	"reseat/jig/reading"
	"reseat/testdata/reference"
)

// TestNIST holds the fit against NIST StRD, linear regression: Norris, a line with its
// offset as the datum check lays it, and NoInt1, a line through the origin. Nine digits
// are asked for; the certificates give fifteen.
func TestNIST(t *testing.T) {
	for _, c := range []struct {
		dataset, file string
		offset        bool
	}{{"Norris", "nist_norris.csv", true}, {"NoInt1", "nist_noint1.csv", false}} {
		var x, y []float64
		for _, row := range reference.Rows(t, c.file) {
			y, x = append(y, reference.Number(t, row["y"])), append(x, reference.Number(t, row["x"]))
		}
		a, slope := mat.NewDense(len(x), 1, append([]float64{}, x...)), []float64{1}
		if c.offset {
			a, slope = mat.NewDense(len(x), 2, nil), []float64{0, 1}
			for i := range x {
				a.SetRow(i, []float64{1, x[i]})
			}
		}
		f, ok := leastSquares(a, y)
		if !ok {
			t.Fatal("no fit")
		}
		sd := math.Sqrt(f.sse / float64(f.df))
		b1, se1 := f.contrast(slope...)
		got := map[string]float64{"B1": b1, "se_B1": sd * se1, "SSE": f.sse, "residual_sd": sd, "residual_df": float64(f.df)}
		if c.offset {
			b0, se0 := f.contrast(1, 0)
			got["B0"], got["se_B0"] = b0, sd*se0
		}
		held := 0
		for _, row := range reference.Rows(t, "nist_certified.csv") {
			v, is := got[row["quantity"]]
			if row["dataset"] != c.dataset || !is {
				continue
			}
			held++
			if want := reference.Number(t, row["value"]); math.Abs(v-want) > 1e-9*math.Abs(want) {
				t.Errorf("%s: %s = %.15g, certified %.15g", c.dataset, row["quantity"], v, want)
			}
		}
		if held < 3 {
			t.Errorf("%s: %d certified values", c.dataset, held)
		}
	}
}

// runsOf makes samples of a board of 478 mm, a run for each line named.
func runsOf(x, y []float64, of []int, on ...string) *gathered {
	s := &Spec{LengthMM: 478, WidthStartMM: 40, WidthEndMM: 40}
	g := &gathered{spec: s, x: x, y: y, run: of, lines: make([]int, len(x))}
	for _, o := range on {
		g.runs = append(g.runs, run{o, false, s.line(o)})
	}
	return g
}

// Two runs with offsets of their own against the same fit written out.
//
//	run 1: (0,0) (2,1); run 2: (0,10) (1,12) (2,11)
//	Sxx = 2 + 2, Sxy = 1 + 1, slope 1/2; means (1, 0.5) and (1, 11): offsets 0 and 10.5
//	residuals 0 0; -0.5 1 -0.5: SSE 1.5, df 5-3 = 2; se of the slope 1/sqrt(4)
func TestCommonSlopeByHand(t *testing.T) {
	f, ok := runsOf([]float64{0, 0, 2, 1, 2}, []float64{0, 10, 1, 12, 11}, []int{0, 1, 0, 1, 1}, reading.OnLeft, reading.OnRight).fit(-1,
		slopeTerm)
	slope, se := f.contrast(0, 0, 1)
	for i, c := range [][2]float64{{slope, 0.5}, {se, 0.5}, {f.x[0], 0}, {f.x[1], 10.5}, {float64(f.df), 2}, {f.sse,
		1.5}} {
		if !ok || math.Abs(c[0]-c[1]) > 1e-13 { // a few roundings
			t.Errorf("figure %d: %g, want %g", i, c[0], c[1])
		}
	}
}

// Terms that the stations cannot tell apart are refused, not fitted to noise.
func TestFitRefuses(t *testing.T) {
	four := []float64{1, 2, 3, 4}
	for _, c := range []struct {
		name string
		g    *gathered
		want []term
	}{
		{"one station", runsOf([]float64{5, 5, 5, 5}, four, make([]int, 4), reading.OnDatum), []term{slopeTerm}},
		{"taper from one edge", runsOf([]float64{0, 5, 9, 12}, four, make([]int, 4), reading.OnLeft), []term{slopeTerm, taperTerm}},
		{"taper from the datum line", runsOf([]float64{0, 5, 9, 12}, four, make([]int, 4), reading.OnDatum), []term{slopeTerm,
			taperTerm}},
		{"bow from two stations", runsOf([]float64{0, 400, 0, 400}, four, make([]int, 4), reading.OnDatum), []term{slopeTerm,
			bowTerm}},
		{"too few", runsOf([]float64{0, 400}, four[:2], make([]int, 2), reading.OnDatum), []term{slopeTerm, bowTerm}},
	} {
		if f, ok := c.g.fit(-1, c.want...); ok {
			t.Errorf("%s: fitted %+v", c.name, f)
		}
	}
}

// The studentised residual against its definition: the point's distance from the
// fit of the others, in parts of that distance's own standard deviation.
func TestStudentisedByLeavingOut(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 8))
	var x, y []float64
	var of []int
	for i := range 11 {
		x, of = append(x, 478*r.Float64()), append(of, i%2)
		y = append(y, 1e-3*x[i]+0.1*r.NormFloat64())
	}
	g := runsOf(x, y, of, reading.OnLeft, reading.OnRight)
	f, _ := g.fit(-1, slopeTerm, taperTerm)
	got, _ := Precision{}.studentised(&f.fit, nil)
	for i := range x {
		others, ok := g.fit(i, slopeTerm, taperTerm)
		if !ok {
			t.Fatal("no fit")
		}
		w := []float64{0, 0, x[i], g.column(taperTerm, i)}
		w[of[i]] = 1
		v, se := others.contrast(w...)
		want := (y[i] - v) / math.Sqrt(1+se*se) / math.Sqrt(others.sse/float64(others.df))
		if math.Abs(got[i]-want) > 1e-9 { // ten digits of a figure of some units
			t.Errorf("point %d: %.12g, want %.12g", i, got[i], want)
		}
	}
	// t(6, 1 - 0.05/22) lies between the table's t(6, 99.75 %) = 4.3168 and t(6, 99.9 %) = 5.2076.
	if limit := outlierLimit(1, Precision{}.uncertainty(1, 6), outlierRisk/11); limit < 4.3168 || limit > 5.2076 {
		t.Errorf("limit %g", limit)
	}
}
