package height

import (
	"math"
	"slices"
	"strconv"
)

// impossible marks the touches that no board could give, with what was meant.
func (s *Spec) impossible(all []Touch) {
	var feelers, heights []float64
	for _, t := range all {
		if t.FeelerMM > 0 {
			feelers = append(feelers, t.FeelerMM)
		}
	}
	slices.Sort(feelers)
	for i := range all {
		t := &all[i]
		if others := without(feelers, t.FeelerMM); others.isDecimalSlip(t.FeelerMM) {
			t.Fault, t.MeantMM = Slip, t.FeelerMM
			for math.Abs(math.Log10(t.MeantMM/others.median())) > 0.5 {
				t.MeantMM *= math.Pow(10, math.Copysign(1, others.median()-t.MeantMM))
			}
		} else if t.FeelerMM > thickMM && s.FeelerErrorMM == 0 {
			t.Fault = Thick
		}
	}
	for _, t := range belonging(all, -1) {
		heights = append(heights, t.ZMM)
	}
	slices.Sort(heights)
	var off []int
	for i, t := range all {
		if t.Fault == "" && len(heights) > 1 && math.Abs(t.ZMM-without(heights, t.ZMM).median()) > unevenMM {
			off = append(off, i)
		}
	}
	for _, i := range off {
		all[i].Fault = Far
	}
	rest := belonging(all, -1)
	if len(rest) == 0 {
		return
	}
	for _, i := range off[:min(len(off), mostGuessed)] {
		at := beside(rest, all[i].UMM)
		if s.BedMM > 0 && all[i].ZMM < at-s.BedMM {
			all[i].Fault = Below
		}
		all[i].MeantMM = s.meant(all[i], at)
	}
}

// mostGuessed is how many guesses a reader takes in.
const mostGuessed = 10

// others are numbers in order, one of them left out.
type others struct {
	sorted []float64
	skip   int
}

func without(sorted []float64, v float64) others {
	i, found := slices.BinarySearch(sorted, v)
	if !found {
		i = len(sorted)
	}
	return others{sorted, i}
}

func (o others) count() int {
	if o.skip < len(o.sorted) {
		return len(o.sorted) - 1
	}
	return len(o.sorted)
}

func (o others) at(i int) float64 {
	if i >= o.skip {
		i++
	}
	return o.sorted[i]
}

func (o others) median() float64 { return (o.at((o.count()-1)/2) + o.at(o.count()/2)) / 2 }

// isDecimalSlip reports whether a feeler differs from all others by ten times while they are alike.
func (o others) isDecimalSlip(mm float64) bool {
	const whole = 1 + 1e-9 // rounding
	if mm <= 0 || o.count() == 0 {
		return false
	}
	least, most := o.at(0), o.at(o.count()-1)
	return most < slipFactor*least && (mm*whole >= slipFactor*most || mm*slipFactor <= least*whole)
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
