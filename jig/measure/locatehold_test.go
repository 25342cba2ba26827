package measure

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
	"reseat/jig/reading"
)

// heldMM is what an accuracy of 0.1 mm leaves beside two moves of 0.03: sqrt(0.01 - 0.0018).
const heldMM, accuracyMM = 0.0905539, 0.1

// heldShares measures boards of which one mark lies off by wrong, in a direction by chance or, with
// hidden, across; it returns the shares that are called good, and good with a place out.
func heldShares(t *testing.T, marks []string, noise, wrong float64, hidden bool) (good, bad float64) {
	s := locating(geom.Rigid{Angle: math.Pi / 2}, fretDots())
	s.At, s.MarkErrorMM = []geom.Vec{vec(20, -6), vec(470, 0)}, 0.03
	r := rand.New(rand.NewPCG(12, uint64(len(marks))))
	n := boards()
	for range n {
		move := geom.Rigid{Angle: 0.003 * r.NormFloat64(), Shift: vec(r.NormFloat64(), r.NormFloat64())}
		readings := measure(s, move, r, noise, marks...)
		off := geom.Rigid{Angle: 2 * math.Pi * r.Float64()}.Apply(vec(wrong, 0))
		odd := r.IntN(len(readings))
		if hidden { // the last mark across: the far end follows it most
			odd, off = len(readings)-1, vec(wrong, 0)
		}
		readings[odd].At = readings[odd].At.Add(off)
		l, err := Locate(readings, s)
		if err != nil {
			t.Fatal(err)
		}
		g := l.Hold.Guarded()
		if l.Outlier != nil || max(g.HalfMM, g.AsideMM) > heldMM {
			continue
		}
		good += 1 / float64(n)
		for _, p := range l.Places {
			if p.Lies.Dist(move.Apply(p.Drawn)) > accuracyMM {
				bad += 1 / float64(n)
				break
			}
		}
	}
	return good, bad
}

// A wrong reading is seldom called good with a place out, of whatever size; good boards of four
// marks and more that are spread over them mostly are.
func TestHoldTables(t *testing.T) {
	four := []string{"peg mark", "dot 5", "dot 9", "dot 15"}
	for _, c := range []struct {
		name         string
		marks        []string
		noise, wrong float64
		hidden       bool
		leastGood    float64
		mostGood     float64
	}{
		{"four marks", four, 0.01, 0, false, 0.9, 1},
		{"four marks, 0.02", four, 0.02, 0, false, 0.5, 1},
		{"all marks, 0.03", namesOf(fretDots()), 0.03, 0, false, 0.6, 1},
		{"two marks", []string{"peg mark", "dot 15"}, 0.01, 0, false, 0, 0},
		{"two marks, one 0.25 off", []string{"peg mark", "dot 15"}, 0.01, 0.25, false, 0, 0},
		{"three marks, one 0.15 off", []string{"peg mark", "dot 9", "dot 15"}, 0.01, 0.15, false, 0, 0.01},
		{"four marks, one 0.1 off", four, 0.02, 0.1, false, 0, 0.2},
		{"four marks, one 0.1 off, hidden", four, 0.02, 0.1, true, 0, 0.2},
		{"four marks, one 0.15 off", four, 0.02, 0.15, false, 0, 0.02},
		{"four marks, one 0.15 off, hidden", four, 0.02, 0.15, true, 0, 0.02},
		{"four marks, one 0.3 off", four, 0.02, 0.3, false, 0, 0.01},
		{"all marks, one 0.15 off, hidden", namesOf(fretDots()), 0.02, 0.15, true, 0, 1},
		{"all marks, one 0.25 off", namesOf(fretDots()), 0.02, 0.25, false, 0, 0.3},
	} {
		good, bad := heldShares(t, c.marks, c.noise, c.wrong, c.hidden)
		t.Logf("%s: called good %.1f %%, wrongly %.2f %%", c.name, 100*good, 100*bad)
		tol := 3 * math.Sqrt(0.025*0.975/float64(boards()))
		if bad > 0.025+tol || good < c.leastGood || good > c.mostGood+1e-9 {
			t.Errorf("%s: called good %.3f, wrongly %.3f", c.name, good, bad)
		}
	}
}

// Whatever reading is added, however wrong: where the pose is held within a limit, no place has
// moved by more than the limit. Four readings of two marks are two marks.
func TestAddedReadingIsHeld(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		s := locating(geom.Rigid{Angle: math.Pi / 2}, fretDots())
		all := namesOf(s.Marks)
		n := rapid.IntRange(3, 7).Draw(t, "marks")
		noise := rapid.Float64Range(0.001, 0.05).Draw(t, "noise")
		readings := measure(s, geom.Rigid{}, r, noise, all[8-n:]...)
		wrong := measure(s, geom.Rigid{}, r, noise, all[rapid.IntRange(0, 7-n).Draw(t, "added")])[0]
		wrong.At = wrong.At.Add(vec(rapid.Float64Range(-0.4, 0.4).Draw(t, "x"), rapid.Float64Range(-0.4, 0.4).Draw(t, "y")))
		before, err := Locate(readings, s)
		if err != nil {
			t.Fatal(err)
		}
		after, err := Locate(append(readings, wrong), s)
		if err != nil {
			t.Skip(err)
		}
		limit := after.Hold.Guarded().AsideMM
		for i, p := range after.Places {
			if d := p.Lies.Dist(before.Places[i].Lies); d > limit {
				t.Fatalf("%.4f mm is told to be the most, and a place moved by %.4f", limit, d)
			}
		}
		two := append(readings[:2:2], readings[:2]...)
		if l, err := Locate(two, s); err != nil || !math.IsInf(l.Hold.Guarded().AsideMM, 1) {
			t.Fatalf("two marks read twice: %+v, %v", l.Hold.Guarded(), err)
		}
	})
}

// Repeats of a mark share where it was made: the intervals know it.
func TestRepeatsCoverage(t *testing.T) {
	s := locating(geom.Rigid{Angle: math.Pi / 2}, fretDots())
	r := rand.New(rand.NewPCG(5, 50))
	held, n := 0, boards()
	for range n {
		var readings []reading.Reading
		for _, m := range measure(s, geom.Rigid{}, r, 0.015, "peg mark", "dot 7", "dot 12 left", "dot 15") {
			for range 4 {
				again := m
				again.At = m.At.Add(vec(0.008*r.NormFloat64(), 0.008*r.NormFloat64()))
				readings = append(readings, again)
			}
		}
		l, err := Locate(readings, s)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(l.AngleRad) <= *l.AngleHalf {
			held++
		}
	}
	covers(t, "angle", held, n)
}
