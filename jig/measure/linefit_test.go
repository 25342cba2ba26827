package measure

import (
	"math"
	"testing"
)

// nistDigits is the relative agreement asked for: nine digits. The certificates
// give fifteen.
const nistDigits = 1e-9

func agrees(got, want float64) bool { return math.Abs(got-want) <= nistDigits*math.Abs(want) }

// nist returns a dataset's points and its certified values by name.
func nist(t *testing.T, dataset, file string) (x, y []float64, cert map[string]float64) {
	t.Helper()
	for _, row := range reference(t, file)[1:] {
		y, x = append(y, parse(t, row[0])), append(x, parse(t, row[1]))
	}
	cert = map[string]float64{}
	for _, row := range reference(t, "nist_certified.csv")[1:] {
		if row[0] == dataset {
			cert[row[1]] = parse(t, row[2])
		}
	}
	return x, y, cert
}

// NIST StRD, linear regression, dataset Norris.
func TestNorris(t *testing.T) {
	x, y, cert := nist(t, "Norris", "nist_norris.csv")
	l, ok := FitLine(x, y)
	if !ok || len(x) != 36 {
		t.Fatal("no fit")
	}
	for name, got := range map[string]float64{
		"B0": l.Intercept, "B1": l.Slope, "se_B0": l.SEIntercept, "se_B1": l.SESlope,
		"SSE": l.SSE, "residual_sd": l.ResidualSD, "residual_df": float64(l.DF),
	} {
		if !agrees(got, cert[name]) {
			t.Errorf("%s = %.15g, certified %.15g", name, got, cert[name])
		}
	}
	// The same points as one run of the common-slope fit that the datum check uses.
	one := &samples{x: x, y: y, run: make([]int, len(x)), side: []float64{0}, length: 1}
	f, ok := one.fit(slopeTerm)
	if !ok {
		t.Fatal("no fit of one run")
	}
	sd := math.Sqrt(f.sse / float64(f.df))
	b1, se1 := f.value(slopeOf)
	b0, se0 := f.value(figure{offsets: map[int]float64{0: 1}})
	for name, got := range map[string]float64{"B0": b0, "B1": b1, "se_B0": sd * se0, "se_B1": sd * se1, "SSE": f.sse, "residual_sd": sd, "residual_df": float64(f.df)} {
		if !agrees(got, cert[name]) {
			t.Errorf("one run: %s = %.15g, certified %.15g", name, got, cert[name])
		}
	}
}

// NIST StRD, linear regression, dataset NoInt1.
func TestNoInt1(t *testing.T) {
	x, y, cert := nist(t, "NoInt1", "nist_noint1.csv")
	l, ok := FitThroughOrigin(x, y)
	if !ok || len(x) != 11 {
		t.Fatal("no fit")
	}
	for name, got := range map[string]float64{"B1": l.Slope, "se_B1": l.SESlope, "residual_sd": l.ResidualSD} {
		if !agrees(got, cert[name]) {
			t.Errorf("%s = %.15g, certified %.15g", name, got, cert[name])
		}
	}
}

// Two runs with offsets of their own against the same fit by normal equations
// written out: unknowns slope, offset 1, offset 2.
func TestCommonSlopeByHand(t *testing.T) {
	// Run 1: (0,0) (2,1); run 2: (0,10) (1,12) (2,11).
	// Sxx = 2 + 2, Sxy = 1 + 1, slope 1/2; means (1, 0.5) and (1, 11): offsets 0 and 10.5.
	// Residuals 0 0; -0.5 1 -0.5: SSE 1.5, df 5-3 = 2, s^2 0.75, se^2 = 0.75/4.
	two := &samples{x: []float64{0, 0, 2, 1, 2}, y: []float64{0, 10, 1, 12, 11}, run: []int{0, 1, 0, 1, 1}, side: []float64{1, -1}, length: 1}
	f, ok := two.fit(slopeTerm)
	const tol = 1e-14 // a few roundings
	if !ok || math.Abs(f.coef[slopeTerm]-0.5) > tol || math.Abs(f.offsets[0]) > tol || math.Abs(f.offsets[1]-10.5) > tol || f.df != 2 || math.Abs(f.sse-1.5) > tol {
		t.Errorf("%+v", f)
	}
	if _, unit := f.value(slopeOf); math.Abs(unit-0.5) > tol {
		t.Errorf("se %g of s, want 1/2", unit)
	}
	// Leverage: 1/n + d^2/Sxx = 1/2 + 1/4 on run 1; 1/3 + 1/4, 1/3, 1/3 + 1/4 on run 2.
	for i, want := range []float64{0.75, 1.0/3 + 0.25, 0.75, 1.0 / 3, 1.0/3 + 0.25} {
		if math.Abs(f.leverage[i]-want) > tol {
			t.Errorf("leverage %d: %g, want %g", i, f.leverage[i], want)
		}
	}
}

func TestNoLine(t *testing.T) {
	for _, c := range []struct {
		name string
		x, y []float64
	}{
		{"nothing", nil, nil},
		{"one point", []float64{1}, []float64{2}},
		{"one place", []float64{3, 3, 3}, []float64{1, 2, 3}},
		{"lengths differ", []float64{1, 2}, []float64{1}},
	} {
		if _, ok := FitLine(c.x, c.y); ok {
			t.Errorf("%s: a line came out", c.name)
		}
	}
	if _, ok := FitThroughOrigin([]float64{0, 0}, []float64{1, 2}); ok {
		t.Error("through the origin from x = 0 only: a line came out")
	}
	// Two points leave nothing to judge by: no standard error, and no NaN.
	l, ok := FitLine([]float64{0, 4}, []float64{1, 3})
	if !ok || l.Slope != 0.5 || l.DF != 0 || l.SESlope != 0 {
		t.Errorf("two points: %+v", l)
	}
}
