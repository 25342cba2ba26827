package dowel

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

const (
	// readingOffMM: no class of a dowel pin comes near it (rod h11 at 50 mm is
	// 0.16 mm under), so a reading further off is a slip.
	readingOffMM = 0.25
	// micrometerMM is what a workshop micrometer adds to the error of one reading,
	// each way, 95 %: half of the 4 um that ISO 3611 allows (recalled).
	micrometerMM = 0.002
	// mostReadings is more than anyone measures by hand.
	mostReadings = 10000
	// fewestReadings that a spread is told from.
	fewestReadings = 3
)

// Measured gives a pin from micrometer readings of one batch, in mm. With n
// readings of mean m and standard deviation s the limits are the 95 % prediction
// interval of one more pin, never narrower than the micrometer's own error and
// never inside a reading, and given to half a micrometre:
//
//	m +- max(t(97.5 %, n-1) s sqrt(1 + 1/n), 0.002 mm)
//
// One or two readings say nothing of the spread (t(97.5 %, 1) is 12.7): the limits
// are then the readings themselves and the micrometer's error. Measure five.
//
// The error names every reading more than 0.25 mm off the nominal together, or a
// scatter that makes the interval reach further than that.
func Measured(nominalMM float64, readingsMM []float64) (Pin, error) {
	if math.IsNaN(nominalMM) || nominalMM <= 0 || nominalMM > LargestMM {
		return Pin{}, fmt.Errorf("a measured pin of %g mm nominal; want one over 0, up to %g", nominalMM, LargestMM)
	}
	n := len(readingsMM)
	if n == 0 || n > mostReadings {
		return Pin{}, fmt.Errorf("%d micrometer readings; want 1 to %d", n, mostReadings)
	}
	var faults []error
	off := make([]float64, n)
	for i, v := range readingsMM {
		off[i] = v - nominalMM
		if math.IsNaN(off[i]) || math.Abs(off[i]) > readingOffMM {
			faults = append(faults, fmt.Errorf("reading %d, %s mm, is %s mm off the nominal %s; more than %s mm is "+
				"a slip or another pin: measure again",
				i+1, short(v), short(off[i]), short(nominalMM), short(readingOffMM)))
		}
	}
	if err := errors.Join(faults...); err != nil {
		return Pin{}, err
	}
	low, high := slices.Min(off), slices.Max(off)
	mean, half, sd := stat.Mean(off, nil), (high-low)/2+micrometerMM, math.Max((high-low)/2, micrometerMM/2)
	how := fmt.Sprintf("%d of the 3 readings that statistics need: limits are what was read +- %.3f mm for the "+
		"micrometer", n, micrometerMM)
	if n >= fewestReadings {
		s := stat.StdDev(off, nil)
		k := distuv.StudentsT{Sigma: 1, Nu: float64(n - 1)}.Quantile(0.975) * math.Sqrt(1+1/float64(n))
		half, sd = math.Max(k*s, micrometerMM), math.Max(s, micrometerMM/2)
		if half > readingOffMM {
			return Pin{}, fmt.Errorf("the readings scatter by a standard deviation of %.3f mm, so that one more pin "+
				"could be %.2f mm off: "+
				"these pins are not of one batch, or a reading is a slip; sort them, measure again", s, half)
		}
		how = fmt.Sprintf("%d readings, mean %.4f, s %.4f mm: limits mean +- %.2f s (95 %% for one more pin), at "+
			"least +- %.3f mm",
			n, nominalMM+mean, s, k, micrometerMM)
	}
	return Pin{
		Standard: measured, NominalMM: nominalMM,
		MinMM: nominalMM + math.Min(toHalfMicron(mean-half), low), MaxMM: nominalMM + math.Max(toHalfMicron(mean+half), high),
		SDMM: sd, Source: how,
	}, nil
}

// toHalfMicron rounds to what a micrometer can tell, half a micrometre, so that no hole
// class is missed for a hundredth of that. Halves go up, those that rounding errors
// have put a hair below too.
func toHalfMicron(mm float64) float64 { return math.Floor(mm*2000+0.5+edgeMM) / 2000 }
