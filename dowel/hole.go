package dowel

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"reseat/fit"
)

// A candidate is a choice with what the ranking and its words need.
type candidate struct {
	Choice
	meets     bool
	customary bool         // the pair that pins are sold for
	direct    *fit.Process // the process that alone makes it; nil: it is opened afterwards
	bit       *DrillSize   // that drills it; nil: another way
}

// ChooseHole picks the hole for a pin: the tightest that the process makes and
// that serves the purpose (for Press the least interference that always holds).
// When the process cannot hold what is wanted, the hole is drawn under and opened
// afterwards; when no hole is suitable, Holds is false and Explain says why.
//
// The error is a *PressError for a press fit that would craze an acrylic plate.
func ChooseHole(r Request) (Choice, error) {
	all := r.ranked()
	return r.explain(all, 0)
}

// RankHoles lists every hole that was looked at: first what ChooseHole takes,
// then the others that serve, tightest first, then those that do not. The error is
// that of ChooseHole.
func RankHoles(r Request) ([]Choice, error) {
	all := r.ranked()
	out := make([]Choice, len(all))
	for i := range all {
		var err error
		out[i], err = r.explain(all, i)
		if err != nil && i == 0 {
			return nil, err
		}
		if err != nil {
			out[i].Holds, out[i].Explain = false, append([]string{err.Error()}, out[i].Explain...)
		}
		out[i].Explain = out[i].Explain[:min(len(out[i].Explain), mostExplain)]
	}
	return out, nil
}

// mostExplain is how many lines of reasons a person reads.
const mostExplain = 5

// explain gives a candidate its words; of the first it says what would be closer.
func (r Request) explain(all []candidate, i int) (Choice, error) {
	c := all[i]
	if c.Class == Plain {
		c.Within = within(r.Pin.NominalMM, c.MinMM, c.MaxMM)
	}
	if c.direct != nil {
		c.Steps, c.Explain = r.directSteps(c), r.explainDirect(c)
	} else {
		c.Stock = r.offer(c)
		c.Steps, c.Explain = r.openSteps(c), r.explainOpened(c)
	}
	var err error
	if r.Purpose == Press {
		err = r.judgePress(&c)
	}
	c.Explain = c.Explain[:min(len(c.Explain), mostExplain)]
	if closer := r.closer(c, all); closer != "" && i == 0 {
		c.Explain = append(slices.Clip(c.Explain[:min(len(c.Explain), mostExplain-1)]), closer)
	}
	return c.Choice, err
}

// prefersDirect reports whether the process finishes the opening itself.
func (r Request) prefersDirect() bool {
	switch {
	case r.Purpose == Clear:
		return true
	case r.Purpose == Press && r.family() != fit.Wood:
		return false // a press fit needs hundredths
	}
	return r.Process.Kind == fit.Router || r.Process.Kind == fit.Drill && !r.Slot
}

// ranked lists all candidates, best first.
func (r Request) ranked() []candidate {
	all := []candidate{r.direct()}
	if r.Purpose != Clear {
		all = append(all, r.opened()...)
	}
	preferDirect := r.prefersDirect()
	rank := func(c candidate) int {
		switch {
		case c.meets && (c.direct != nil) == preferDirect:
			return 0
		case c.meets:
			return 1
		}
		return 2
	}
	sort.SliceStable(all, func(i, j int) bool {
		a, b := all[i], all[j]
		if x, y := rank(a), rank(b); x != y {
			return x < y
		}
		if r.Purpose == Press {
			return a.ClearanceMinMM > b.ClearanceMinMM+edgeMM
		}
		return a.ClearanceMaxMM < b.ClearanceMaxMM-edgeMM
	})
	r.soldFirst(all, rank)
	return all
}

// soldExcessMM is how much more clearance a hole may have whose reamer is sold before
// the tightest one with an adjustable reamer is still preferred. Common practice, no
// source.
const soldExcessMM = 0.02

// soldFirst puts the tightest hole whose reamer is sold before a first one whose
// reamer must be set by hand, when it is as good in rank and hardly looser.
func (r Request) soldFirst(all []candidate, rank func(candidate) int) {
	sold := func(c candidate) bool { return c.Reamer == nil || c.Reamer.Sold }
	if sold(all[0]) || !all[0].meets {
		return
	}
	for i, c := range all {
		more := c.ClearanceMaxMM - all[0].ClearanceMaxMM
		if r.Purpose == Press {
			more = all[0].ClearanceMinMM - c.ClearanceMinMM
		}
		if rank(c) != rank(all[0]) || more > soldExcessMM+edgeMM {
			return
		}
		if sold(c) {
			copy(all[1:i+1], all[:i])
			all[0] = c
			return
		}
	}
}

// judgePress holds a press fit against what the plate bears.
func (r Request) judgePress(c *candidate) error {
	f := r.family()
	switch f {
	case fit.CastAcrylic, fit.ExtrudedAcrylic:
		stress, limit, total, cooling, err := pressStress(f, r.Pin.NominalMM, -c.ClearanceMinMM)
		if err != nil {
			return err
		}
		if stress > cutEdge*limit {
			return &PressError{Material: r.Material, InterferenceMM: total, CoolingMM: cooling, StressMPa: stress,
				CrazingMPa: limit}
		}
		c.Explain = append(c.Explain[:1:1], fmt.Sprintf("hoop stress at the bore %.1f MPa, cooled by %.0f K; the "+
			"long-term crazing limit is %.1f MPa",
			stress, coolingK, limit))
	case fit.Plastic:
		c.Holds = false
		c.Explain = append([]string{fmt.Sprintf("no long-term stress limit of %s is known here, so no press fit can "+
			"be promised: hold the pin in the bed",
			r.Material)}, c.Explain...)
	}
	return nil
}

// closer says what would hold the pin closer than what the named process does; ""
// when nothing does. Boards of fibre and ply are not reamed, they tear and close.
func (r Request) closer(c candidate, all []candidate) string {
	if c.direct == nil || r.Purpose == Clear || r.Purpose == Press || fit.IsBoard(r.Material) {
		return ""
	}
	how := "cut it under and ream"
	if r.Slot {
		how = "cut it under and file to a gauge"
	}
	for _, o := range all {
		if o.meets && o.direct == nil && o.ClearanceMaxMM < c.ClearanceMaxMM-edgeMM {
			return fmt.Sprintf("closer: %s to %s, clearance %.3f to %.3f mm", how, o.Class,
				math.Max(0, o.ClearanceMinMM), o.ClearanceMaxMM)
		}
	}
	return ""
}
