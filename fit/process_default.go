package fit

import (
	"fmt"
	"math"
	"strings"

	"reseat/jig/sourced"
)

// thickestMM is thicker than any plate, blank or bed that is drilled for pins.
const thickestMM = 150.0

// DefaultProcess gives the figures of a process in a material of a thickness in
// mm, each with its range and source in Assumed. They are a start: a measured coupon
// is better than any of them. The error names the processes that there are, or a
// thickness that would do.
//
// Materials are known by a word in their name (see FamilyOf). Where a source is a
// table, it is one of testdata/reference.
func DefaultProcess(kind ProcessKind, material string, thicknessMM float64) (Process, error) {
	if math.IsNaN(thicknessMM) || thicknessMM <= 0 || thicknessMM > thickestMM {
		return Process{}, fmt.Errorf("thickness is %g mm; want one over 0, up to %g", thicknessMM, thickestMM)
	}
	f := FamilyOf(material)
	switch ProcessKind(strings.ToLower(strings.TrimSpace(string(kind)))) {
	case Drill:
		return drilled(f, material), nil
	case Ream:
		return reamed(f), nil
	case Router:
		return routed(f), nil
	case Laser:
		return lasered(thicknessMM), nil
	case Print:
		return printed(), nil
	}
	var names []string
	for _, k := range ProcessKinds() {
		names = append(names, string(k))
	}
	return Process{}, fmt.Errorf("no process %q; there are %s", kind, strings.Join(names, ", "))
}

func (p *Process) assume(what string, taken, least, most float64, mark sourced.Mark, source string) {
	p.Assumed = append(p.Assumed, Assumption{what, taken,
		sourced.Value{Least: least, Most: most, Unit: "mm", Mark: mark, Source: source}})
}

// closing names the share of its diameter that a drilled hole in a board closes by.
const closing = "share of the diameter that it closes by"

// By punch and press a hole lies this far from its mark, each way.
const punchedMM = 0.15

// drilled: in wood and its boards the drill follows the grain and the wall springs
// back, so the spread is taken wider there.
func drilled(f Family, material string) Process {
	p := Process{Kind: Drill, Bias: 0.05, Spread: 0.06, PositionSpread: punchedMM, SmallestHole: 1, BestGrade: IT10}
	if f == Wood {
		p.Bias, p.Spread, p.BestGrade = 0, 0.08, IT12
	}
	switch b, isBoard := boardOf(material); {
	case isBoard:
		p.Closes = b.closes
		p.assume(closing, b.closes, b.least, b.most, b.mark, b.source)
		p.Assumed[0].Range.Unit = ""
	case f == Wood:
		p.assume("bias", p.Bias, -0.1, 0.1, sourced.Practice, "none found for solid wood")
	default:
		p.assume("bias", p.Bias, 0, 0.1, sourced.Web, "a drill cuts 0.05 mm over its size, eventexam.blogspot.com, "+
			"under-sizes of reaming")
	}
	if f == Wood {
		p.assume("spread +-", p.Spread, 0.024, 0.2, sourced.Practice, "none found for wood")
	} else {
		p.assume("spread +-", p.Spread, 0.024, 0.09, sourced.Web, "drilling holds IT10 to IT13, aksan-tm.com, machining tolerances")
	}
	p.assume("position +-", p.PositionSpread, 0.05, 0.3, sourced.Practice, "by punch and press")
	return p
}

// reamed: a reamer's own limits set the mean, so the bias is nil. No figure was
// found for plastics and wood; they are taken one and two grades coarser.
func reamed(f Family) Process {
	p := Process{Kind: Ream, Spread: 0.005, PositionSpread: punchedMM, SmallestHole: 1, BestGrade: IT7}
	switch f {
	case CastAcrylic, ExtrudedAcrylic, Plastic:
		p.BestGrade, p.Spread = IT8, 0.007
		p.assume("spread +-", p.Spread, 0.005, 0.02, sourced.Practice,
			"a grade coarser than in metal, none found for plastics")
	case Wood:
		p.BestGrade, p.Spread = IT9, 0.012
		p.assume("spread +-", p.Spread, 0.005, 0.05, sourced.Practice,
			"two grades coarser than in metal, none found for wood")
	default:
		p.assume("spread +-", p.Spread, 0.005, 0.01, sourced.Web, "reaming holds IT7 to IT8, madtools.it, precision reaming")
	}
	p.assume("position +-", p.PositionSpread, 0.05, 0.3, sourced.Practice, "by punch and press")
	return p
}

// routed: the lower end of what is stated for an industrial router, since a hole is
// small and is cut in one go.
func routed(f Family) Process {
	p := Process{Kind: Router, Spread: 0.05, PositionSpread: 0.05, SmallestHole: 2.4, BestGrade: IT10}
	if f == Wood {
		p.BestGrade = IT11
	}
	p.assume("bias", 0, -0.1, 0.1, sourced.Practice, "0 until measured")
	p.assume("spread +-", p.Spread, 0.05, 0.5, sourced.Web,
		"an industrial router is stated at 0.05 to 0.2, a hobby machine at 0.2 to 0.5 over a whole part, "+
			"reacdif.pro, CNC tolerance; a coupon measures it")
	p.assume("position +-", p.PositionSpread, 0.05, 0.5, sourced.Web, "the same")
	p.assume("smallest hole", p.SmallestHole, 1.2, 4, sourced.Practice, "1.2 times a 2 mm cutter")
	return p
}

// laserRows are, by thickness of the sheet: the spread that is taken, the tolerance
// of a hole of 3 to 10 mm as a shop states it after ISO 9013 (laser_iso9013.csv,
// +-0.3 also taken beyond its last row), and the taper, the wide side of the kerf less
// the narrow one as a university measured it by loupe on one machine
// (process_tolerance.csv, rows of clear acrylic).
var laserRows = []struct{ upToMM, spread, shop, taper float64 }{
	{3, 0.10, 0.2, 0.3}, {6, 0.15, 0.3, 0.8}, {thickestMM, 0.20, 0.3, 1.5},
}

// The taper of a laser cut is taken to grow with the sheet until mostTaperMM, which
// one shop states without a thickness (web: bigbluesaw.com, laser quality); that 6 mm
// has all of it is common practice, no source.
const (
	mostTaperMM = 0.25
	taperPerMM  = mostTaperMM / 6
)

// lasered: a hole under half the sheet's thickness does not come out.
func lasered(t float64) Process {
	row := laserRows[0]
	for _, r := range laserRows {
		if row = r; t <= r.upToMM {
			break
		}
	}
	p := Process{
		Kind: Laser, Spread: row.spread, PositionSpread: 0.13, TaperMM: math.Min(t*taperPerMM, mostTaperMM),
		SmallestHole: math.Max(0.5, t/2), BestGrade: IT13,
	}
	p.assume("bias", 0, -0.25, 0.25, sourced.Practice, "0 beside the kerf until a coupon measures it")
	p.assume("spread +-", p.Spread, 0.05, row.shop, sourced.Web,
		"0.05 to 0.2, reacdif.pro, CNC tolerance; a shop's limits after ISO 9013, snijlab.nl")
	p.assume("taper", p.TaperMM, 0, row.taper, sourced.Web,
		"a shop states about 0.25, bigbluesaw.com; a university measured several times that on one machine, "+
			"github.com/psu-epl; a coupon measures it")
	p.assume("position +-", p.PositionSpread, 0.05, 0.3, sourced.Web, "a shop's laser quality, bigbluesaw.com")
	p.assume("smallest hole", p.SmallestHole, t/2, 1.5*t, sourced.Web,
		"0.5 to 1.5 times the thickness: cutitout.uk, gosnapcut.com")
	return p
}

// Holes of a print come out small by this much, so none is assumed: a coupon
// tells. It is said wherever a printed hole is.
const (
	ShrinkMM     = 0.5
	ShrinkSource = "0.1 to 0.3 small, layerx3d.in; up to 0.5 on one printer, gilesbathgate.com"
)

func printed() Process {
	p := Process{Kind: Print, Spread: 0.3, PositionSpread: punchedMM, SmallestHole: 2, BestGrade: IT14}
	p.assume("bias", 0, -ShrinkMM, 0, sourced.Web, "none assumed, print a coupon: "+ShrinkSource)
	p.assume("spread +-", p.Spread, 0.05, 0.3, sourced.Web, "0.3 below 100 mm, layerx3d.in")
	p.assume("position +-", p.PositionSpread, 0.05, 0.3, sourced.Practice, "beside the shrinkage")
	p.assume("smallest hole", p.SmallestHole, 1, 3, sourced.Practice, "none found")
	return p
}
