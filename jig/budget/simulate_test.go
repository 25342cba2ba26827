package budget

import (
	"math"
	"math/rand"
	"runtime"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"reseat/jig/geom"
)

func points(s Spec) []geom.Vec {
	var at []geom.Vec
	for _, f := range s.Features {
		at = append(at, f.At)
	}
	return at
}

func compute(t testing.TB, s Spec) Budget {
	t.Helper()
	b, err := Compute(s)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestAgainstPlainSimulation holds every figure against a simulator that knows
// nothing of fields, chunks and brackets: another generator, cause by cause,
// all values sorted.
func TestAgainstPlainSimulation(t *testing.T) {
	s := fingerboard(5)
	for _, p := range seatsUnderTest(t) {
		s.Sources = append(s.Sources, Source{Name: p.name, Play: p.play, PlayScale: Scale{0.8, 0.3}})
	}
	got := compute(t, s)
	const trials = 200_000
	r := rand.New(rand.NewSource(99))
	values := make([][3][]float64, len(s.Features))
	for range trials {
		moves := make([]geom.Vec, len(s.Features))
		for _, src := range s.Sources {
			for _, v := range src.Vars {
				var k float64
				switch v.Law {
				case Normal:
					k = r.NormFloat64() * v.Half / 1.96
				case Uniform:
					k = (r.Float64()*2 - 1) * v.Half
				case Sign:
					k = v.Half * float64(r.Intn(2)*2-1)
				case Known:
					k = v.Half
				}
				for i, f := range s.Features {
					m := v.Field
					moves[i].X += k * (m.Shift.X + m.UU*f.At.X + m.UV*f.At.Y)
					moves[i].Y += k * (m.Shift.Y + m.VU*f.At.X + m.VV*f.At.Y)
				}
			}
			if src.Play != nil {
				k := 1.0
				if src.PlayScale != (Scale{}) {
					k = math.Min(1, math.Max(0, src.PlayScale.Mean+src.PlayScale.SD*r.NormFloat64()))
				}
				q := src.Play.Place([3]float64{r.Float64(), r.Float64(), r.Float64()})
				for i, f := range s.Features {
					moves[i] = moves[i].Add(q.Motion(f.At).Scale(k))
				}
			}
			for i := range moves {
				moves[i].X += src.OwnHalf / 1.96 * r.NormFloat64()
				moves[i].Y += src.OwnHalf / 1.96 * r.NormFloat64()
			}
		}
		for i, m := range moves {
			for q, x := range [3]float64{math.Hypot(m.X, m.Y), math.Abs(m.X), math.Abs(m.Y)} {
				values[i][q] = append(values[i][q], x)
			}
		}
	}
	for i, f := range got.Features {
		for q, x := range [3]float64{f.P95MM, f.P95AlongMM, f.P95AcrossMM} {
			slices.Sort(values[i][q])
			want := values[i][q][trials*95/100-1]
			if !near(x, want, samplingTol*math.Sqrt(1.5)) { // 100 000 against twice as many
				t.Errorf("%s, quantity %d: %.5f, plain simulation %.5f", f.Name, q, x, want)
			}
		}
	}
}

// TestSameBits: the figures do not depend on the number of cores, on how the
// features are taken in blocks, or on which other features are asked for.
func TestSameBits(t *testing.T) {
	s := fingerboard(7)
	s.Trials = 30_000
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	want := compute(t, s)
	for _, cores := range []int{2, 4, 7} {
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
	d := newDrawing(s)
	for i := range s.Features {
		r := run{drawing: &d, at: points(s)[i : i+1], trials: s.Trials, workers: 2}
		f := r.figures(6)[0]
		if f.radial != want.Features[i].P95MM || f.along != want.Features[i].P95AlongMM || f.across != want.Features[i].P95AcrossMM {
			t.Errorf("feature %d in a block of its own: %v", i, f)
		}
	}
}

// TestSeed: another seed gives other figures, but not by more than chance.
func TestSeed(t *testing.T) {
	s := fingerboard(4)
	first := compute(t, s)
	for seed := range uint64(6) {
		s.Seed = 2 + seed // neighbours, and the shared streams must still differ
		other := compute(t, s)
		for i := range first.Features {
			a, b := first.Features[i].P95MM, other.Features[i].P95MM
			if a == b || !near(a, b, samplingTol*math.Sqrt2) { // two simulations
				t.Errorf("seed %d, feature %d: %v and %v", s.Seed, i, a, b)
			}
		}
		if other.Seed != s.Seed || other.Trials != defaultTrials {
			t.Errorf("seed %d, %d trials in the output", other.Seed, other.Trials)
		}
	}
}

// TestStreamsApart: neighbouring chunks, and the two coefficients of one, are not
// correlated.
func TestStreamsApart(t *testing.T) {
	d := newDrawing(Spec{Seed: 5, Sources: []Source{vars("a", along(1, Normal)), {Name: "b", OwnHalf: 1}}})
	column := func(chunk, coefficient int) []float64 {
		var f fields
		d.fill(chunk, &f)
		return slices.Clone(f[coefficient][:])
	}
	for _, c := range []struct {
		name string
		a, b []float64
	}{
		{"chunks", column(0, 0), column(1, 0)},
		{"along and across", column(0, 0), column(0, 1)},
	} {
		var ab, aa, bb float64
		for i := range c.a {
			ab, aa, bb = ab+c.a[i]*c.b[i], aa+c.a[i]*c.a[i], bb+c.b[i]*c.b[i]
		}
		const chance = 4.0 / 32 // four standard deviations, 1/sqrt 1024 each
		if rho := ab / math.Sqrt(aa*bb); math.Abs(rho) > chance {
			t.Errorf("%s: correlation %.3f", c.name, rho)
		}
	}
}

// TestFactor: the columns add up to the covariance again, as many of them as its rank
// not zero.
func TestFactor(t *testing.T) {
	r := rand.New(rand.NewSource(11))
	for n := 1; n <= 9; n++ {
		var m covariance
		for range n {
			var c [6]float64
			for i := range c {
				// Shifts in mm and rotations per mm differ by three decades.
				c[i] = r.NormFloat64() * math.Pow(10, -3*float64(min(1, i/2)))
			}
			m.add(c)
		}
		ls := m.factor()
		rank := 0
		for _, l := range ls {
			if l != ([6]float64{}) {
				rank++
			}
		}
		if want := min(n, 6); rank != want {
			t.Errorf("%d causes: %d columns, want %d", n, rank, want)
		}
		var back covariance
		for _, l := range ls {
			back.add(l)
		}
		for i := range m {
			for j := range m {
				if d := math.Abs(back[i][j] - m[i][j]); d > 1e-12*math.Sqrt(m[i][i]*m[j][j]) {
					t.Errorf("%d causes: element %d %d is off by %g", n, i, j, d)
				}
			}
		}
	}
}

// TestManyFeatures: blocks of features, few trials and a last chunk in part.
func TestManyFeatures(t *testing.T) {
	for _, trials := range []int{leastTrials, 1023, 1025, 5000} {
		s := fingerboard(200)
		s.Trials = trials
		b := compute(t, s)
		if len(b.Features) != 200 || b.Trials != trials {
			t.Fatalf("%d features, %d trials", len(b.Features), b.Trials)
		}
		finiteBudget(t, b)
	}
}
