package toolpath

import (
	"fmt"
	"math"
)

// Drilling is how fast a drill turns and sinks.
type Drilling struct {
	RPM       float64
	FeedMMmin float64 // of the drill's way down
	Says      string  // both, each with where it is from
}

// drillBand is a range of drills that one speed is told for.
type drillBand struct {
	fromMM, toMM float64
	speeds       string
	soft, hard   float64 // rpm
}

// drillBands are speeds of twist drills. Source (web): woodiswood.com, "Correct drilling
// speed for different kinds of wood" (testdata/reference/machining.csv).
var drillBands = []drillBand{
	{6.35, 9.525, "1/4 to 3/8 in", 3000, 1500},
	{11.1125, 15.875, "7/16 to 5/8 in", 1500, 750},
}

// turnShare is how far a drill sinks in one turn, in its diameters: 0.1 mm per revolution with one
// of 8 mm. Common practice, no source.
const turnShare = 1.0 / 80

// DrillIn returns speed and feed of a drill. Soft: in a softwood; all else is drilled as
// hardwood. Between and beyond the drills that a speed is told for, the edge moves as fast
// as that of the nearest of them:
//
//	n = n0 d0 / d
//
// but between two ranges no faster than the larger drills turn. Speeds are whole tens.
func DrillIn(diameterMM float64, soft bool) Drilling {
	rpm, mark := 0.0, ""
	kind := "hardwood"
	speed := func(b drillBand) float64 { return b.hard }
	if soft {
		kind, speed = "softwood", func(b drillBand) float64 { return b.soft }
	}
	for i, b := range drillBands {
		source := fmt.Sprintf("woodiswood.com, twist drills of %s in %s", b.speeds, kind)
		last := i == len(drillBands)-1
		switch {
		case diameterMM > b.toMM && !last:
			continue
		case diameterMM > b.toMM:
			rpm, mark = speed(b)*b.toMM/diameterMM, "derived: as fast at the edge as web: "+source
		case diameterMM >= b.fromMM:
			rpm, mark = speed(b), "web: "+source
		case i > 0:
			rpm, mark = speed(b), "derived: no faster than web: "+source
		default:
			rpm, mark = speed(b)*b.fromMM/diameterMM, "derived: as fast at the edge as web: "+source
		}
		break
	}
	d := Drilling{RPM: 10 * math.Floor(rpm/10+ratioTol)}
	d.FeedMMmin = wholeFeed(turnShare * diameterMM * d.RPM)
	d.Says = fmt.Sprintf("Drill: %.0f rpm (%s); %.2g mm per revolution, %.0f mm/min (common practice, no source).",
		d.RPM, mark, turnShare*diameterMM, d.FeedMMmin)
	return d
}
