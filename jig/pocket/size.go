package pocket

import (
	"fmt"
	"math"
	"slices"
)

const (
	// oneMoreOdds is the probability that one more inlay is no larger than
	// OneMoreMM.
	oneMoreOdds = 0.95
	// fewestInlays that a spread is told from.
	fewestInlays = 3
	// micrometerMM is the error of one reading, each way, 95 %: half of the 4 um that
	// ISO 3611 allows a micrometer (recalled, not seen).
	micrometerMM = 0.002
	// visibleGapMM is the gap on the diameter from which a glue line shows. Common
	// practice, no source.
	visibleGapMM = 0.2
)

// Size is the bore and what it follows from, on the diameter, millimetres.
type Size struct {
	Inlays                        int     // measured; 0: the bore was given
	MeanMM, SpreadMM              float64 // mean and standard deviation; SpreadMM 0 with one inlay
	SmallestMM, LargestMM         float64
	OneMoreMM                     float64 // one more inlay is no larger, 95 %; 0: fewer than three
	BoreMM                        float64 // finished
	TightestGapMM, LoosestGapMM   float64 // bore less largest and less smallest inlay
	OneMoreEnters                 float64 // probability that one more enters without a gap; 0: fewer than three
	OneMoreEntersKnown, ByOneMore bool    // ByOneMore: the bore follows OneMoreMM
	How                           string  // a sentence for people
}

// checkInlays refuses readings that cannot be of one batch.
func (f Feature) checkInlays(c *checker, k Cutting) {
	n := len(f.InlaysMM)
	if n > mostInlays {
		c.add(&InputError{c.feature, "number of inlays", float64(n), fmt.Sprintf("at most %d", mostInlays)})
		return
	}
	good := true
	for i, d := range f.InlaysMM {
		good = c.within(fmt.Sprintf("diameter of inlay %d (mm)", i+1), d, smallestMM, largestMM) && good
	}
	if !good || n == 0 {
		return
	}
	m := median(f.InlaysMM)
	for i, d := range f.InlaysMM {
		if math.Abs(d-m) > inlayOffMM {
			c.add(&InlayError{c.feature, i, d, m, inlayOffMM})
		}
	}
	if k.OneMore && n < fewestInlays {
		c.add(&FewInlaysError{c.feature, n, fewestInlays})
	}
}

func median(x []float64) float64 {
	s := slices.Sorted(slices.Values(x))
	n := len(s)
	return (s[(n-1)/2] + s[n/2]) / 2
}

// size chooses the bore. Every measured inlay enters with the glue gap:
//
//	bore = largest + gap
//
// The spread enters by the size that one more inlay of the batch does not exceed
// with 95 %: of n diameters with mean m and standard deviation s
//
//	one more = m + max(t(95 %, n-1) s sqrt(1 + 1/n), 0.002 mm)
//
// (one-sided prediction limit of a normal batch, any textbook of statistics). With
// Cutting.OneMore the bore is max(largest, one more) + gap. The probability that
// one more enters is that of Student's t with n-1 degrees of freedom below
// (bore - m)/(s sqrt(1 + 1/n)), s never under half the micrometer's error.
func (f Feature) size(k Cutting) Size {
	n := len(f.InlaysMM)
	if n == 0 {
		return Size{BoreMM: f.BoreMM, How: "bore as given"}
	}
	z := Size{Inlays: n, SmallestMM: slices.Min(f.InlaysMM), LargestMM: slices.Max(f.InlaysMM)}
	// Sums from the smallest keep the digits of readings that are nearly alike.
	sum := 0.0
	for _, d := range f.InlaysMM {
		sum += d - z.SmallestMM
	}
	z.MeanMM = z.SmallestMM + sum/float64(n)
	squares := 0.0
	for _, d := range f.InlaysMM {
		squares += (d - z.MeanMM) * (d - z.MeanMM)
	}
	if n > 1 {
		z.SpreadMM = math.Sqrt(squares / float64(n-1))
	}
	z.BoreMM = z.LargestMM + k.GlueGapMM
	z.How = fmt.Sprintf("largest of %d inlays, %.3f mm, and a glue gap of %.3f mm", n, z.LargestMM, k.GlueGapMM)
	if n < fewestInlays {
		z.gaps()
		return z
	}
	widen := math.Sqrt(1 + 1/float64(n))
	z.OneMoreMM = z.MeanMM + math.Max(studentLimit(oneMoreOdds, n-1)*z.SpreadMM*widen, micrometerMM)
	if k.OneMore && z.OneMoreMM > z.LargestMM {
		z.ByOneMore = true
		z.BoreMM = z.OneMoreMM + k.GlueGapMM
		z.How = fmt.Sprintf("%d inlays, mean %.3f and s %.3f mm: one more is at most %.3f mm with 95 %%; and a glue gap of %.3f mm", n, z.MeanMM, z.SpreadMM, z.OneMoreMM, k.GlueGapMM)
	}
	s := math.Max(z.SpreadMM, micrometerMM/2)
	z.OneMoreEnters, z.OneMoreEntersKnown = studentCDF((z.BoreMM-z.MeanMM)/(s*widen), n-1), true
	z.gaps()
	return z
}

func (z *Size) gaps() {
	z.TightestGapMM, z.LoosestGapMM = z.BoreMM-z.LargestMM, z.BoreMM-z.SmallestMM
}
