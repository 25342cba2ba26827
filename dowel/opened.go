package dowel

import (
	"fmt"
	"math"

	"reseat/fit"
)

// Letters of the classes that are looked at: clearance holes, and for a press
// fit holes under the nominal size.
var (
	looseLetters = "HGFED"
	pressLetters = "KMNPRS"
)

// Grades that are looked at for a reamed hole, and how much coarser a slot is:
// it cannot be reamed, an end mill or a file to a go gauge does about two grades
// worse. Common practice, no source.
const (
	coarsestReamed = fit.IT9
	slotCoarser    = 2
	coarsestSlot   = fit.IT11
)

// leastCutMM is what must be left at the widest first cut so that drill and
// reamer clean it up. Common practice, no source.
const leastCutMM = 0.1

// opened lists the openings that are cut under size and then finished: round
// holes by reamer, slots by end mill or file, over all letters and grades.
func (r Request) opened() []candidate {
	finish, err := r.finisher()
	if err != nil {
		return nil
	}
	best, last := finestGrade(r.Pin.NominalMM, finish), coarsestReamed
	if r.Slot {
		best, last = best+slotCoarser, coarsestSlot
	}
	if best > last {
		last = best
	}
	letters := looseLetters
	if r.Purpose == Press {
		letters = pressLetters
	}
	var out []candidate
	if h7, ok := r.customary(finish); ok && best <= fit.IT7 {
		out = append(out, h7)
	}
	near := false // a class serves that is not looser than it need be
	for cl, l := range classes(r.Pin.NominalMM, letters, best, last) {
		c := r.open(finish, l, cl.String())
		near = near || c.meets && r.excess(c) <= classExcessMM+edgeMM
		out = append(out, c)
	}
	if !near {
		if c, ok := r.oversize(finish, best); ok {
			out = append(out, c)
		}
	}
	return out
}

// customary is the reamed H7 hole that an m6 pin is pressed into in metal: the pair
// that pins are sold for (standard: a technical handbook's page on parallel pins,
// blickinsbuch.westermann.de/978-3-7100-2274-6/68). It is a transition fit, so not every pin sits tight.
func (r Request) customary(finish fit.Process) (candidate, bool) {
	if r.Purpose != Press || r.Slot || r.Pin.Class != "m6" || r.family() != fit.Metal {
		return candidate{}, false
	}
	l, err := fit.ClassLimits(r.Pin.NominalMM, fit.Class{Letters: "H", Grade: fit.IT7})
	if err != nil {
		return candidate{}, false
	}
	c := r.open(finish, l, "H7")
	c.meets = true
	c.Holds = c.DrawnMM >= r.Process.SmallestHole
	c.customary = true
	return c, true
}

// finisher is the process that opens the hole.
func (r Request) finisher() (fit.Process, error) {
	if r.Process.Kind == fit.Ream {
		return r.Process, nil
	}
	p, err := fit.DefaultProcess(fit.Ream, r.Material, r.ThicknessMM)
	if err == nil && r.Process.Kind == fit.Print {
		p.BestGrade = max(p.BestGrade, printedReam)
	}
	return p, err
}

// printedReam: a printed wall is ridged, so a reamer leaves it a grade worse than
// sheet. Common practice, no source.
const printedReam = fit.IT9

// finestGrade is the finest grade that a process holds at a size: not finer than
// its best, and as wide as its spread at least.
func finestGrade(size float64, p fit.Process) fit.Grade {
	g := p.BestGrade
	for g < fit.IT16 {
		t, err := fit.Tolerance(size, g)
		if err == nil && t/1000 >= 2*p.Spread-edgeMM {
			break
		}
		g++
	}
	return g
}

// classExcessMM is how much more clearance (or interference) a class may give than
// is wanted before a plain size does better: the classes from H to F lie closer to one
// another at the sizes of pins, so only a pin that is not of its nominal size, such
// as a measured one, gets there. Common practice, no source.
const classExcessMM = 0.02

// excess is how far the closest pin and hole are from what is wanted.
func (r Request) excess(c candidate) float64 {
	if r.Purpose == Press {
		return -c.ClearanceMaxMM
	}
	return c.ClearanceMinMM - r.least()
}

// oversize is the opening for a pin that no class serves well: as much over the
// pin as is wanted, in hundredths, as reamers are sold.
func (r Request) oversize(finish fit.Process, g fit.Grade) (candidate, bool) {
	t, err := fit.Tolerance(r.Pin.NominalMM, g)
	if err != nil {
		return candidate{}, false
	}
	var l fit.Limits
	if r.Purpose == Press {
		l.Upper = (roundDown(r.Pin.MinMM, targetStepMM) - r.Pin.NominalMM) * 1000
		l.Lower = l.Upper - t
	} else {
		l.Lower = (roundUp(r.Pin.MaxMM+r.least(), targetStepMM) - r.Pin.NominalMM) * 1000
		l.Upper = l.Lower + t
	}
	return r.open(finish, l, Plain), true
}

// drawnUnderMM is how much a hole that is opened afterwards is drawn under. Common
// practice, no source.
const drawnUnderMM = 0.3

// stock is how much to draw under: more than that when the widest first cut would
// leave too little.
func (r Request) stock() float64 {
	p := r.Process
	return math.Max(drawnUnderMM, roundUp(math.Max(0, p.Bias)+p.HalfWidth()+leastCutMM, clearStepMM))
}

// worksOdds is how often a pin must enter the hole of a stock reamer for that to be
// offered first: two pins that locate then both enter in nineteen of twenty. Common
// practice, no source.
const worksOdds = 0.98

// An Offer is another pin, for which the stock H7 reamer serves.
type Offer struct {
	Pin            string  `json:"pin"`      // "6 h6 pins of ground rod"
	Standard       string  `json:"standard"` // of the pin, as Lookup takes them
	Class          string  `json:"class"`
	Reamer         string  `json:"reamer"`
	ClearanceMinMM float64 `json:"clearance_min_mm"` // of an H7 hole
	ClearanceMaxMM float64 `json:"clearance_max_mm"`
	Odds           float64 `json:"odds"` // that it enters the hole that this reamer makes
}

// offered are the pins that go with a stock reamer, the tightest first.
var offered = []struct{ standard, class, of string }{
	{rod, "h6", "of ground rod"}, {iso2338, "h8", "by ISO 2338"}, {rod, "g6", "of ground rod"},
}

// offer finds the pin that spares a candidate's special reamer; nil when there is none, or
// nothing to spare.
func (r Request) offer(c candidate) *Offer {
	lo, hi, h7, ok := stockH7(r.Pin.NominalMM)
	finish, err := r.finisher()
	if !ok || err != nil || c.Reamer == nil || c.Reamer.stock || r.Purpose == Press || r.Pin.IsInch() {
		return nil
	}
	mean, sd := ReamerLimits{MadeMinMM: lo, MadeMaxMM: hi}.Hole(finish)
	for _, k := range offered {
		p, err := Lookup(k.standard, r.Pin.NominalMM, k.class)
		if err != nil {
			continue
		}
		with := r
		with.Pin = p
		low, high := p.NominalMM+h7.Lower/1000, p.NominalMM+h7.Upper/1000
		odds := fit.EntryOdds(mean, sd, p.MeanMM(), p.SDMM)
		if odds >= worksOdds && with.meets(low, high) {
			return &Offer{
				Pin:      short(p.NominalMM) + " " + k.class + " pins " + k.of,
				Standard: k.standard, Class: k.class, Reamer: stockName(lo, hi),
				ClearanceMinMM: low - p.MaxMM, ClearanceMaxMM: high - p.MinMM, Odds: odds,
			}
		}
	}
	return nil
}

// open finishes an opening to limits (um from the nominal size).
func (r Request) open(finish fit.Process, l fit.Limits, class string) candidate {
	size := r.Pin.NominalMM
	c := candidate{}
	c.Class, c.MinMM, c.MaxMM = class, size+l.Lower/1000, size+l.Upper/1000
	c.MeanMM, c.SDMM = (c.MinMM+c.MaxMM)/2, (c.MaxMM-c.MinMM)/2/fit.Normal95
	drawn := roundDown(math.Min(size, c.MinMM)-r.stock(), targetStepMM)
	how := "ream"
	if r.Slot {
		how = "mill or file to a gauge"
	} else {
		m := reamerFor(size, l, class, func(m ReamerLimits) bool {
			mean, sd := m.Hole(finish)
			return r.Purpose == Press || fit.EntryOdds(mean, sd, r.Pin.MeanMM(), r.Pin.SDMM) >= worksOdds
		})
		c.Reamer = &m
		c.MeanMM, c.SDMM = m.Hole(finish)
		// A routed hole is round and near enough for the reamer to follow at once.
		if d, err := PreReam(c.MinMM, r.Material); err == nil && r.Process.Kind != fit.Router {
			c.PreDrill = &d
			first := d.UpToMM
			if bit := d.Drill(r.Pin.IsInch()); bit != nil {
				first = bit.DiameterMM
			}
			if drawn = math.Min(drawn, first); r.Process.Kind == fit.Ream {
				drawn = first
			}
		}
	}
	c.DrawnMM = math.Max(size/2, drawn)
	c.meets = r.meets(c.MinMM, c.MaxMM)
	c.Holds = c.meets && c.DrawnMM >= r.Process.SmallestHole
	c.ChamferMM = chamfer(size)
	first := r.Process.Kind
	if first == fit.Ream {
		first = fit.Drill
	}
	c.Made = fmt.Sprintf("%s, then %s", first, how)
	r.rate(&c)
	return c
}
