package fit

import (
	"fmt"
	"math"
)

// defaultProcess holds the figures of DefaultProcess.
//
// Shared sources, testdata/reference/process_tolerance.csv: drilling and milling
// IT10 to IT13, reaming IT6 to IT10, laser cutting +/-0.05 to 0.2, router +/-0.05 to
// 0.2 (industrial) and +/-0.2 to 0.5 (hobby), prints +/-0.3 below 100 mm.
func defaultProcess(kind ProcessKind, family Family, t float64) (Process, error) {
	switch kind {
	case Drill:
		return Process{
			Kind: Drill, Bias: 0.05, Spread: 0.05, PositionSpread: 0.10, SmallestHole: 1, Stock: 0.2, MinGrade: IT10,
			Range:  "IT10 to IT13 (at 6 mm: 0.05 to 0.18 wide)",
			Source: "drilling IT10-IT13 and 0.05 mm drill oversize, found; position: common practice, no source",
		}, nil
	case Ream:
		p := Process{
			Kind: Ream, Spread: 0.009, PositionSpread: 0.10, SmallestHole: 1, Stock: 0.2, MinGrade: IT7,
			Range:  "IT6 to IT10 (at 6 mm: 0.008 to 0.05 wide)",
			Source: "reaming IT7-IT8, found; position: common practice, no source",
		}
		if family.Woody() {
			p.Spread, p.MinGrade = 0.024, IT10
			p.Source = "reaming IT6-IT10, found; IT10 in wood since it closes behind the tool: common practice, no source"
		}
		return p, nil
	case Router:
		return Process{
			Kind: Router, Spread: 0.06, PositionSpread: 0.05, SmallestHole: 2, Stock: 0.1, MinGrade: IT10,
			Range:  "IT10 to IT13; a small router +/-0.05 to 0.5, so bore a coupon",
			Source: "milling IT10-IT13 and router +/-0.05-0.2, found; the middle of IT12 at 6 mm taken",
		}, nil
	case Laser:
		taper := laserLean * t
		return Process{
			Kind: Laser, Spread: 0.10, PositionSpread: 0.13, TaperMM: taper, SmallestHole: math.Max(0.5, t/2),
			Stock: laserStock(0.10, taper), MinGrade: IT12,
			Range:  "+/-0.05 to 0.25 on the diameter; taper about 0.25 on the diameter of a 6 mm plate",
			Source: "laser cutting +/-0.05-0.2, position 0.13, hole over half the thickness, found",
		}, nil
	case Print:
		return Process{
			Kind: Print, Spread: 0.30, PositionSpread: 0.30, SmallestHole: 2, Stock: 0.3, MinGrade: IT14,
			Range:  "holes come out 0.1 to 0.6 under; no bias is assumed, print a coupon",
			Source: "FDM +/-0.3 below 100 mm, found; no default bias is right",
		}, nil
	}
	return Process{}, &ProcessError{string(kind), fmt.Sprintf("is not known; known are %s, %s, %s, %s and %s", Laser, Router, Drill, Ream, Print)}
}

// laserLean is the lean of a laser's wall, mm per side and mm of thickness: an edge
// taper of about 0.25 mm (found, a cutting service's notes on quality) read as on the
// diameter of a 6 mm plate.
const laserLean = 0.02

// laserStock is how much under a laser hole is drawn when it is opened afterwards:
// 0.3 mm (found advice), or what keeps the widest raw hole 0.05 mm under, whichever
// is more, in steps of 0.05 mm.
func laserStock(spread, taper float64) float64 {
	need := spread + taper + 0.05
	return math.Max(0.3, math.Ceil(need/0.05-stepSlack)*0.05)
}

// stepSlack forgives the rounding of a quotient that is a whole number of steps.
const stepSlack = 1e-9
