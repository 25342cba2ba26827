package budget

import (
	"math"
	"math/rand"
	"runtime"
	"testing"

	"github.com/google/go-cmp/cmp"

	"reseat/jig/geom"
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

// TestNormal: what stands for all normal causes at a point has their covariance, also when
// they move one axis alone or both alike.
func TestNormal(t *testing.T) {
	r := rand.New(rand.NewSource(11))
	for n := range 10 {
		var s Spec
		at, one := geom.Vec{X: 300, Y: -20}, r.NormFloat64()
		var xx, xy, yy float64
		for k := range n {
			x := func() float64 { return r.NormFloat64() }
			f := Field{UU: 1e-3 * x(), UV: 1e-3 * x(), VU: 1e-3 * x(), VV: 1e-3 * x(), Bow: 1e-6 * x()}
			switch n % 4 {
			case 1:
				f = Field{VU: 1e-3 * x()}
			case 2:
				f = Field{UU: 1e-3 * one, VU: 1e-3 * one}
			}
			own := float64(k % 2 * (n % 2) / 10)
			s.Sources = append(s.Sources, Source{Vars: []Var{{Field: f, Half: 1}}, OwnHalf: own})
			d := f.At(at).Scale(1 / 1.959964)
			xx, xy, yy = xx+d.X*d.X+own*own/3.841459, xy+d.X*d.Y, yy+d.Y*d.Y+own*own/3.841459
		}
		got := s.normal(at)
		for _, c := range [][2]float64{
			{got.along * got.along, xx}, {got.along * got.both, xy}, {got.both*got.both + got.across*got.across, yy},
		} {
			if !near(c[0], c[1], 1e-6) && math.Abs(c[0]-c[1]) > 1e-12 {
				t.Errorf("%d causes: %+v, covariance %g %g %g", n, got, xx, xy, yy)
			}
		}
	}
}
