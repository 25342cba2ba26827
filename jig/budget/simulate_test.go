package budget

import (
	"math"
	"math/rand"
	"runtime"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func compute(t testing.TB, s Spec) Budget {
	t.Helper()
	b, err := Compute(s)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestSameBits: the figures do not depend on the number of cores or on which other
// features are asked for; another seed gives others.
func TestSameBits(t *testing.T) {
	s := fingerboard(7)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	want := compute(t, s)
	for _, cores := range []int{2, 7} {
		runtime.GOMAXPROCS(cores)
		if d := cmp.Diff(want, compute(t, s)); d != "" {
			t.Errorf("%d cores:\n%s", cores, d)
		}
	}
	part := s
	part.Features = s.Features[:3]
	if d := cmp.Diff(want.Features[:3], compute(t, part).Features); d != "" {
		t.Errorf("three features only:\n%s", d)
	}
	s.Seed++
	if other := compute(t, s); other.Features[0].P95MM == want.Features[0].P95MM || other.Seed != s.Seed {
		t.Error("another seed draws the same seatings")
	}
}

// TestNormals: the fields' outer products add up to the covariance of the causes.
func TestNormals(t *testing.T) {
	r := rand.New(rand.NewSource(11))
	for n := range 10 {
		var s Spec
		var want, got [numbers][numbers]float64
		for range n {
			// Shifts in mm and rotations per mm differ by three decades; the last
			// coefficient is often nil, and two are alike.
			x := func() float64 { return r.NormFloat64() }
			f := Field{UU: 1e-3 * x(), UV: 1e-3 * x(), VU: 1e-3 * x(), VV: 1e-3 * x() * float64(n%2), Bow: 1e-6 * x()}
			f.Shift.X = x()
			f.Shift.Y = f.Shift.X
			v := Var{Field: f, Half: 1}
			s.Sources = append(s.Sources, Source{Vars: []Var{v}})
			c := f.Scale(v.sd()).coefficients()
			for i := range c {
				for j := range c {
					want[i][j] += c[i] * c[j]
				}
			}
		}
		for _, c := range s.normals() {
			for i := range c {
				for j := range c {
					got[i][j] += c[i] * c[j]
				}
			}
		}
		for i := range want {
			for j := range want {
				if d := math.Abs(got[i][j] - want[i][j]); d > 2*leastPivot*math.Sqrt(want[i][i]*want[j][j]) {
					t.Errorf("%d causes: element %d %d is off by %g", n, i, j, d)
				}
			}
		}
	}
}
