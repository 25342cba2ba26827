package pocket

import (
	"errors"
	"fmt"
	"math"
)

// Plan is how every feature is bored, in the order of the spec.
type Plan struct {
	Pockets  []Pocket
	Findings []Finding
	Steps    int // most cuts of any pocket
}

// Pocket is one feature as it is to be bored.
type Pocket struct {
	Name     string
	UMM, VMM float64
	Size     Size
	Cuts     []Cut
	Seat     Seat
}

// Finding is a figure that is not as it should be.
type Finding struct {
	// Rule is "opaque", "depth", "floor", "proud", "fret", "edge", "web", "loose", "too deep",
	// "glue line", "one more" or "first cut".
	Rule           string
	Fails          bool // should not be cut; false: can be cut with care
	Feature        string
	Value, LimitMM float64 // Value in millimetres, or a probability for "one more"
	Says           string
	Remedy
}

// NewPlan plans the pockets. When a feature gives no depth, its floor is put so that
// the inlay stands proud by exactly the wanted height where the crown is highest
// under its rim, and by more elsewhere.
//
// The error holds every fault at once: figures that cannot be meant, and, once those are
// right, pockets that cannot be cut.
func NewPlan(s Spec) (Plan, error) {
	if err := s.check(); err != nil {
		return Plan{}, err
	}
	var p Plan
	var faults []error
	for _, f := range s.Features {
		size := f.size(s.GlueGapMM)
		k := Pocket{Name: f.Name, UMM: f.UMM, VMM: f.VMM, Size: size, Seat: f.seat(s.Board, size.BoreMM)}
		k.Cuts = s.cuts(size.BoreMM, f.air(size, k.Seat))
		faults = append(faults, k.refuse(s.CutterMM, math.Copysign(k.Seat.FarVMM, f.VMM)))
		p.Steps = max(p.Steps, len(k.Cuts))
		p.Pockets = append(p.Pockets, k)
	}
	if err := errors.Join(faults...); err != nil {
		return Plan{}, err
	}
	for i := range p.Pockets {
		p.Findings = append(p.Findings, s.findings(i, p.Pockets)...)
	}
	return p, nil
}

// refuse returns why a pocket cannot be cut at all; farV is where its disc lies lowest.
func (k Pocket) refuse(cutterMM, farV float64) error {
	switch bore, h := k.Size.BoreMM, k.Seat; {
	case bore < cutterMM+2*leastHelixMM:
		return fmt.Errorf("%s: a cutter of %.4g mm cannot bore %.4g mm; take one that is smaller by a fifth or more",
			k.Name, cutterMM, bore)
	case h.HasInlay && h.LeftMM < -sameMM:
		return fmt.Errorf("%s: nothing is left of the inlay at v = %.4g mm: the finished surface lies %.3f mm under the "+
			"floor; take a thicker inlay, less proud height, or a smaller one",
			k.Name, farV, -h.LeftMM)
	case h.UnderMM < -sameMM:
		return fmt.Errorf("%s: breaks through: its floor lies %.3f mm below what the board has there", k.Name, -h.UnderMM)
	}
	return nil
}

// findings judges pocket i among all.
func (s Spec) findings(i int, all []Pocket) []Finding {
	k, f := all[i], s.Features[i]
	var out []Finding
	say := func(rule string, fails bool, value, limit float64, r Remedy, format string, args ...any) {
		out = append(out, Finding{rule, fails, k.Name, value, limit, k.Name + ": " + fmt.Sprintf(format, args...), r})
	}
	z, h := k.Size, k.Seat
	if h.HasInlay && h.LeastProudMM < f.ProudMM-sameMM {
		say("proud", true, h.LeastProudMM, f.ProudMM, f.thicker(f.ProudMM-h.LeastProudMM),
			"the inlay stands %.3f mm proud at the rim's lowest place, %.3f wanted", h.LeastProudMM, f.ProudMM)
	}
	if h.HasInlay && h.LeftMM < s.OpaqueMM-sameMM {
		say("opaque", false, h.LeftMM, s.OpaqueMM, f.thicker(s.OpaqueMM-h.LeftMM),
			"%.3f mm of inlay is left at its thinnest place, %.3f mm from the datum line. Under %.3g mm the floor may show",
			h.LeftMM, h.FarVMM, s.OpaqueMM)
	}
	if h.LeastDepthMM <= 0 {
		say("depth", true, h.LeastDepthMM, 0, f.deeper(floorSaidMM-h.LeastDepthMM),
			"the floor lies %.3f mm above the surface at the pocket's low side", -h.LeastDepthMM)
	}
	if h.UnderMM < leastFloorMM-sameMM {
		say("floor", false, h.UnderMM, leastFloorMM, f.deeper(h.UnderMM-leastFloorMM),
			"%.3f mm of board is left under the pocket. Under %.3g mm it may break through", h.UnderMM, leastFloorMM)
	}
	bore := z.BoreMM
	for _, c := range []struct {
		rule string
		clearance
	}{{"fret", s.Board.toFret(k.UMM, bore)}, {"edge", s.Board.toEdge(k.UMM, k.VMM, bore)}, {"web", toOthers(i, all)}} {
		switch {
		case c.mm < 0:
			say(c.rule, true, c.mm, 0, f.smaller(bore, leastWebMM-c.mm, s), "reaches %.3f mm into %s", -c.mm, c.to)
		case c.mm < leastWebMM-sameMM:
			say(c.rule, false, c.mm, leastWebMM, f.smaller(bore, leastWebMM-c.mm, s),
				"%.3f mm from %s. Less than %.3g mm of wood crumbles", c.mm, c.to, leastWebMM)
		}
	}
	switch {
	case f.loose(z):
		say("loose", true, z.LoosestGapMM, visibleGapMM, f.tighter(z, s.GlueGapMM),
			"the bore that is there, %.3f mm, leaves the smallest inlay %.3f mm on the diameter. Over %.3g mm it is loose "+
				"and the glue line shows: boring cannot help", f.ThereMM, z.LoosestGapMM, visibleGapMM)
	case z.LoosestGapMM > visibleGapMM+sameMM:
		say("glue line", false, z.LoosestGapMM, visibleGapMM,
			Remedy{Says: fmt.Sprintf("sort the inlays: none under %s", up(z.BoreMM-visibleGapMM))},
			"the smallest inlay has a gap of %.3f mm on the diameter. Over %.3g mm the glue line shows",
			z.LoosestGapMM, visibleGapMM)
	}
	if deep := f.ThereDeepMM - h.AtFeatureMM; h.HasInlay && f.ThereDeepMM > 0 && deep > tooDeepMM {
		r := f.thicker(deep)
		r.Says += fmt.Sprintf(", or a shim of %.2f mm under it", deep)
		say("too deep", false, deep, tooDeepMM, r,
			"the bore that is there is %.3f mm deeper than the inlay needs to stand %.3g mm proud", deep, f.ProudMM)
	}
	if z.OneMore.OK && z.OneMore.Odds < oneMoreOdds {
		say("one more", false, z.OneMore.Odds, oneMoreOdds, Remedy{Says: "measure each before it is glued"},
			"one more inlay of this batch enters with a probability of %.2f only", z.OneMore.Odds)
	}
	if first := bore - s.UndersizeMM; len(k.Cuts) > 0 && first+mergeMM < s.CutterMM+2*leastHelixMM {
		say("first cut", false, k.Cuts[0].BoreMM, first, atMost("a cutter", "cutter", first-2*leastHelixMM),
			"the first cut is %.3f mm, not %.3f: the cutter is as large as that", k.Cuts[0].BoreMM, first)
	}
	return out
}
