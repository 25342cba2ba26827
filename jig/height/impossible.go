package height

import (
	"math"
	"slices"
	"strconv"
)

// impossible marks the touches that no board could give, with what was meant.
func (s *Spec) impossible(all []Touch) {
	for i := range all {
		t := &all[i]
		if others, is := slip(all, i); is {
			t.Fault, t.MeantMM = Slip, t.FeelerMM
			for math.Abs(math.Log10(t.MeantMM/others)) > 0.5 {
				t.MeantMM *= math.Pow(10, math.Copysign(1, others-t.MeantMM))
			}
		} else if t.FeelerMM > thickMM && s.FeelerErrorMM == 0 {
			t.Fault = Thick
		}
	}
	var off []int
	for i, t := range all {
		if t.Fault != "" {
			continue
		}
		var others []float64
		for _, o := range belonging(all, i) {
			others = append(others, o.ZMM)
		}
		if len(others) > 0 && math.Abs(t.ZMM-median(others)) > unevenMM {
			off = append(off, i)
		}
	}
	for _, i := range off {
		all[i].Fault = Far
	}
	for _, i := range off {
		if rest := belonging(all, i); len(rest) > 0 {
			at := beside(rest, all[i].UMM)
			if s.BedMM > 0 && all[i].ZMM < at-s.BedMM {
				all[i].Fault = Below
			}
			all[i].MeantMM = s.meant(all[i], at)
		}
	}
}

// slip reports a feeler that differs from all others by ten times while they are alike, and the
// others' middle; of two such both.
func slip(all []Touch, i int) (others float64, is bool) {
	var rest []float64
	for k, o := range all {
		if k != i && o.FeelerMM > 0 {
			rest = append(rest, o.FeelerMM)
		}
	}
	const whole = 1 + 1e-9 // rounding
	f := all[i].FeelerMM * whole
	if f <= 0 || len(rest) == 0 || slices.Max(rest) >= slipFactor*slices.Min(rest) {
		return 0, false
	}
	return median(rest), f >= slipFactor*slices.Max(rest) ||
		all[i].FeelerMM*slipFactor <= slices.Min(rest)*whole
}

// beside is the height at a station between the touches beside it, or of the nearest one.
func beside(rest []Touch, stationMM float64) float64 {
	var before, after *Touch
	for i := range rest {
		t := &rest[i]
		if t.UMM <= stationMM && (before == nil || t.UMM > before.UMM) {
			before = t
		}
		if t.UMM >= stationMM && (after == nil || t.UMM < after.UMM) {
			after = t
		}
	}
	switch {
	case before == nil:
		return after.ZMM
	case after == nil || after.UMM == before.UMM:
		return before.ZMM
	}
	return before.ZMM + (after.ZMM-before.ZMM)*(stationMM-before.UMM)/(after.UMM-before.UMM)
}

// meant guesses the Z that was meant when the board lies at a height there: another sign, another
// place of the decimal point, two digits exchanged, or both columns' difference. 0: none comes near.
func (s *Spec) meant(t Touch, atMM float64) float64 {
	const nearMM = 0.5 // of the height by the touches beside it; common practice, no source
	best, least := 0.0, nearMM
	try := func(z float64) {
		if d := math.Abs(t.ZMM - t.WrittenZ + z - atMM); d < least && z != t.WrittenZ {
			best, least = z, d
		}
	}
	for _, by := range []float64{-1, 0.01, 0.1, 10, 100} {
		try(math.Round(t.WrittenZ*by*1e6) / 1e6)
	}
	digits := []byte(strconv.FormatFloat(t.WrittenZ, 'f', -1, 64))
	for i := range digits {
		for k := i + 1; k < len(digits); k++ {
			if digits[i] == '-' || digits[i] == '.' && k > i+1 || digits[k] == '.' && k > i+1 {
				continue // a point moves by one place; a digit changes places with any other
			}
			swapped := slices.Clone(digits)
			swapped[i], swapped[k] = digits[k], digits[i]
			if z, err := strconv.ParseFloat(string(swapped), 64); err == nil {
				try(z)
			}
		}
	}
	return best
}
