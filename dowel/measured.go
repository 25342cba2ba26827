package dowel

import (
	"errors"
	"fmt"
	"math"
)

// A ReadingError is a micrometer reading that cannot be of the pin.
type ReadingError struct {
	Index                       int // from 0
	ReadingMM, NominalMM, OffMM float64
}

func (e *ReadingError) Error() string {
	if math.IsNaN(e.ReadingMM) || math.IsInf(e.ReadingMM, 0) {
		return fmt.Sprintf("dowel: reading %d is %g; want a length in mm", e.Index+1, e.ReadingMM)
	}
	return fmt.Sprintf("dowel: reading %d, %s mm, is %s mm off the nominal %s; more than %s mm is a slip or another pin: measure again",
		e.Index+1, short(e.ReadingMM), short(e.OffMM), short(e.NominalMM), short(readingOffMM))
}

// A ScatterError is a set of readings that cannot be of one batch.
type ScatterError struct{ SDMM, HalfMM float64 }

func (e *ScatterError) Error() string {
	return fmt.Sprintf("dowel: the readings scatter by a standard deviation of %.3f mm, so that one more pin could be %.2f mm off: these pins are not of one batch, or a reading is a slip; sort them, measure again",
		e.SDMM, e.HalfMM)
}

const (
	// readingOffMM: no class of a dowel pin comes near it (rod h11 at 50 mm is
	// 0.16 mm under), so a reading further off is a slip.
	readingOffMM = 0.25
	// micrometerMM is what a workshop micrometer adds to the error of one reading,
	// each way, 95 %: half of the 4 um that ISO 3611 allows (recalled, not seen).
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
// Every reading more than 0.25 mm off the nominal gives a *ReadingError; all are
// reported together. Readings whose interval reaches further than that give a
// *ScatterError, no readings or a nominal that is none give a *RequestError.
func Measured(nominalMM float64, readingsMM []float64) (Pin, error) {
	if math.IsNaN(nominalMM) || nominalMM <= 0 || nominalMM > largestPinMM {
		return Pin{}, requestFault("a measured pin of %g mm nominal; want one over 0, up to %g", nominalMM, largestPinMM)
	}
	n := len(readingsMM)
	if n == 0 || n > mostReadings {
		return Pin{}, requestFault("%d micrometer readings; want 1 to %d", n, mostReadings)
	}
	var faults []error
	sum := 0.0
	for i, v := range readingsMM {
		off := v - nominalMM
		if math.IsNaN(off) || math.Abs(off) > readingOffMM {
			faults = append(faults, &ReadingError{Index: i, ReadingMM: v, NominalMM: nominalMM, OffMM: off})
		}
		sum += off
	}
	if err := errors.Join(faults...); err != nil {
		return Pin{}, err
	}
	mean := sum / float64(n)
	squares, low, high := 0.0, 0.0, 0.0
	for i, v := range readingsMM {
		off := v - nominalMM
		squares += (off - mean) * (off - mean)
		if i == 0 || off < low {
			low = off
		}
		if i == 0 || off > high {
			high = off
		}
	}
	half, sd := (high-low)/2+micrometerMM, math.Max((high-low)/2, micrometerMM/2)
	how := fmt.Sprintf("%d of the 3 readings that statistics need: limits are what was read +- %.3f mm for the micrometer", n, micrometerMM)
	if n >= fewestReadings {
		s := math.Sqrt(squares / float64(n-1))
		k := student975(n-1) * math.Sqrt(1+1/float64(n))
		half = math.Max(k*s, micrometerMM)
		sd = math.Max(s, micrometerMM/2)
		if half > readingOffMM {
			return Pin{}, &ScatterError{SDMM: s, HalfMM: half}
		}
		how = fmt.Sprintf("%d readings, mean %.4f, s %.4f mm: limits mean +- %.2f s (95 %% for one more pin), at least +- %.3f mm",
			n, nominalMM+mean, s, k, micrometerMM)
	}
	return Pin{
		Standard: measured, NominalMM: nominalMM,
		MinMM: nominalMM + math.Min(tell(mean-half), low), MaxMM: nominalMM + math.Max(tell(mean+half), high),
		SDMM: sd, Source: how,
	}, nil
}

// tell rounds to what a micrometer can tell, half a micrometre, so that no hole
// class is missed for a hundredth of that.
func tell(mm float64) float64 { return math.Round(mm*2000) / 2000 }

// student is the 97.5 % point of Student's t for 1 to 30 degrees of freedom. Any
// table of the distribution; a test integrates the density.
var student = [...]float64{
	12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228,
	2.201, 2.179, 2.160, 2.145, 2.131, 2.120, 2.110, 2.101, 2.093, 2.086,
	2.080, 2.074, 2.069, 2.064, 2.060, 2.056, 2.052, 2.048, 2.045, 2.042,
}

// student975 returns the 97.5 % point for df degrees of freedom; above 30 from the
// normal point z by the first terms of the expansion in 1/df
// (Abramowitz and Stegun 26.7.5, recalled).
func student975(df int) float64 {
	if df <= len(student) {
		return student[df-1]
	}
	const z = 1.959963984540054
	v := float64(df)
	return z + (z*z*z+z)/(4*v) + (5*z*z*z*z*z+16*z*z*z+3*z)/(96*v*v)
}
