package pocket

import (
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
	Name            string
	UMM, VMM        float64
	Size            Size
	Cuts            []Cut
	Seat            Seat
	Fret, Edge, Web Clearance // at the finished diameter; Web: to the nearest other pocket
}

// Step returns cut n, from 1. The error is a *StepError when the plan has no such
// cut.
func (p Pocket) Step(n int) (Cut, error) {
	if n < 1 || n > len(p.Cuts) {
		return Cut{}, &StepError{p.Name, n, len(p.Cuts)}
	}
	return p.Cuts[n-1], nil
}

// Level says how bad a finding is.
type Level string

// The levels: Warn can be cut with care, Fail should not be cut.
const (
	Warn Level = "warn"
	Fail Level = "fail"
)

// Finding is a figure that is not as it should be.
type Finding struct {
	Rule           string // "opaque", "depth", "floor", "proud", "fret", "edge", "web", "glue line", "one more", "bore", "shim", "first cut"
	Level          Level
	Feature        string
	Value, LimitMM float64 // Value in millimetres, or a probability for "one more"
	Says           string
}

// New plans the pockets. When a feature gives no depth, its floor is put so that
// the inlay stands proud by exactly the wanted height where the crown is highest
// under its rim, and by more elsewhere.
//
// The error holds every fault at once, as *InputError, *FromError, *InlayError or
// *FewInlaysError for figures that cannot be meant, and, once those are right, as
// *CutterError, *HoleError, *ThinError or *FloorError for pockets that cannot be
// cut.
func New(s Spec) (Plan, error) {
	if err := together(s.check()); err != nil {
		return Plan{}, err
	}
	s.Limits = s.Limits.filled()
	var p Plan
	var c checker
	for i, f := range s.Features {
		f.Name = f.called(i)
		size := f.size(s.Cutting)
		k := Pocket{
			Name: f.Name, UMM: f.UMM, VMM: f.VMM, Size: size,
			Seat: f.seat(s.Board, size.BoreMM),
			Fret: s.Board.fretClearance(f.UMM, size.BoreMM),
			Edge: s.Board.edgeClearance(f.UMM, f.VMM, size.BoreMM),
		}
		k.refuse(&c, f, s.Cutting)
		k.Cuts = cuts(size.BoreMM, f.HoleMM, s.Cutting)
		p.Steps = max(p.Steps, len(k.Cuts))
		p.Pockets = append(p.Pockets, k)
	}
	if err := together(c.faults); err != nil {
		return Plan{}, err
	}
	webs(p.Pockets)
	for i, k := range p.Pockets {
		p.Findings = append(p.Findings, k.findings(s.Features[i], s)...)
	}
	return p, nil
}

func (l Limits) filled() Limits {
	for _, d := range []struct {
		to  *float64
		def float64
	}{{&l.OpaqueMM, UsualOpaqueMM}, {&l.FloorMM, UsualFloorMM}, {&l.WebMM, UsualWebMM}} {
		if *d.to == 0 {
			*d.to = d.def
		}
	}
	return l
}

// refuse adds what cannot be cut at all.
func (k Pocket) refuse(c *checker, f Feature, cut Cutting) {
	bore := k.Size.BoreMM
	if bore < cut.CutterMM+2*leastHelixMM {
		c.add(&CutterError{k.Name, cut.CutterMM, bore})
	}
	if f.HoleMM > bore+mergeMM {
		c.add(&HoleError{k.Name, f.HoleMM, bore})
	}
	if k.Seat.HasInlay && k.Seat.LeftMM < -sameLengthMM {
		c.add(&ThinError{k.Name, k.Seat.LeftMM, math.Copysign(k.Seat.FarVMM, f.VMM)})
	}
	if k.Seat.UnderMM < -sameLengthMM {
		c.add(&FloorError{k.Name, k.Seat.UnderMM})
	}
}

// webs fills in the wood between each pocket and the nearest other one.
func webs(p []Pocket) {
	for i := range p {
		for j := range p {
			if i == j {
				continue
			}
			d := math.Hypot(p[i].UMM-p[j].UMM, p[i].VMM-p[j].VMM) - p[i].Size.BoreMM/2 - p[j].Size.BoreMM/2
			p[i].Web.near(d, p[j].Name)
		}
	}
}

// findings judges one pocket.
func (k Pocket) findings(f Feature, s Spec) []Finding {
	var out []Finding
	say := func(rule string, level Level, value, limit float64, format string, args ...any) {
		out = append(out, Finding{rule, level, k.Name, value, limit, k.Name + ": " + fmt.Sprintf(format, args...)})
	}
	z, h := k.Size, k.Seat
	if h.HasInlay {
		if h.LeastProudMM < f.ProudMM-sameLengthMM {
			say("proud", Fail, h.LeastProudMM, f.ProudMM, "the inlay stands %.3f mm proud at the rim's lowest place, %.3f wanted; bore %.3f mm less deep", h.LeastProudMM, f.ProudMM, f.ProudMM-h.LeastProudMM)
		}
		if h.LeftMM < s.Limits.OpaqueMM-sameLengthMM {
			say("opaque", Warn, h.LeftMM, s.Limits.OpaqueMM, "%.3f mm of inlay is left at its thinnest place, %.3f mm from the datum line; under %.3g mm the floor may show", h.LeftMM, h.FarVMM, s.Limits.OpaqueMM)
		}
	}
	if h.LeastDepthMM <= 0 {
		say("depth", Fail, h.LeastDepthMM, 0, "the floor lies %.3f mm above the surface at the pocket's low side; bore deeper", -h.LeastDepthMM)
	}
	if h.UnderMM < s.Limits.FloorMM-sameLengthMM {
		say("floor", Warn, h.UnderMM, s.Limits.FloorMM, "%.3f mm of board is left under the pocket; under %.3g mm it may break through", h.UnderMM, s.Limits.FloorMM)
	}
	if h.ShimMM > sameLengthMM {
		say("shim", Warn, h.ShimMM, 0, "the hole there is %.3f mm deeper than the floor planned; lay a shim of that thickness under the inlay", h.ShimMM)
	}
	for _, c := range []struct {
		rule string
		c    Clearance
	}{{"fret", k.Fret}, {"edge", k.Edge}, {"web", k.Web}} {
		switch {
		case !c.c.Named:
		case c.c.MM < 0:
			say(c.rule, Fail, c.c.MM, 0, "reaches %.3f mm into %s", -c.c.MM, c.c.To)
		case c.c.MM < s.Limits.WebMM-sameLengthMM:
			say(c.rule, Warn, c.c.MM, s.Limits.WebMM, "%.3f mm from %s; less than %.3g mm of wood crumbles", c.c.MM, c.c.To, s.Limits.WebMM)
		}
	}
	if z.Inlays > 0 {
		if z.LoosestGapMM > visibleGapMM+sameLengthMM {
			say("glue line", Warn, z.LoosestGapMM, visibleGapMM, "the smallest inlay has a gap of %.3f mm on the diameter; over %.3g mm the glue line shows: sort the inlays", z.LoosestGapMM, visibleGapMM)
		}
		if z.OneMoreEntersKnown && z.OneMoreEnters < oneMoreOdds {
			say("one more", Warn, z.OneMoreEnters, oneMoreOdds, "one more inlay of this batch enters with a probability of %.2f only; measure each before it is glued", z.OneMoreEnters)
		}
		if f.BoreMM > 0 && math.Abs(f.BoreMM-z.BoreMM) > mergeMM {
			say("bore", Warn, z.BoreMM, f.BoreMM, "bored to %.3f mm by the measured inlays, not to the %.3f mm given", z.BoreMM, f.BoreMM)
		}
	}
	if first := z.BoreMM - s.Cutting.UndersizeMM; s.Cutting.UndersizeMM > 0 && k.Cuts[0].BoreMM > first+mergeMM {
		say("first cut", Warn, k.Cuts[0].BoreMM, first, "the first cut is %.3f mm, not %.3f: the cutter or the hole there is as large as that", k.Cuts[0].BoreMM, first)
	}
	return out
}
