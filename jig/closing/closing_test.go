package closing

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/beam"
	"reseat/jig/sourced"
)

func near(got, want, rel float64) bool { return math.Abs(got-want) <= rel*math.Abs(want) }

// ply is a plywood caul over a fingerboard on a neck, no pad between.
func ply(height float64) Caul {
	m, _ := beam.Lookup("plywood")
	return Caul{478, height, m, []Layer{{"board", 6.5, 1858}, {"neck", 26, 1858}}}
}

func fingerboard() Joint {
	return Joint{LengthMM: 478, WidthMM: 48.25, ThicknessMM: 6.5, Board: beam.Hardwood,
		Pressure: sourced.Value{Least: 0.689476, Most: 2.068427, Unit: "MPa", Mark: sourced.Web, Source: "psi"}}
}

// By hand: bed 1858/32.5 = 57.169 N/mm3; E I of a strip 6860 x 18^3/12 = 3 333 960; lambda =
// (57.169/13 335 840)^(1/4) = 0.045503 per mm. Midway between clamps a third is left at lambda
// s = 3.85 (u = 1.925: cosh sin + sinh cos = 3.5007 x 0.93792 - 3.3548 x 0.34686 = 2.1198; by u
// 4.0806; by sinh2 + sin2 = 12.134 gives 0.336), 84.6 mm. Six clamps stand 84.35 mm apart,
// and in the end bays a little less is left than midway: seven, or a caul of 18.3 mm.
func TestCaulByHand(t *testing.T) {
	c := ply(18)
	if root := c.bedded().Root(); !near(root, 0.045503, 1e-4) {
		t.Errorf("lambda %g", root)
	}
	at, spacing := c.Places(6)
	if !near(spacing, 84.353, 1e-4) || !near(at[0], 28.118, 1e-4) || !near(at[5], 449.882, 1e-4) {
		t.Errorf("places %v, %g apart", at, spacing)
	}
	if n := c.Clamps(); n != 7 {
		t.Errorf("%d clamps, want 7", n)
	}
	if h := c.LeastHeight(6); !(h > 18.1 && h < 18.4) {
		t.Errorf("%g mm high", h)
	}
	if got := Cone(25, 24.5); got != 74 {
		t.Errorf("cone %g", got)
	}
	if r, off := Hollow(350, 2, 55); r != 352 || !near(off, 1.0820, 1e-4) {
		t.Errorf("hollow %g, off %g", r, off)
	}
}

// At half a spacing from the ends the caul lifts off there while the middle holds a third; at a
// third of it the ends hold about as much.
func TestEndsLiftOff(t *testing.T) {
	b := ply(18).bedded()
	for share, low := range map[float64]bool{0.5: true, endShare: false} {
		s := 3.85 / b.Root()
		b.LengthMM = s * (5 + 2*share)
		var loads []beam.Load
		for i := range 6 {
			loads = append(loads, beam.Load{AtMM: s * (share + float64(i)), ForceN: s})
		}
		end := b.Under(loads, []float64{0})[0]
		if low != (end < 0) || !low && end < LeastShare {
			t.Errorf("share %g: %g at the end", share, end)
		}
	}
}

func TestCaulProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := ply(rapid.Float64Range(4, 60).Draw(t, "height"))
		c.LengthMM = rapid.Float64Range(150, 800).Draw(t, "length")
		n := c.Clamps()
		if n == 0 {
			t.Fatalf("no number of clamps is enough for %+v", c)
		}
		if least, most := c.Pressure(n); least < LeastShare || most < 1 || least > 1 {
			t.Fatalf("%d clamps: %g to %g", n, least, most)
		}
		higher, padded := c, c
		higher.HeightMM *= 1.5
		padded.Under = append([]Layer{{"cork", 2, CorkMPa}}, c.Under...)
		if higher.Clamps() > n || padded.Clamps() > n {
			t.Fatalf("%d clamps; higher %d, on cork %d", n, higher.Clamps(), padded.Clamps())
		}
		h := c.LeastHeight(n)
		if c.HeightMM = h; c.Clamps() > n || h > higher.HeightMM {
			t.Fatalf("%g mm for %d clamps takes %d", h, n, c.Clamps())
		}
		// Stress grows with the clamps' force as they do.
		if a, b := c.Stress(n, 1000, 50), c.Stress(n, 2000, 50); !near(b, 2*a, 1e-9) || a <= 0 {
			t.Fatalf("stress %g and %g", a, b)
		}
	})
}

// By hand, on 478 x 48.25 = 23063.5 mm2. Handbook: 0.689476 x 23063.5 = 15902 N, eight clamps of
// 2 kN, 0.69375 MPa. A glass rod 5 mm thick in 600 mm of room: I = 30.680 mm4, E I = 632 000; 618
// long; Euler's load 16.33 N, 1.5 % more as bent; 19 x 1 of them, 16.6 N each. Weights of 30 kg:
// 294.2 N, 0.012756 MPa or 1.85 %.
func TestWays(t *testing.T) {
	j := fingerboard()
	rod := Bar{Material: beam.GlassRod, DiameterMM: 5, RoomMM: 600}
	for _, c := range []struct {
		name                  string
		got                   Clamping
		count                 int
		each, pressure, share float64
		reaches               bool
		verdict               string
	}{
		{"clamps", j.Clamps(2000, 6), 8, 2000, 0.69375, 1.0062, true, "reaches the minimum pressure"},
		{"more for the caul", j.Clamps(2000, 10), 10, 2000, 0.86717, 1.2577, true, "reaches the minimum pressure"},
		{"small clamps, as many as fit", j.Clamps(300, 6), 12, 300, 0.15609, 0.22639, false,
			"reaches 23 % of the minimum pressure"},
		{"bars", j.Bars(rod), 19, 16.59, 0.013665, 0.01982, false, "reaches 2 % of the minimum pressure"},
		{"weights", j.Weights(30), 1, 294.2, 0.012756, 0.018501, false, "reaches 1.9 % of the minimum pressure"},
	} {
		w := c.got
		if w.Count != c.count || !near(w.EachN, c.each, 2e-3) || !near(w.PressureMPa, c.pressure, 2e-3) ||
			!near(w.Share, c.share, 2e-3) || w.Reaches != c.reaches || w.Verdict() != c.verdict {
			t.Errorf("%s: %+v, %s", c.name, w, w.Verdict())
		}
		if (w.Lost() == "") != w.Reaches || !w.Reaches && !strings.Contains(w.Lost(), "(web)") {
			t.Errorf("%s: %q", c.name, w.Lost())
		}
	}
	if !rod.Holds() || (Bar{beam.GlassRod, 25, 600}).Holds() {
		t.Error("a thin rod may be bent by 3 %, one of 25 mm not")
	}
	// 20 Pa s x 48.25^2 / (2e6 x 0.69375) x (100 - 34.602) = 2.1946 s; 5 x 0.69375 x 48.25^4 / (32 x
	// 1858 x 274.625) = 1.1515 mm.
	if w := j.Clamps(2000, 6); !near(w.FilmS, 2.1946, 1e-3) || !near(w.CupMM, 1.1515, 1e-3) {
		t.Errorf("film %g s, cup %g mm", w.FilmS, w.CupMM)
	}
}

// A film is squeezed step by step: each as Reynolds' pressure says, its parabola summed over the
// width.
func TestFilmSqueezed(t *testing.T) {
	const p, eta, w = 0.05, 10.0, 48.25
	j := fingerboard()
	j.ViscosityPaS = eta
	meanPerSpeed := func(h float64) (sum float64) { // MPa per mm/s
		const n = 2000
		for i := range n {
			x := (float64(i)+0.5)/n*w - w/2
			sum += 6 * eta / (h * h * h) * (w*w/4 - x*x) * 1e-6 / n
		}
		return sum
	}
	s, h, dt := 0.0, thickFilmMM, 0.005
	unit := meanPerSpeed(1)
	for h > bestFilmMM {
		h -= p / unit * h * h * h * dt
		s += dt
	}
	if got := j.filmS(p); !near(got, s, 2e-3) {
		t.Errorf("%g s, squeezed %g", got, s)
	}
}

func TestMoreForceClosesMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := fingerboard()
		j.WidthMM = rapid.Float64Range(20, 80).Draw(t, "width")
		f := rapid.Float64Range(50, 3000).Draw(t, "force")
		even := rapid.IntRange(1, 12).Draw(t, "even")
		a, b := j.Weights(f/9), j.Weights(f/8)
		if !(b.Share > a.Share && b.FilmS < a.FilmS && b.CupMM > a.CupMM) {
			t.Fatalf("%+v, %+v", a, b)
		}
		if w := j.Clamps(f, even); w.Count < even || !w.Reaches && float64(w.Count)*clampRoomMM < j.LengthMM-clampRoomMM {
			t.Fatalf("%+v: more would fit", w)
		}
	})
}
