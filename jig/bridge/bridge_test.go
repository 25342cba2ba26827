package bridge

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"reseat/jig/beam"
	"reseat/jig/geom"
)

func near(got, want, rel float64) bool { return math.Abs(got-want) <= rel*math.Abs(want) }

// fingerboard is 478 long, cut out by a 3 mm end mill with 14 N sideways and 8 N up.
func fingerboard() Spec {
	return Spec{LengthMM: 478, WidthMM: 41.5, ThicknessMM: 6.5, Wood: beam.Hardwood, GapMM: 3, BridgeWidthMM: 6,
		BridgeMM:  3,
		SidewaysN: 13.9, LiftN: 8.03}
}

// By hand, four on each side, 119.5 apart: at 59.75, 179.25, 298.75, 418.25, from the middle 179.25
// and 59.75: sum of squares 71401; share 1/8 + 239 x 179.25/(2 x 71401) = 0.425. Sideways 5.9075 N,
// up 3.41275. Bar 3 x 6: E I 774 x 3 x 216/12 = 41796; d = 5.9075 x 27/(12 x 41796) + 5.9075 x 3/
// (0.8333 x 195 x 18) = 0.00031802 + 0.0060590 = 0.0063770, by the lever 239/179.25 0.0085027. Bar 6 x 3:
// E I 10449; 3.41275 x 27/(12 x 10449) + 3.41275 x 3/2925 = 0.0007349 + 0.0035002 = 0.0042351, by the
// lever 0.0056468. Midway: 8.03 x 119.5^3/(192 x 12205 x 41.5 x 274.625/12) = 0.0061570, and a quarter
// on each of four, 2.0075 x 27/125388 + 2.0075 x 3/2925 = 0.0024912: 0.0086482. Stress 6 x 8.8613/108 +
// 6 x 5.1191/54 + 5.9075/18 = 0.49229 + 0.56879 + 0.32819 = 1.3893, allowed 4.49/2.
func TestByHand(t *testing.T) {
	p, err := Lay(fingerboard())
	if err != nil {
		t.Fatal(err)
	}
	if p.PerSide != 4 || p.At[0] != 59.75 || p.At[3] != 418.25 {
		t.Errorf("%+v", p)
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"share", p.ShareMost, 0.425}, {"side", p.SideMM, 0.0085027}, {"lift", p.LiftMM, 0.0086482},
		{"stress", p.StressMPa, 1.3893},
		{"allowed", p.AllowedMPa, 2.245},
	} {
		if !near(c.got, c.want, 5e-4) {
			t.Errorf("%s: %g, want %g", c.name, c.got, c.want)
		}
	}
	weak := fingerboard()
	weak.BridgeMM = 0.3
	if _, err := Lay(weak); err == nil {
		t.Error("a third of a millimetre holds the part")
	}
}

// The share of the outermost bridge against the stiffness of a rigid part on springs, solved as
// equations.
func TestShareOnSprings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := fingerboard()
		s.LengthMM = rapid.Float64Range(100, 900).Draw(t, "length")
		p := s.with(rapid.IntRange(2, 9).Draw(t, "n"))
		k := mat.NewDense(2, 2, nil) // of the middle's move and the turn
		for _, u := range p.At {
			x := u - s.LengthMM/2
			k.Set(0, 0, k.At(0, 0)+2)
			k.Set(0, 1, k.At(0, 1)+2*x)
			k.Set(1, 0, k.At(1, 0)+2*x)
			k.Set(1, 1, k.At(1, 1)+2*x*x)
		}
		var d mat.VecDense
		if err := d.SolveVec(k, mat.NewVecDense(2, []float64{1, s.LengthMM / 2})); err != nil {
			t.Fatal(err)
		}
		if want := d.AtVec(0) + d.AtVec(1)*(p.At[p.PerSide-1]-s.LengthMM/2); !near(p.ShareMost, want, 1e-9) {
			t.Fatalf("share %g, on springs %g", p.ShareMost, want)
		}
	})
}

// What is laid holds; more force never needs fewer bridges.
func TestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := fingerboard()
		s.BridgeMM, s.SidewaysN = rapid.Float64Range(0.5, 6).Draw(t, "thick"), rapid.Float64Range(1, 80).Draw(t, "force")
		p, err := Lay(s)
		if err == nil && (p.StressMPa > p.AllowedMPa || p.SideMM > mostDeflectionMM || p.LiftMM > mostDeflectionMM ||
			p.ShareMost > 1) {
			t.Fatalf("%+v", p)
		}
		s.SidewaysN *= 1.5
		if q, more := Lay(s); more == nil && (err != nil || q.PerSide < p.PerSide) {
			t.Fatalf("%d bridges, with more force %d", p.PerSide, q.PerSide)
		}
	})
}

// Bridges lie beside the board on either side, as long as the cutter's way is wide.
func TestOutlines(t *testing.T) {
	board := geom.Taper(400, 40, 60)
	got := Outlines(board, []float64{100, 300, 500}, 6)
	if len(got) != 4 { // none beyond the board's end
		t.Fatalf("%d bridges", len(got))
	}
	for i, l := range got {
		box := l.Bounds()
		half := 20 + 10*box.Center().X/400
		if s := box.Size(); math.Abs(s.X-WidthMM) > 1e-9 || math.Abs(s.Y-6) > 1e-9 || l.Area() <= 0 {
			t.Errorf("bridge %d is %v", i, s)
		}
		if near := math.Min(math.Abs(box.Min.Y), math.Abs(box.Max.Y)); math.Abs(near-half) > 1e-6 {
			t.Errorf("bridge %d begins %.4f from the datum line, the board ends at %.4f", i, near, half)
		}
	}
}
