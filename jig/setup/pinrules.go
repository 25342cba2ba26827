package setup

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/dowel"
)

// Finding is a figure of the pins held against its limit. Level is "pass", "warn" or
// "fail".
type Finding struct {
	ID           string
	Level        string
	Value, Limit float64
	Unit         string
	Says, Remedy string
	Key          string // of the job file that the remedy changes
	Set          string // what to write there, so that the rule passes; "": it cannot be told
	Blocks       bool   // a cut is dangerous while it fails
	File         string // the program that it is about; "": any
}

// PinRules judges how the pins stand in the bed under what lies on it.
func PinRules(p dowel.Pin, s Stand, in Between, plate string, all []Setup) []Finding {
	k := standing{p, s, in, "bed", plate, "table under the bed", "pin"}
	bears := k.bearing("pin-holds-" + plate)
	if bears.Level == "fail" && s.BearsMM > 0 && !k.best().bears(p) {
		bears.Level = "warn" // the plate is too thin for more
	}
	return []Finding{k.length("pin-length"), bears, k.holding("pin-in-bed"), k.floor("pin-floor"), k.proud(all)}
}

// GluePinRules judges how the gluing pins stand in the blank under the gluing plate.
func GluePinRules(p dowel.Pin, s Stand, in Between, namedMM float64) []Finding {
	k := standing{p, s, in, "blank", GluingPlate, "bench under the blank", "gluing pin"}
	length := k.length("glue-pin-length")
	if namedMM > 0 && !s.Named {
		length.Says += fmt.Sprintf("; those of %s mm do not serve here", short(namedMM))
	}
	bears := k.bearing("glue-pin-holds-plate")
	flush := judge("glue-pin-proud", s.flush(), math.Max(0, s.ProudMM), 0,
		fmt.Sprintf("the longest gluing pin ends %s mm below the plate's top", short(-s.ProudMM)))
	if !s.flush() {
		flush.Says = fmt.Sprintf("a gluing pin stands up to %s mm over the plate", short(s.ProudMM))
		flush.remedied(k, "The caul would bear on it", Stand.flush)
	}
	return []Finding{length, k.holding("glue-pin"), bears, k.floor("glue-pin-floor"), flush}
}

// standing is what the rules of the pins in one part are asked of.
type standing struct {
	pin                              dowel.Pin
	s                                Stand
	in                               Between
	holder, plate, under, calledWhat string // under: what a through hole ends on
}

// GluingPlate is what goes over pins in the blank.
const GluingPlate = "gluing plate"

// remedied adds why what was found matters, and what would do.
func (f *Finding) remedied(k standing, why string, cured func(Stand) bool) {
	f.Says += ". " + why
	f.Remedy, f.Key, f.Set = k.s.remedy(k.pin, k.in, k.holder, k.plate, cured)
}

// best is how the best of the standard lengths would stand.
func (k standing) best() Stand {
	lengths, _ := k.pin.StockLengths()
	return ChooseStand(k.pin, lengths, k.in)
}

// length tells which length was taken and why.
func (k standing) length(id string) Finding {
	lengths, from := k.pin.StockLengths()
	want := fmt.Sprintf("%s mm in the %s and %s mm in the %s", short(heldShare*k.pin.NominalMM), k.holder,
		short(bearsShare*k.pin.NominalMM), k.plate)
	f := judge(id, true, k.s.LengthMM, k.s.LengthMM, "")
	switch near := nearest(lengths, k.s.LengthMM); {
	case !k.s.Named && k.s.lacks(k.pin)+k.s.lacksFloor() < hairMM:
		f.Says = fmt.Sprintf("%ss of %s: the shortest of %s with %s that never stands proud", k.calledWhat,
			k.pin.SizeSold(k.s.LengthMM), from, want)
	case !k.s.Named:
		f.Says = fmt.Sprintf("%ss of %s: of %s the one that lacks least of %s", k.calledWhat, k.pin.SizeSold(k.s.LengthMM),
			from,
			want)
	default:
		f.Says = fmt.Sprintf("%ss of %s, as the job says", k.calledWhat, k.pin.SizeSold(k.s.LengthMM))
		if k.pin.LengthsMM != nil && math.Abs(near-k.s.LengthMM) > hairMM {
			f.Level, f.Limit = "warn", near
			f.Says += fmt.Sprintf(". The nearest standard length of %s is %s mm", from, short(near))
			f.Remedy = "take that one, or cut the pins"
		}
	}
	return f
}

func nearest(lengths []float64, mm float64) float64 {
	return slices.MinFunc(lengths, func(a, b float64) int { return cmp.Compare(math.Abs(a-mm), math.Abs(b-mm)) })
}

// holding is how deep a pin stands in its part.
func (k standing) holding(id string) Finding {
	hole := fmt.Sprintf("in a blind hole %s mm deep", short(k.s.DepthMM))
	if k.s.Through {
		hole = "in a through hole"
	}
	want := heldShare * k.pin.NominalMM
	f := judge(id, k.s.held(k.pin), k.s.HeldMM, want, fmt.Sprintf("the %s holds a %s of %s mm over %s mm, %s", k.holder,
		k.calledWhat, short(k.s.LengthMM), short(k.s.HeldMM), hole))
	if f.Level != "pass" {
		f.remedied(k, short(want)+" mm are wanted", func(s Stand) bool { return s.held(k.pin) })
	}
	return f
}

// bearing is how far a pin bears in the plate over it.
func (k standing) bearing(id string) Finding {
	want := bearsShare * k.pin.NominalMM
	f := judge(id, k.s.bears(k.pin), k.s.BearsMM, want, fmt.Sprintf("the shortest %s of %s mm bears over %s mm in the "+
		"%s, its chamfer of %s mm apart", k.calledWhat, short(k.s.LengthMM), short(math.Max(0, k.s.BearsMM)), k.plate,
		short(k.pin.LeadMM())))
	switch {
	case f.Level == "pass":
	case k.plate == GluingPlate && k.s.BearsMM > 0 && !k.best().bears(k.pin):
		// The plate is as thin as its rails ask, and nothing but wet glue pushes it aside.
		f.Level, f.Limit = "pass", k.s.BearsMM
		f.Says += fmt.Sprintf("; a plate of %s gives no more", short(k.in.PlateMM))
	default:
		f.remedied(k, short(want)+" mm are wanted", func(s Stand) bool { return s.bears(k.pin) })
	}
	return f
}

// floor: a pin is supported from below, by the floor of a blind hole, or by what lies under
// a hole that goes through.
func (k standing) floor(id string) Finding {
	if k.s.Through {
		return judge(id, true, 0, 0, fmt.Sprintf("%ss of %s mm leave no floor in a %s of %s mm: their holes go through, "+
			"and they stand on the %s", k.calledWhat, short(k.s.LengthMM), k.holder, short(k.in.HolderMM), k.under))
	}
	point := ""
	if k.in.PointMM > 0 {
		point = fmt.Sprintf(" and the drill's point %s mm below that", short(k.in.PointMM))
	}
	f := judge(id, k.s.floored(), k.s.FloorMM, floorMM, fmt.Sprintf("%s mm of the %s is left under holes %s mm deep%s",
		short(k.s.FloorMM), k.holder, short(k.s.DepthMM), point))
	if f.Level != "pass" {
		f.Level = "warn"
		f.remedied(k, "It may break out", Stand.floored)
	}
	return f
}

// proud is asked of what stands and lies in each set-up on the machine.
func (k standing) proud(all []Setup) Finding {
	f := judge("pin-proud", true, 0, 0, "")
	f.Blocks = true
	worst := math.Inf(-1)
	for _, s := range all {
		over, top := s.proudMM()
		if s.Place != "machine" || over <= worst+hairMM {
			continue
		}
		worst = over
		f.Says = fmt.Sprintf("the longest pin ends %s mm below the %s's top", short(math.Max(0, -over)), top)
		if over > hairMM {
			f.Level, f.Value = "fail", over
			f.Says = fmt.Sprintf("in set-up %d a pin stands up to %s mm proud of the %s", s.Number, short(over), top)
			f.remedied(k, "A proud pin meets the cutter", Stand.flush)
		}
	}
	return f
}

func judge(id string, ok bool, value, limit float64, says string) Finding {
	f := Finding{ID: id, Level: "pass", Value: value, Limit: limit, Unit: "mm", Says: says, Key: "dowel.length"}
	if !ok {
		f.Level = "fail"
	}
	return f
}

// proudMM is how far the longest pin of a set-up may stand over the top layer, and that
// layer's name; negative when it ends below, and without pins that stand while it is cut.
func (s Setup) proudMM() (over float64, layer string) {
	over = math.Inf(-1)
	top := Layer{}
	for _, l := range s.Stack {
		if l.ToMM > top.ToMM && !strings.HasPrefix(l.Name, "rail") {
			top = l
		}
	}
	for _, q := range s.Pins {
		if !q.After {
			over = max(over, q.ToMM+q.ProudMM-top.ToMM)
		}
	}
	return over, top.Name
}
