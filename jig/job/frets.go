package job

import (
	"fmt"
	"math"
	"sort"
)

// FretFromNut returns the distance of fret n from the nut, in the unit of scale,
// for twelve equal-tempered steps to the octave.
//
//	d = scale (1 - 2^(-n/12))
//
// Reference: any fret calculator; testdata/reference/frets_et.csv holds a
// published table for 25 in. n = 0 is the nut itself.
func FretFromNut(scale float64, n int) float64 {
	return scale * (1 - math.Exp2(-float64(n)/12))
}

// stationMM returns how far the dot lies from the nut: midway between its fret
// and the one before.
func (d Dot) stationMM(scale float64) float64 {
	return (FretFromNut(scale, d.Fret-1) + FretFromNut(scale, d.Fret)) / 2
}

// features returns the dot as one or two features; a pair has the left one first.
func (d Dot) features(f *Frets, key string) []Feature {
	one := Feature{
		Name: fmt.Sprintf("dot %d", d.Fret), UMM: d.stationMM(f.ScaleMM),
		BoreMM: f.DotBoreMM, DepthMM: f.DotDepthMM, Side: "top", Inlay: f.DotInlay, Key: key,
	}
	if d.SpreadMM == 0 {
		return []Feature{one}
	}
	left, right := one, one
	left.Name, left.VMM = one.Name+" left", d.SpreadMM/2
	right.Name, right.VMM = one.Name+" right", -d.SpreadMM/2
	return []Feature{left, right}
}

// AllFeatures returns the features of the job and the dots of its frets, by
// station from the start end; at one station the order of the file holds.
func (b Board) AllFeatures() []Feature {
	all := append([]Feature(nil), b.Features...)
	if b.Frets != nil {
		for i, d := range b.Frets.Dots {
			all = append(all, d.features(b.Frets, fmt.Sprintf("board.frets.dots[%d]", i))...)
		}
	}
	sort.SliceStable(all, func(i, k int) bool { return all[i].UMM < all[k].UMM })
	return all
}

// IsUnderside reports whether the feature is cut into the underside.
func (f Feature) IsUnderside() bool { return f.Side == "under" }
