package units

import (
	"math"
	"testing"
)

func TestWrite(t *testing.T) {
	for _, c := range []struct{ name, got, want string }{
		{"trailing zeros go", Decimal(6.1000, 4), "6.1"},
		{"a whole number keeps its zeros", Decimal(600, 2), "600"},
		{"no minus nought", Decimal(-0.0001, 3), "0"},
		{"fixed keeps them", Fixed(6.1, 3), "6.100"},
		{"fixed has no minus nought", Fixed(-0.0004, 3), "0.000"},
		{"fixed keeps the sign", Fixed(-0.0006, 3), "-0.001"},
		{"four digits", Significant(25.39999, 4), "25.4"},
		{"no exponent", Significant(123456, 4), "123500"},
		{"as it was typed", Short(0.1 + 0.2), "0.3"},
		{"nought", Short(0), "0"},
		{"a quarter", Inches(6.35), "1/4"},
		{"three decimals of mm", Inches(4.763), "3/16"},
		{"mixed", Inches(38.1), "1 1/2"},
		{"whole", Inches(25.4), "1"},
		{"no fraction", Inches(6), "0.2362"},
		{"smaller than any", Inches(0.1), "0.0039"},
	} {
		if c.got != c.want {
			t.Errorf("%s: got %s, want %s", c.name, c.got, c.want)
		}
	}
}

// Sixteenths of an inch end in a half at three decimals: 1.5875. Whatever the last
// bit of the sum that gave one, it is written alike, and so is its mirror image.
func TestHalvesFallToOneSide(t *testing.T) {
	for _, c := range []struct {
		x    float64
		n    int
		want float64
	}{
		{1.5875, 3, 1.588}, {0.0625, 3, 0.063}, {129.0275, 3, 129.028}, {7.5, 0, 8}, {0.000499, 3, 0}, {2.345, 2, 2.35},
	} {
		for _, x := range []float64{c.x, math.Nextafter(c.x, 0), math.Nextafter(c.x, 1e9), c.x - 1e-9, c.x + 1e-9} {
			if got, mirrored := Round(x, c.n), Round(-x, c.n); got != c.want || mirrored != 0-c.want {
				t.Errorf("Round(%v, %d) = %v and %v, want %v and its mirror image", x, c.n, got, mirrored, c.want)
			}
		}
	}
}

func TestCount(t *testing.T) {
	for want, got := range map[string]string{
		"1 cut": Count(1, "cut"), "0 cuts": Count(0, "cut"), "3 passes": Count(3, "pass"), "1 pass": Count(1, "pass"),
	} {
		if got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}
