package dowel

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/fit"
)

// Letters of the classes that are looked at: clearance holes, and for a press
// fit holes under the nominal size.
var (
	looseLetters = []string{"H", "G", "F", "E", "D"}
	pressLetters = []string{"K", "M", "N", "P", "R", "S"}
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
	if h7, ok := r.customary(); ok && best <= fit.IT7 {
		out = append(out, h7)
	}
	near := false // a class serves that is not looser than it need be
	for g := best; g <= last; g++ {
		for _, letter := range letters {
			cl := fit.Class{Letters: letter, Grade: g}
			l, err := fit.ClassLimits(r.Pin.NominalMM, cl)
			if err != nil {
				continue // not defined at this size
			}
			c := r.open(l, cl.String())
			near = near || c.meets && r.excess(c) <= classExcessMM+edgeMM
			out = append(out, c)
		}
	}
	if !near {
		if c, ok := r.oversize(best); ok {
			out = append(out, c)
		}
	}
	return out
}

// customary is the reamed H7 hole that an m6 pin is pressed into in metal: the pair
// that pins are sold for (m6 pin into reamed H7: a technical handbook's page
// on parallel pins). It is a transition fit, so not every pin sits tight.
func (r Request) customary() (candidate, bool) {
	if r.Purpose != Press || r.Slot || r.Pin.Class != "m6" || r.family() != fit.Metal {
		return candidate{}, false
	}
	l, err := fit.ClassLimits(r.Pin.NominalMM, fit.Class{Letters: "H", Grade: fit.IT7})
	if err != nil {
		return candidate{}, false
	}
	c := r.open(l, "H7")
	c.meets = true
	c.Holds = c.DrawnMM >= r.Process.SmallestHole
	c.Explain = slices.Concat([]string{
		fmt.Sprintf("H7, %.3f to %.3f mm: the reamed hole that an m6 pin is made for, %.3f mm of interference to %.3f mm of play", c.MinMM, c.MaxMM, -c.ClearanceMinMM, c.ClearanceMaxMM),
		fmt.Sprintf("%.0f %% of pins sit tight; for one that turns by hand use retaining compound or another pin", 100*(1-c.Odds)),
	}, c.Explain[1:], []string{"reamer to buy: " + c.Reamer.Buy[0]})
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
func (r Request) oversize(g fit.Grade) (candidate, bool) {
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
	return r.open(l, plain), true
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

// open finishes an opening to limits (um from the nominal size).
func (r Request) open(l fit.Limits, class string) candidate {
	size := r.Pin.NominalMM
	c := candidate{}
	c.Class, c.MinMM, c.MaxMM = class, size+l.Lower/1000, size+l.Upper/1000
	if class == plain {
		c.Within = within(size, c.MinMM, c.MaxMM)
	}
	c.MeanMM, c.SDMM = (c.MinMM+c.MaxMM)/2, (c.MaxMM-c.MinMM)/2/fit.Normal95
	drawn := roundDown(math.Min(size, c.MinMM)-r.stock(), targetStepMM)
	how := "ream"
	if r.Slot {
		how = "mill or file to a gauge"
	} else {
		m := reamerFor(size, l, class)
		c.Reamer = &m
		// A routed hole is round and near enough for the reamer to follow at once.
		if d, err := PreReam(c.MinMM, r.Material); err == nil && r.Process.Kind != fit.Router {
			c.PreDrill = &d
			if d.Metric != nil {
				drawn = math.Min(drawn, d.Metric.DiameterMM)
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
	c.Steps = r.openSteps(c)
	c.Explain = r.openExplain(c)
	return c
}

func (r Request) openSteps(c candidate) []string {
	p := r.Process
	var s []string
	switch p.Kind {
	case fit.Laser, fit.Print, fit.Router:
		verb := map[fit.ProcessKind]string{fit.Laser: "Cut", fit.Print: "Print", fit.Router: "Bore"}[p.Kind]
		s = append(s, fmt.Sprintf("%s the %s %.2f mm, under size, so that the next tool cleans it all round.", verb, r.what(), c.DrawnMM))
	}
	if r.Slot {
		if len(s) == 0 {
			s = append(s, fmt.Sprintf("Drill both ends of the slot %.1f mm or the next drill under, and saw between them.", c.DrawnMM))
		}
		s = append(s,
			fmt.Sprintf("Open it to %.3f to %.3f mm across: an end mill a little under size with a fence along the slot, or a file; a slot cannot be reamed.", c.MinMM, c.MaxMM),
			"Stop as soon as the pin itself slides through as a go gauge without play across.")
		return append(s, fmt.Sprintf("Break the edges %.1f mm.", c.ChamferMM))
	}
	if d := c.PreDrill; d != nil {
		s = append(s, "Drill "+drills(d, r.Pin.Inch(), c.DrawnMM)+" through, plate clamped on scrap, square to the face"+acrylicNote(r.family())+".")
	}
	s = append(s,
		fmt.Sprintf("Ream through to %.3f to %.3f mm with a reamer of %.3f to %.3f mm: %s.", c.MinMM, c.MaxMM, c.Reamer.MinMM, c.Reamer.MaxMM, c.Reamer.Buy[0]),
		fmt.Sprintf("Chamfer both faces %.1f mm by 45 degrees.", c.ChamferMM))
	if r.Purpose == Press {
		return append(s, "Press one pin into scrap first; drive it square.")
	}
	return append(s, "Try every pin: it must go in by hand.")
}

// drills names the drill of each series that still cuts after a first cut, that of
// the pin's own series first.
func drills(d *PreReamSize, inch bool, cut float64) string {
	series := []*DrillSize{d.Metric, d.Inch}
	if inch {
		slices.Reverse(series)
	}
	var names []string
	for _, x := range series {
		if x != nil && x.DiameterMM >= cut-edgeMM {
			names = append(names, x.String())
		}
	}
	if len(names) == 0 {
		return fmt.Sprintf("%.1f mm", cut)
	}
	return strings.Join(names, " or ")
}

// acrylicNote: a drill ground for metal grabs and chips acrylic; common practice,
// no source.
func acrylicNote(f fit.Family) string {
	if f == fit.CastAcrylic || f == fit.ExtrudedAcrylic {
		return ", slowly, the drill's edges stoned blunt so that it does not grab"
	}
	return ""
}

func (r Request) openExplain(c candidate) []string {
	p := r.Process
	out := []string{r.verdict(c)}
	if c.DrawnMM < p.SmallestHole {
		out = append([]string{fmt.Sprintf("%s of %.2f mm is under %.1f mm, the smallest that comes out in %s mm: mark the centre and drill", r.made(p.Kind), c.DrawnMM, p.SmallestHole, short(r.ThicknessMM))}, out...)
	}
	if p.Kind == fit.Laser || p.Kind == fit.Print {
		taper := ""
		if p.TaperMM > 0 {
			taper = fmt.Sprintf(", tapers by %.2f", p.TaperMM)
		}
		out = append(out, fmt.Sprintf("%s comes out to +-%.2f mm%s and holds no such fit: so it is cut %.2f mm under and opened", r.made(p.Kind), p.Spread, taper, r.Pin.NominalMM-c.DrawnMM))
	}
	if s := r.h7Note(c); s != "" {
		out = append(out, s)
	}
	if fit.IsBoard(r.Material) && !r.Slot {
		out = append(out, r.Material+" tears and closes behind a reamer and is seldom reamed: bore it on the router, or prove the reamer in scrap")
	} else if r.family() == fit.Wood {
		out = append(out, r.Material+" closes on the pin and swells in damp air: try the pin again before each use")
	}
	if r.Slot {
		out = append(out, "a slot cannot be reamed: milled or filed it holds about two grades less than a reamed hole")
	} else if len(c.Reamer.Buy) > 0 && c.meets {
		out = append(out, "reamer to buy: "+c.Reamer.Buy[0])
	}
	return out
}

// notFeltMM is an interference that no hand feels and no micrometer tells.
const notFeltMM = 0.001

// h7Note tells that the pin does not slide in the hole that everybody would ream.
func (r Request) h7Note(c candidate) string {
	if r.Purpose == Press || r.Slot || c.Class == "H7" {
		return ""
	}
	l, err := fit.ClassLimits(r.Pin.NominalMM, fit.Class{Letters: "H", Grade: fit.IT7})
	if err != nil {
		return ""
	}
	low, high := r.Pin.NominalMM+l.Lower/1000, r.Pin.NominalMM+l.Upper/1000
	if low >= r.Pin.MaxMM-notFeltMM {
		return ""
	}
	odds := fit.EntryOdds((low+high)/2, (high-low)/2/fit.Normal95, r.Pin.MeanMM(), r.Pin.SDMM)
	return fmt.Sprintf("an H7 hole (%.3f to %+.3f mm to this pin, %.0f %% enter) does not let it slide: take an h6 pin for H7, or the larger reamer", low-r.Pin.MaxMM, high-r.Pin.MinMM, 100*odds)
}
