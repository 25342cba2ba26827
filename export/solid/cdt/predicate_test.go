package cdt

import (
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// bigInCircle is the circle test as a 4 x 4 determinant in numbers without bound,
// expanded by another column than InCircle's.
func bigInCircle(a, b, c, d Point) int {
	rows := [4][4]*big.Int{}
	for i, p := range [4]Point{a, b, c, d} {
		x, y := big.NewInt(p.X), big.NewInt(p.Y)
		sq := new(big.Int).Add(new(big.Int).Mul(x, x), new(big.Int).Mul(y, y))
		rows[i] = [4]*big.Int{x, y, sq, big.NewInt(1)}
	}
	return determinant(rows[:], 4).Sign()
}

func determinant(m [][4]*big.Int, n int) *big.Int {
	cols := make([]int, n)
	for i := range cols {
		cols[i] = i
	}
	return expand(m, cols)
}

func expand(m [][4]*big.Int, cols []int) *big.Int {
	if len(cols) == 1 {
		return m[0][cols[0]]
	}
	sum := new(big.Int)
	for k, c := range cols {
		rest := append(append([]int{}, cols[:k]...), cols[k+1:]...)
		term := new(big.Int).Mul(m[0][c], expand(m[1:], rest))
		if k%2 == 1 {
			term.Neg(term)
		}
		sum.Add(sum, term)
	}
	return sum
}

func anyPoint(t *rapid.T, name string, reach int64) Point {
	return Point{
		rapid.Int64Range(-reach, reach).Draw(t, name+".x"),
		rapid.Int64Range(-reach, reach).Draw(t, name+".y"),
	}
}

func TestInCircleAgainstBig(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// Small coordinates give ties, the largest give the longest products.
		reach := rapid.SampledFrom([]int64{2, 5, 1000, Limit}).Draw(t, "reach")
		a, b, c, d := anyPoint(t, "a", reach), anyPoint(t, "b", reach), anyPoint(t, "c", reach), anyPoint(t, "d", reach)
		if Orient(a, b, c) < 0 {
			b, c = c, b
		}
		if Orient(a, b, c) == 0 {
			return
		}
		if got, want := InCircle(a, b, c, d), bigInCircle(a, b, c, d) > 0; got != want {
			t.Fatalf("InCircle(%v %v %v, %v) = %v", a, b, c, d, got)
		}
	})
}

func TestInCircleCorners(t *testing.T) {
	const m = Limit
	for _, tc := range []struct {
		name    string
		a, b, c Point
		d       Point
		want    bool
	}{
		{"fourth corner of the largest square is on the circle", Point{-m, -m}, Point{m, -m}, Point{m, m}, Point{-m, m},
			false},
		{"one unit inside it", Point{-m, -m}, Point{m, -m}, Point{m, m}, Point{-m + 1, m}, true},
		{"middle of a square", Point{0, 0}, Point{4, 0}, Point{4, 4}, Point{2, 2}, true},
		{"a corner of the triangle", Point{0, 0}, Point{4, 0}, Point{4, 4}, Point{4, 0}, false},
		{"far out", Point{0, 0}, Point{4, 0}, Point{4, 4}, Point{m, -m}, false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := InCircle(tc.a, tc.b, tc.c, tc.d); got != tc.want {
				t.Errorf("got %v", got)
			}
		})
	}
}
