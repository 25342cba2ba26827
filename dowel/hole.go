package dowel

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"reseat/fit"
)

// A candidate is a choice with what the ranking needs.
type candidate struct {
	Choice
	direct bool // the process alone makes it
	meets  bool
}

// ChooseHole picks the hole for a pin: the tightest that the process makes and
// that serves the purpose (for Press the least interference that always holds).
// When the process cannot hold what is wanted, the hole is drawn under and opened
// afterwards; when no hole is suitable, Holds is false and Explain says why.
//
// The error is a *PressError for a press fit that would craze an acrylic plate.
func ChooseHole(r Request) (Choice, error) {
	all, err := RankHoles(r)
	if err != nil {
		return Choice{}, err
	}
	return all[0], nil
}

// mostExplain is how many lines of reasons a person reads.
const mostExplain = 5

// RankHoles lists every hole that was looked at: first what ChooseHole takes,
// then the others that serve, tightest first, then those that do not. Errors are
// those of ChooseHole.
func RankHoles(r Request) ([]Choice, error) {
	all := r.ranked()
	out := make([]Choice, len(all))
	for i, c := range all {
		if r.Purpose == Press {
			if err := r.judgePress(&c); err != nil {
				if i == 0 {
					return nil, err
				}
				c.Holds, c.Explain = false, append([]string{err.Error()}, c.Explain...)
			}
		}
		c.Explain = c.Explain[:min(len(c.Explain), mostExplain)]
		if closer := r.closer(c, all); i == 0 && closer != "" {
			c.Explain = append(slices.Clip(c.Explain[:min(len(c.Explain), mostExplain-1)]), closer)
		}
		out[i] = c.Choice
	}
	return out, nil
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
		case c.meets && c.direct == preferDirect:
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
			return &PressError{Material: r.Material, InterferenceMM: total, CoolingMM: cooling, StressMPa: stress, CrazingMPa: limit}
		}
		c.Explain = append(c.Explain[:1:1], fmt.Sprintf("hoop stress at the bore %.1f MPa, cooled by %.0f K; the long-term crazing limit is %.1f MPa",
			stress, coolingK, limit))
	case fit.Plastic:
		c.Holds = false
		c.Explain = append([]string{fmt.Sprintf("no long-term stress limit of %s is known here, so no press fit can be promised: hold the pin in the bed",
			r.Material)}, c.Explain...)
	}
	return nil
}

// closer says what would hold the pin closer than what the named process does; ""
// when nothing does. Boards of fibre and ply are not reamed, they tear and close.
func (r Request) closer(c candidate, all []candidate) string {
	if !c.direct || r.Purpose == Clear || r.Purpose == Press || fit.IsBoard(r.Material) {
		return ""
	}
	how := "cut it under and ream"
	if r.Slot {
		how = "cut it under and file to a gauge"
	}
	for _, o := range all {
		if o.meets && !o.direct && o.ClearanceMaxMM < c.ClearanceMaxMM-edgeMM {
			return fmt.Sprintf("closer: %s to %s, clearance %.3f to %.3f mm", how, o.Class, math.Max(0, o.ClearanceMinMM), o.ClearanceMaxMM)
		}
	}
	return ""
}
