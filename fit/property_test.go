package fit

import (
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var holeLetters = strings.Fields(strings.ToUpper(strings.Join(shaftLetters, " ")))

// anySize draws sizes with a weight on the ends of the steps, where a table is read wrong.
func anySize(t *rapid.T) float64 {
	if rapid.Bool().Draw(t, "atEnd") {
		end := rapid.SampledFrom(append([]float64{1}, fineStepTo[:]...)).Draw(t, "end")
		return min(end+rapid.SampledFrom([]float64{-1e-9, 0, 1e-9}).Draw(t, "off"), LargestMM)
	}
	return rapid.Float64Range(0.01, LargestMM).Draw(t, "size")
}

func anyGrade(t *rapid.T) Grade { return Grade(rapid.IntRange(0, gradeCount-1).Draw(t, "grade")) }

// TestWidthIsTolerance: the zone of every defined class is as wide as its grade (the meaning
// of a class, ISO 286-1:2010 3.2.8).
func TestWidthIsTolerance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size, g := anySize(t), anyGrade(t)
		c := Class{rapid.SampledFrom(append(holeLetters, shaftLetters...)).Draw(t, "letters"), g}
		l, err := ClassLimits(size, c)
		if err != nil {
			return
		}
		it, err := Tolerance(size, g)
		if err != nil {
			t.Fatalf("%s at %v has limits and no tolerance: %v", c, size, err)
		}
		if l.Width() != it {
			t.Fatalf("%s at %v: %v is %v wide, want %v", c, size, l, l.Width(), it)
		}
	})
}

// TestMirror: a hole of A to H and JS mirrors the shaft of the same letters and grade.
func TestMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size, g := anySize(t), anyGrade(t)
		i := rapid.IntRange(0, int(letJS)).Draw(t, "letter")
		hole, herr := ClassLimits(size, Class{holeLetters[i], g})
		shaft, serr := ClassLimits(size, Class{shaftLetters[i], g})
		if (herr == nil) != (serr == nil) {
			t.Fatalf("hole: %v, shaft: %v", herr, serr)
		}
		if herr == nil && (hole.Upper != 0-shaft.Lower || hole.Lower != 0-shaft.Upper) {
			t.Fatalf("%s at %v: hole %v, shaft %v", shaftLetters[i], size, hole, shaft)
		}
	})
}

// TestHoleAndShaftBasisGiveOneFit: the delta is made so that a fit on the hole basis and the
// same on the shaft basis are equal: H7/p6 and P7/h6 (ISO 286-1:2010, the reason given for
// delta). Sizes over 3 mm; K, M, N to IT8, P to ZC to IT7. M6 from 250 to 315 mm is the
// table's exception.
func TestHoleAndShaftBasisGiveOneFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := anySize(t)
		i := rapid.IntRange(int(letK), int(letZC)).Draw(t, "letter")
		coarsest := IT7
		if letter(i) <= letN {
			coarsest = IT8
		}
		// k stands off zero from IT4 to IT7 only, so its pairs start at grade 5.
		g := Grade(rapid.IntRange(int(IT5), int(coarsest)).Draw(t, "grade"))
		exception := letter(i) == letM && g == IT6 && size > 250 && size <= 315
		if size <= 3 || exception {
			t.Skip()
		}
		a, err := newFit(size, Class{"H", g}, Class{shaftLetters[i], g - 1})
		if err != nil {
			t.Skip(err)
		}
		b, err := newFit(size, Class{holeLetters[i], g}, Class{"h", g - 1})
		if err != nil {
			t.Fatal(err)
		}
		if a.ClearanceMaxUM != b.ClearanceMaxUM || a.ClearanceMinUM != b.ClearanceMinUM || a.Kind != b.Kind {
			t.Fatalf("%v\n%v", a, b)
		}
	})
}

// TestFitAgainstParts: the clearances of a fit against the four pairs of limit parts, and the
// kind against what those pairs do.
func TestFitAgainstParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := anySize(t)
		hole := Class{rapid.SampledFrom(holeLetters).Draw(t, "hole"), anyGrade(t)}
		shaft := Class{rapid.SampledFrom(shaftLetters).Draw(t, "shaft"), anyGrade(t)}
		f, err := newFit(size, hole, shaft)
		if err != nil {
			return
		}
		loose, tight := 0, 0
		for _, h := range []float64{f.HoleLimits.Upper, f.HoleLimits.Lower} {
			for _, s := range []float64{f.ShaftLimits.Upper, f.ShaftLimits.Lower} {
				c := onGrid(h - s)
				if c > f.ClearanceMaxUM || c < f.ClearanceMinUM {
					t.Fatalf("%v: clearance %v outside", f, c)
				}
				if c > 0 {
					loose++
				}
				if c < 0 {
					tight++
				}
			}
		}
		want := Transition
		switch {
		case tight == 0:
			want = Clearance
		case loose == 0:
			want = Interference
		}
		if f.Kind != want {
			t.Fatalf("%v: want %s", f, want)
		}
	})
}

var nearestNamed = regexp.MustCompile(`the nearest defined class is (\w+)`)

// TestNearestServes: whatever the error of an undefined class names has limits at that size,
// on the same side (hole or shaft).
func TestNearestServes(t *testing.T) {
	for _, letters := range append(holeLetters[:len(holeLetters):len(holeLetters)], shaftLetters...) {
		for g := IT01; g <= IT18; g++ {
			for _, size := range append([]float64{0.5, 1, 1.0001}, fineStepTo[:]...) {
				c := Class{letters, g}
				_, err := ClassLimits(size, c)
				if err == nil {
					continue
				}
				m := nearestNamed.FindStringSubmatch(err.Error())
				if m == nil {
					t.Fatalf("%s at %g: %v", c, size, err)
				}
				nearest, err := ParseClass(m[1])
				if err == nil {
					_, err = ClassLimits(size, nearest)
				}
				if err != nil || nearest.IsHole() != c.IsHole() || nearest == c {
					t.Errorf("%s at %g: nearest %s: %v", c, size, m[1], err)
				}
			}
		}
	}
}
