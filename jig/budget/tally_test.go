package budget

import (
	"math"
	"math/rand"
	"slices"
	"testing"
)

func TestRank(t *testing.T) {
	for _, c := range []struct{ n, want int }{
		{1, 0}, {19, 18}, {20, 18}, {21, 19}, {100, 94}, {101, 95}, {100_000, 94_999}, {10_000_000, 9_499_999},
	} {
		if got := rank(c.n); got != c.want {
			t.Errorf("%d trials: place %d, want %d", c.n, got, c.want)
		}
	}
}

// TestKth holds the selection against sorting.
func TestKth(t *testing.T) {
	r := rand.New(rand.NewSource(1))
	for range 2000 {
		xs := make([]float64, 1+r.Intn(60))
		kinds := 1 + r.Intn(20) // few: many alike
		for i := range xs {
			xs[i] = float64(r.Intn(kinds))
		}
		switch r.Intn(3) {
		case 0:
			slices.Sort(xs)
		case 1:
			slices.Sort(xs)
			slices.Reverse(xs)
		}
		sorted := slices.Sorted(slices.Values(xs))
		k := r.Intn(len(xs))
		if got := kth(slices.Clone(xs), k); got != sorted[k] {
			t.Fatalf("place %d of %v: %v, want %v", k, xs, got, sorted[k])
		}
	}
}

// TestTally: whatever the bracket, the figure is that of the sorted values or
// owned to be missed.
func TestTally(t *testing.T) {
	r := rand.New(rand.NewSource(2))
	hits := 0
	for range 5000 {
		xs := make([]float64, 1+r.Intn(50))
		for i := range xs {
			xs[i] = float64(r.Intn(12))
		}
		b := bracket{float64(r.Intn(12)), float64(r.Intn(12))}
		if b.lo > b.hi {
			b.lo, b.hi = b.hi, b.lo
		}
		if r.Intn(4) == 0 {
			b.lo = math.Inf(-1)
		}
		if r.Intn(4) == 0 {
			b.hi = math.Inf(1)
		}
		cut := r.Intn(len(xs) + 1)
		first, second := tally{bracket: b}, tally{bracket: b}
		first.add(xs[:cut])
		second.add(xs[cut:])
		first.merge(&second)
		slices.Sort(xs)
		k := r.Intn(len(xs))
		got, ok := first.figure(k)
		if ok != (xs[k] >= b.lo && xs[k] <= b.hi) || ok && got != xs[k] {
			t.Fatalf("place %d of %v in %v: %v %v", k, xs, b, got, ok)
		}
		if ok {
			hits++
		}
	}
	if hits < 1000 {
		t.Errorf("only %d brackets held the figure", hits)
	}
}

// TestMissedBracket: a pilot that leads astray costs time, not truth.
func TestMissedBracket(t *testing.T) {
	s := fingerboard(3)
	s.Trials = 5000
	d := newDrawing(s)
	at := points(s)
	want := d.simulate(at, s.Trials)
	for _, c := range []struct {
		name string
		b    bracket
	}{{"far above", bracket{10, 20}}, {"far below", bracket{0, 1e-9}}, {"open", everything}} {
		r := run{drawing: &d, at: at, trials: s.Trials, workers: 2}
		if got := r.select95(slices.Repeat([]bracket{c.b}, quantities*len(at)), 10); !slices.Equal(got, want) {
			t.Errorf("%s: %v, want %v", c.name, got, want)
		}
	}
}
