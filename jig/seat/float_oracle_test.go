package seat

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"reseat/jig/geom"
)

// lpReach is the second method for a nest: the largest c.(du, dv, theta L) under
// the walls' inequalities, by gonum's simplex. It shares no code with the vertex
// enumeration, the walls included: each corner's depth behind each wall is taken
// by finite differences of exact small moves, which are linear by definition.
func lpReach(t *testing.T, n Nest, l float64, c [3]float64) float64 {
	t.Helper()
	var g, h []float64
	for i, w := range n.Window {
		e := n.Window[(i+1)%len(n.Window)].Sub(w)
		for _, p := range n.Board {
			// Distance to the left of wall i, negative outside.
			depth := func(q geom.Vec) float64 { return e.Cross(q.Sub(w)) / e.Norm() }
			at := depth(p)
			g = append(g,
				at-depth(p.Add(vec(1, 0))),
				at-depth(p.Add(vec(0, 1))),
				at-depth(p.Add(vec(-p.Y/l, p.X/l))))
			h = append(h, at)
		}
	}
	cNew, aNew, bNew := lp.Convert([]float64{-c[0], -c[1], -c[2]}, mat.NewDense(len(h), 3, g), h, nil, nil)
	v, _, err := lp.Simplex(cNew, aNew, bNew, 1e-10, nil)
	if err != nil {
		t.Skip("simplex gave up:", err)
	}
	return -v
}

// randomNest returns a convex board of five to eight corners in a window whose
// walls stand off by a clearance of their own.
func randomNest(r *rand.Rand) Nest {
	for {
		// A short edge between walls that stand off differently may vanish.
		if n := tryNest(r); n.check() == nil {
			return n
		}
	}
}

func tryNest(r *rand.Rand) Nest {
	length := 60 + 900*r.Float64()
	board := geom.Taper(length, 20+60*r.Float64(), 20+60*r.Float64()).Corners()
	for range 1 + r.IntN(4) {
		board = cutCorner(board, r.IntN(len(board)), 0.05+0.2*r.Float64(), 0.05+0.2*r.Float64())
	}
	return Nest{Window: standOff(board, func() float64 { return 0.02 + 0.3*r.Float64() }), Board: board}
}

func cutCorner(pts []geom.Vec, i int, before, after float64) []geom.Vec {
	n := len(pts)
	p, a, b := pts[i], pts[(i+n-1)%n], pts[(i+1)%n]
	out := append([]geom.Vec{}, pts[:i]...)
	out = append(out, p.Lerp(a, before), p.Lerp(b, after))
	return append(out, pts[i+1:]...)
}

// standOff moves every edge outward by its own amount and joins neighbours again.
func standOff(pts []geom.Vec, by func() float64) []geom.Vec {
	n := len(pts)
	type line struct{ p, d geom.Vec }
	lines := make([]line, n)
	for i, p := range pts {
		d := pts[(i+1)%n].Sub(p).Unit()
		lines[i] = line{p.Add(d.Left().Scale(-by())), d}
	}
	out := make([]geom.Vec, n)
	for i, b := range lines {
		a := lines[(i+n-1)%n]
		out[i] = a.p.Add(a.d.Scale(b.p.Sub(a.p).Cross(b.d) / a.d.Cross(b.d)))
	}
	return out
}

// lpTolerance is what simplex (tolerance 1e-10 on reduced costs, sums of some
// tens of terms) and vertex enumeration may differ by, mm.
const lpTolerance = 1e-7

func TestNestAgainstSimplex(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 42))
	worst, done := 0.0, 0
	for k := range 60 {
		n := randomNest(r)
		l := n.frame().length
		at := vec(900*r.Float64()-100, 80*r.Float64()-40)
		f, err := n.Float([]geom.Vec{at})
		if err != nil {
			t.Fatalf("case %d: %v", k, err)
		}
		t.Run("", func(t *testing.T) {
			both := func(c [3]float64) float64 {
				return math.Max(lpReach(t, n, l, c), lpReach(t, n, l, [3]float64{-c[0], -c[1], -c[2]}))
			}
			for _, q := range []struct {
				name      string
				got, want float64
			}{
				{"theta x length", f.ThetaMax * l, both([3]float64{0, 0, 1})},
				{"along", f.At[0].Along, both([3]float64{1, 0, -at.Y / l})},
				{"across", f.At[0].Across, both([3]float64{0, 1, at.X / l})},
			} {
				d := math.Abs(q.got - q.want)
				worst = math.Max(worst, d)
				if d > lpTolerance {
					t.Errorf("case %d: %s = %.10g, simplex %.10g", k, q.name, q.got, q.want)
				}
			}
			done++
		})
	}
	if done < 50 {
		t.Errorf("simplex gave up on %d of 60 cases; too few were compared", 60-done)
	}
	t.Logf("%d cases, largest difference %.2g mm", done, worst)
}

// The worst move is compared with the farthest point of a dense walk round the
// rim of the pose set: 3600 steps leave a relative error below (pi/3600)^2/2.
func TestPinWorstAgainstWalk(t *testing.T) {
	const steps, relative = 3600, 4e-7
	r := rand.New(rand.NewPCG(3, 9))
	for k := range 200 {
		p := PinPair{
			Round: vec(100*r.Float64(), 100*r.Float64()), Slot: vec(400*r.Float64(), -100*r.Float64()),
			RoundClearance: 0.1 * r.Float64(), SlotClearance: 0.1 * r.Float64(),
		}
		at := vec(800*r.Float64()-200, 200*r.Float64()-100)
		switch k % 5 { // the special places: on the pin line, on the pins
		case 1:
			at = p.Round.Lerp(p.Slot, 3*r.Float64()-1)
		case 2:
			at = p.Slot
		case 3:
			p.RoundClearance = 0
		case 4:
			at = p.Round
		}
		f, err := p.Float([]geom.Vec{at})
		if err != nil {
			t.Fatal(err)
		}
		e := p.Slot.Sub(p.Round).Unit()
		far := 0.0
		for i := range steps {
			d := geom.Polar(p.RoundClearance/2, 2*math.Pi*float64(i)/steps)
			for _, s := range []float64{-p.SlotClearance / 2, p.SlotClearance / 2} {
				// Move of the round pin d in the pin line's frame, slot across s.
				theta := (s - d.Y) / p.Slot.Dist(p.Round)
				at0 := e.Scale(d.X).Add(e.Left().Scale(d.Y))
				far = math.Max(far, at0.Add(at.Sub(p.Round).Left().Scale(theta)).Norm())
			}
		}
		if got := f.At[0].Worst; got < far*(1-1e-12) || got > far*(1+relative)+1e-15 {
			t.Errorf("case %d: worst %.12g, walk %.12g", k, got, far)
		}
	}
}

// In series, the farthest point is compared with every vertex of the nest's pose
// set joined with a dense walk round the pins' set.
func TestSeriesAgainstWalk(t *testing.T) {
	const steps, relative = 1800, 2e-6
	r := rand.New(rand.NewPCG(5, 5))
	for k := range 40 {
		n := randomNest(r)
		p := PinPair{vec(-20, 60), vec(500, -60+20*r.Float64()), 0.1 * r.Float64(), 0.1 * r.Float64()}
		at := vec(600*r.Float64(), 60*r.Float64()-30)
		got, err := SeatFloat(p, &n, []geom.Vec{at})
		if err != nil {
			t.Fatal(err)
		}
		ns, _ := n.seat()
		fp, _ := p.Float([]geom.Vec{at})
		fn, _ := n.Float([]geom.Vec{at})
		e := p.Slot.Sub(p.Round).Unit()
		far := 0.0
		for i := range steps {
			d := geom.Polar(p.RoundClearance/2, 2*math.Pi*float64(i)/steps)
			for _, s := range []float64{-p.SlotClearance / 2, p.SlotClearance / 2} {
				theta := (s - d.Y) / p.Slot.Dist(p.Round)
				m := e.Scale(d.X).Add(e.Left().Scale(d.Y)).Add(at.Sub(p.Round).Left().Scale(theta))
				for _, q := range ns.poses {
					far = math.Max(far, m.Add(q.Motion(at)).Norm())
				}
			}
		}
		m := got.At[0]
		if m.Worst < far*(1-2*WorstTolerance) || m.Worst > far*(1+relative) {
			t.Errorf("case %d: worst %.10g, walk %.10g", k, m.Worst, far)
		}
		if want := fp.At[0].Along + fn.At[0].Along; math.Abs(m.Along-want) > 1e-12 {
			t.Errorf("case %d: along %.12g, sum of both %.12g", k, m.Along, want)
		}
		if want := fp.ThetaMax + fn.ThetaMax; got.ThetaMax != want {
			t.Errorf("case %d: theta %g, sum of both %g", k, got.ThetaMax, want)
		}
	}
}
