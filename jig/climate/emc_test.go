package climate

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/testdata/reference"
)

// tableTolerance, percent moisture: the tables print one decimal, so 0.05 by
// rounding; the Celsius form of the equation and the Fahrenheit one differ by a
// hundredth more. testdata/reference/emc_table_4_2.csv names 0.1.
const tableTolerance = 0.1

func celsius(f float64) float64 { return (f - 32) / 1.8 }

// Printed values, each seen in the place named.
func TestEMCAgainstPrintedValues(t *testing.T) {
	for _, c := range []struct {
		name          string
		tempC, rh     float64
		want, allowed float64
	}{
		{"table 4-2, 70 F 40 %, quoted in a dry kiln manual", celsius(70), 40, 7.7, tableTolerance},
		{"65 F 60 %, a wood science page (gowood.blogspot.com)", celsius(65), 60, 11.1, tableTolerance},
		{"65 F 30 %, the same page", celsius(65), 30, 6.2, tableTolerance},
		{"20 C 65 %, worked out beside the table", 20, 65, 11.996, 0.001},
		{"20 C 50 %, worked out beside the table", 20, 50, 9.271, 0.001},
		{"25 C 45 %, worked out beside the table", 25, 45, 8.359, 0.001},
		{"bone dry air: no moisture", 20, 0, 0, 0},
	} {
		got, err := EMC(Air{c.tempC, c.rh})
		if err != nil || math.Abs(got-c.want) > c.allowed {
			t.Errorf("%s: %.4f, %v; want %.4f", c.name, got, err, c.want)
		}
	}
	// 140 F, 55 % -> 8.4 (liquisearch.com) lies beyond the range that is served; the
	// equation itself must still give it.
	if got := emc(celsius(140), 55); math.Abs(got-8.4) > tableTolerance {
		t.Errorf("140 F 55 %%: %.3f, want 8.4", got)
	}
}

// The whole of table 4-2. All but one of its cells are recalled, so the column that
// another program made of the equation is the real check: to the last digit.
func TestEMCAgainstTable(t *testing.T) {
	const lastDigit = 0.0006 // the column has three decimals
	seen := 0
	for _, row := range reference.Rows(t, "emc_table_4_2.csv") {
		f, rh := number(row["T_F"]), number(row["RH_pct"])
		got, err := EMC(Air{celsius(f), rh})
		if err != nil {
			t.Fatal(err)
		}
		if want := number(row["eq_C_coeffs_pct"]); math.Abs(got-want) > lastDigit {
			t.Errorf("%g F %g %%: %.4f, the equation elsewhere gives %.4f", f, rh, got, want)
		}
		if want := number(row["EMC_table_pct"]); math.Abs(got-want) > tableTolerance {
			t.Errorf("%g F %g %%: %.3f, table %.1f (%s)", f, rh, got, want, row["status"])
		}
		if row["status"] == "web" {
			seen++
		}
	}
	if seen != 1 {
		t.Errorf("%d cells that were seen, want 1", seen)
	}
}

// The Fahrenheit form of the equation was published apart from the Celsius one; its
// coefficients are read from the file, so a slip in either shows.
func TestEMCAgainstFahrenheitForm(t *testing.T) {
	at := map[string]quadratic{}
	for _, row := range reference.Rows(t, "emc_equation.csv") {
		at[row["unit"]+row["parameter"]] = quadratic{number(row["a"]), number(row["b"]), number(row["c"])}
	}
	for name, q := range map[string]quadratic{"CW": emcW, "CK": emcK, "CK1": emcK1, "CK2": emcK2} {
		if at[name] != q {
			t.Errorf("%s: %v, file %v", name, q, at[name])
		}
	}
	const formsDiffer = 0.03 // percent moisture; each form was rounded by itself
	worst := 0.0
	for f := 30.0; f <= 130; f += 5 {
		for rh := 1.0; rh <= 98; rh++ {
			h := rh / 100
			k, k1, k2 := at["FK"].at(f), at["FK1"].at(f), at["FK2"].at(f)
			want := 1800 / at["FW"].at(f) * (k*h/(1-k*h) + (k1*k*h+2*k1*k2*k*k*h*h)/(1+k1*k*h+k1*k2*k*k*h*h))
			got, err := EMC(Air{celsius(f), rh})
			if err != nil {
				t.Fatal(err)
			}
			worst = max(worst, math.Abs(got-want))
		}
	}
	t.Logf("the two published forms differ by at most %.4f %% moisture", worst)
	if worst > formsDiffer {
		t.Errorf("forms differ by %.4f %% moisture", worst)
	}
}

func TestEMCRisesWithHumidity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		temp := rapid.Float64Range(-2, 55).Draw(t, "temp")
		a := rapid.Float64Range(0, 97.9).Draw(t, "rh")
		b := rapid.Float64Range(a+0.01, 98).Draw(t, "more")
		ma, err1 := EMC(Air{temp, a})
		mb, err2 := EMC(Air{temp, b})
		if err1 != nil || err2 != nil || !(mb > ma) {
			t.Fatalf("%g C: %g %% gives %g, %g %% gives %g (%v %v)", temp, a, ma, b, mb, err1, err2)
		}
	})
}

func TestEMCRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		air  Air
		what string
	}{
		{"colder than the table", Air{-2.1, 50}, "temperature"},
		{"a kiln", Air{56, 50}, "temperature"},
		{"no number", Air{math.NaN(), 50}, "temperature"},
		{"saturated", Air{20, 98.1}, "humidity"},
		{"below nothing", Air{20, -0.1}, "humidity"},
		{"no number", Air{20, math.NaN()}, "humidity"},
	} {
		_, err := EMC(c.air)
		if err == nil || !strings.HasPrefix(err.Error(), c.what+" of ") || !strings.Contains(err.Error(), "is outside") {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}
