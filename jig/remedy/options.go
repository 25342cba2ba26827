package remedy

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/jig/job"
	"reseat/jig/process"
	"reseat/jig/units"
)

// Bounds of what is worth trying. Common practice, no source.
const (
	mostWiderMM     = 200.0 // of blank, margin or plate
	mostClearanceMM = 0.5   // more than the job's, per side
	mostThickerMM   = 40.0  // bed or plate
	leastPlateMM    = 1.0   // template
	leastRailMM     = 1.0   // a lower rail holds nothing
	leastTurnMM     = 0.1   // depth of a pass
	layerMM         = 0.2   // of a print
	smoothMM        = 1e-6  // forgives rounding when a size is counted in steps
)

// endMills are the usual diameters of small end mills, millimetres. Common practice, no source.
var endMills = []float64{8, 6, 5, 4, 3.175, 3, 2.5, 2, 1.5, 1}

// nozzles are the usual ones, millimetres. Common practice, no source.
var nozzles = []float64{0.6, 0.4, 0.3, 0.25, 0.2}

// OptionsFor returns what can be tried for a rule, the cheapest first. lack is by how much its figure
// misses its limit.
func OptionsFor(j *job.Job, rule string, lack float64) []Option {
	t, part := j.Template, ""
	for _, p := range []string{"template", "blank", "bed"} {
		if strings.HasSuffix(rule, "-"+p) {
			part = p
		}
	}
	starts := func(what ...string) bool {
		return slices.ContainsFunc(what, func(w string) bool { return strings.HasPrefix(rule, w) })
	}
	switch {
	case starts("accuracy", "float"):
		return located(j)
	case starts("assembly-"):
		return []Option{values("dowel.locate", "round and slot"), values("dowel.class", "h8", "h6", "g6"), free(),
			made("template", "router", "ream", "laser"), made("blank", "router", "ream"), made("bed", "router", "ream"),
			up(j, "template.make.bias", t.Make.BiasMM, mostClearanceMM, hundredth)}
	case starts("pin-enters"):
		return []Option{values("dowel.class", "h8", "h6", "g6"), free()}
	case starts("board-enters-window"):
		return []Option{byLack(j, "template.clearance", t.ClearanceMM, lack, t.ClearanceMM+mostClearanceMM, hundredth)}
	case starts("foolproof-"):
		return counts(j)
	case starts("board-in-blank"):
		return fits(j)
	case starts("board-in-travel", "program-"):
		return []Option{values("machine.long_axis", other(j.Machine.LongAxis, "x", "y"))}
	case starts("reach-bed"):
		return drilled(j)
	case starts("cutter-in-"):
		return smaller(j, part+".make.cutter")
	case starts("pockets"):
		return smaller(j, "pockets.cutter")
	case starts("hole-cut-") && part == "template":
		thinner := down(j, "template.thickness", t.ThicknessMM, leastPlateMM, half)
		// The first that is at most twice as thick as the hole is wide, most likely.
		thinner.Guess = len(down(j, "template.thickness", t.ThicknessMM, t.ThicknessMM-2*lack+2*smoothMM, half).Values)
		return []Option{thinner, made(part, "router", "ream")}
	case starts("hole-cut-") && part != "":
		return []Option{made(part, "router", "ream")}
	case starts("window-web-plate", "print-wall"):
		return []Option{byLack(j, "template.margin", t.MarginMM, lack, t.MarginMM+mostWiderMM, whole)}
	case starts("pin-in-bed", "pin-holds-", "pin-proud", "pin-length", "glue", "cutter-clear"):
		return standing(j)
	case starts("rail-below-edge"):
		if j.Rails != nil {
			// Far below, the plate itself is the wall: only what lacks is taken off.
			lower := down(j, "rails.height", j.Rails.HeightMM-lack+tenth.of(j), leastRailMM, tenth)
			lower.Halve, lower.Values = false, lower.Values[:min(3, len(lower.Values))]
			step := half
			if t.Make.By == "print" {
				step = fineness{layerMM, layerMM / units.Inch.MM()}
			}
			without := values("rails", "")
			without.Last = true
			return []Option{lower, down(j, "template.thickness", t.ThicknessMM, leastPlateMM, step), without}
		}
	case starts("place-on-blank"):
		if k := j.Rails; k == nil || k.Push != "none" || k.Plate == "template" {
			return nil
		} else if k.Plate == "print" && t.Make.By == "print" { // the one window has its stops
			return []Option{values("rails.push", t.Push)}
		}
		return []Option{values("rails.push", "left", "right")}
	case starts("rail-gap"):
		return []Option{byLack(j, "rails.gap", j.Rails.GapMM, lack, mostClearanceMM, hundredth)}
	case starts("tape-"):
		from := j.Cutting.TurnMM
		if from == 0 {
			from = 1
		}
		return []Option{down(j, "cutting.turn", from, leastTurnMM, tenth)}
	case starts("print-fits-bed"):
		return []Option{down(j, "template.margin", t.MarginMM, 1, whole)}
	case starts("print-layers"):
		return []Option{values("template.thickness", FormatLength(j, math.Ceil(t.ThicknessMM/layerMM-smoothMM)*layerMM))}
	case starts("print-rail-width"):
		return []Option{values("template.make.nozzle", below(j, nozzles, t.Make.NozzleMM)...)}
	case starts("process-holds-"):
		return []Option{made(part, "ream", "router", "drill", "laser")}
	}
	return nil
}

// costs are what a change of a key that brings the board back nearer asks of hands and purse, the
// cheapest first: their order is that in which changes are tried and told. Common practice, no
// source.
var costs = []struct{ keys, asks string }{
	{"template.push", "nothing: the board is pressed home, and lies the same each time"},
	{"machine.zero", "minutes, with a dial indicator that is there"},
	{"template.clearance", "care: nothing is cut yet, and the board goes in tighter"},
	{"template.make.joint", "care: nothing is printed yet, and the keys go in tighter"},
	{"dowel.locate", "a slot in place of a hole, with the same tools"},
	{"blank.bored_with_bed", "a longer cutter, and both in one clamping"},
	{"template.make.spread template.make.taper template.make.position blank.make.spread machine.position machine.straight machine.tram template.make.straight template.make.square " +
		"board.width_error dowel.lean_deg", "an hour: what is assumed is measured, and may turn out otherwise"},
	{"blank.make.by", "a reamer, and every hole opened by hand"},
	{"template.material", "another sheet"},
	{"climate.now.rh", "days of rest, and a room that is held to it"},
}

// costRank is the place of an option among the costs.
func costRank(o Option) int {
	key := o.Key
	if key == "" {
		key = o.With[len(o.With)-1].Key
	}
	for i, c := range costs {
		if slices.Contains(strings.Fields(c.keys), key) {
			return i
		}
	}
	return len(costs)
}

// located are the ways to bring a board back nearer to where it was.
func located(j *job.Job) []Option {
	t := j.Template
	var out []Option
	if t.Seat == "nest" && t.Push == "none" {
		out = append(out, values("template.push", "left", "right"))
		var closer []string
		for _, share := range []float64{0.75, 0.5, 0.33} {
			closer = append(closer, FormatLength(j, math.Round(t.ClearanceMM*share*100)/100))
		}
		out = append(out, values("template.clearance", closer...))
	}
	if t.Push != "none" {
		out = append(out, values("template.push", "none", other(t.Push, "left", "right")))
	}
	if t.Make.By == "print" {
		out = append(out, values("template.make.joint", "0.08 mm", "0.05 mm", "0.03 mm"))
	}
	out = append(out, values("dowel.locate", "round and slot"), values("blank.bored_with_bed", "true"))
	switch j.Machine.Zero {
	case "kept":
	case "pin":
		out = append(out, values("machine.zero", "kept"))
	default:
		out = append(out, values("machine.zero", "pin", "kept"))
	}
	if c, ok := coupon(j); ok {
		out = append(out, c)
	}
	out = append(out, measured(j)...)
	switch {
	case t.Seat == "pins" && j.Blank.Make.By != "ream":
		out = append(out, made("blank", "ream")) // closer round the pins
	case t.Seat == "nest" && t.Make.By == "router":
		out = append(out, values("template.material", "aluminium")) // grows less
	}
	if c := j.Climate; c != nil && c.Made != c.Now {
		out = append(out, Option{Note: "let board and plate rest until they are in it", With: []job.Change{
			{Key: "climate.now.temp", Value: fmt.Sprint(c.Made.TempC)},
			{Key: "climate.now.rh", Value: fmt.Sprint(c.Made.RHPct)},
		}})
	}
	slices.SortStableFunc(out, func(a, b Option) int { return cmp.Compare(costRank(a), costRank(b)) })
	return out
}

const noMore = "if a coupon measures no more: "

// coupon is what a coupon usually tells of the process that makes the plate round the board, or
// the blank that stands on the pins; false where a spread is given already.
func coupon(j *job.Job) (Option, bool) {
	at, mk := "template.make", j.Template.Make
	if j.Template.Seat == "pins" {
		at, mk = "blank.make", j.Blank.Make
	}
	t, ok := process.TypicalOf(mk.By)
	if !ok || mk.IsGiven("spread") {
		return Option{}, false
	}
	// What kerf or edge may be off is laid onto the spread: no key has it.
	set := []job.Change{{Key: at + ".spread", Value: FormatLength(j, math.Ceil(1e3*math.Hypot(t.Spread,
		process.UnsureMM))/1e3)}}
	if mk.By == "laser" && !mk.IsGiven("taper") {
		set = append(set, job.Change{Key: at + ".taper", Value: FormatLength(j, t.Taper)})
	}
	if !mk.IsGiven("position") && mk.By != "router" {
		set = append(set, job.Change{Key: at + ".position", Value: FormatLength(j, t.Position)})
	}
	part := ""
	if at != "template.make" {
		part = " --part blank"
	}
	return Option{With: set, Note: noMore + "reseat coupon " + j.File + part}, true
}

// measured are figures that the job does not give, each as half of what is assumed for it.
func measured(j *job.Job) (out []Option) {
	add := func(key, half string) {
		if !j.IsGiven(key) {
			out = append(out, Option{Key: key, Values: []string{half}, Note: "if it measures no more"})
		}
	}
	m, t := j.Machine, j.Template
	add("machine.position", FormatLength(j, m.PositionMM/2))
	add("machine.straight", FormatLength(j, m.StraightMM/2))
	add("machine.tram", FormatLength(j, m.TramMM/2))
	if t.Seat == "nest" {
		add("template.make.straight", FormatLength(j, t.Make.StraightMM/2))
		add("template.make.square", FormatLength(j, t.Make.SquareMM/2))
		add("board.width_error", FormatLength(j, j.Board.WidthErrorMM/2))
	}
	add("dowel.lean_deg", units.Decimal(j.Dowel.LeanRad*90/math.Pi, 3))
	return out
}

// free are pins that stand in a reamed hole without force.
func free() Option {
	return Option{With: []job.Change{{Key: "dowel.standard", Value: "iso 2338"}, {Key: "dowel.class", Value: "h8"}}}
}

// counts are numbers of pins, and of a blank that has no room for them also its width.
func counts(j *job.Job) []Option {
	out := []Option{values("dowel.count", "")}
	var more []string
	step := 1
	if j.Template.Flip != "none" {
		step = 2
	}
	for n := 2 + step; n <= 8; n += step {
		if n != j.Dowel.Count {
			more = append(more, fmt.Sprint(n))
		}
	}
	out = append(out, values("dowel.count", more...))
	if j.Blank != nil && len(more) > 0 {
		wider := up(j, "blank.width", j.Blank.WidthMM, j.Blank.WidthMM+mostWiderMM, whole)
		wider.Last, wider.With = true, []job.Change{{Key: "dowel.count", Value: more[0]}}
		out = append(out, wider)
	}
	return out
}

// fits is the blank that the board fits into.
func fits(j *job.Job) []Option {
	k, b := j.Blank, j.Board
	if k == nil {
		return nil
	}
	strip := 0.0
	if j.Rails != nil {
		strip = j.Rails.StripMM
	}
	var set []job.Change
	for _, s := range []struct {
		key       string
		has, need float64
	}{
		{"blank.length", k.LengthMM, b.LengthMM + 2*strip},
		{"blank.width", k.WidthMM, math.Max(b.WidthStartMM, b.WidthEndMM) + 2*strip},
	} {
		if s.has < s.need {
			set = append(set, job.Change{Key: s.key, Value: up(j, s.key, s.need-whole.of(j), mostWiderMM*10, whole).Values[0]})
		}
	}
	return []Option{{With: set}}
}

// standing are ways to let the pins stand: lengths of the tool's choice, and thicker or
// thinner parts.
func standing(j *job.Job) []Option {
	t, bed := j.Template.ThicknessMM, j.Bed.ThicknessMM
	out := []Option{
		values("dowel.length", ""), up(j, "bed.thickness", bed, bed+mostThickerMM, whole),
		up(j, "template.thickness", t, t+mostThickerMM, whole), down(j, "template.thickness", t, leastPlateMM, whole),
	}
	if k := j.Blank; k != nil {
		out = append(out, up(j, "blank.thickness", k.ThicknessMM, k.ThicknessMM+mostThickerMM, whole))
	}
	thin := Option{Key: "dowel.diameter", Last: true} // every hole changes with it
	for _, d := range thinner(j) {
		thin.Values = append(thin.Values, FormatLength(j, d))
	}
	return append(append(out, smaller(j, "pockets.cutter")...), thin)
}

// drilled are bed and blank drilled where the router bores through the one into the other: a drill
// reaches as deep as it is long.
func drilled(j *job.Job) []Option {
	if j.Template.Seat != "pins" || !j.Blank.BoredWithBed || j.Bed.Make.By != "router" {
		return nil
	}
	return []Option{{With: []job.Change{{Key: "blank.make", Value: "{by: drill}"}, {Key: "bed.make", Value: "{by: drill}"}}}}
}

// smaller are the end mills below the one that is there.
func smaller(j *job.Job, key string) []Option {
	return []Option{values(key, below(j, endMills, math.Inf(1))...)}
}

func below(j *job.Job, sizes []float64, mm float64) (out []string) {
	for _, d := range sizes {
		if d < mm {
			out = append(out, FormatLength(j, d))
		}
	}
	return out
}

func made(part string, by ...string) Option { return values(part+".make.by", by...) }

func values(key string, v ...string) Option { return Option{Key: key, Values: v} }

func other(is, a, b string) string {
	if is == a {
		return b
	}
	return a
}

// fineness is what a size is told to: millimetres, and inches in a job in inches.
type fineness struct{ mm, inch float64 }

var (
	whole     = fineness{1, 1.0 / 16}
	half      = fineness{0.5, 1.0 / 32}
	tenth     = fineness{0.1, 0.005}
	hundredth = fineness{0.01, 0.0005}
)

func (f fineness) of(j *job.Job) float64 {
	if j.Units == units.Inch {
		return f.inch * units.Inch.MM()
	}
	return f.mm
}

// up are the sizes above from, up to most, in steps counted from nothing.
func up(j *job.Job, key string, from, most float64, f fineness) Option {
	o, step := Option{Key: key, Halve: true}, f.of(j)
	for i := math.Floor(from/step+smoothMM) + 1; i*step <= most; i++ {
		o.Values = append(o.Values, FormatLength(j, i*step))
	}
	return o
}

// byLack are the sizes above from for a rule whose figure most likely grows as the size does.
func byLack(j *job.Job, key string, from, lack, most float64, f fineness) Option {
	o := up(j, key, from, most, f)
	o.Guess = len(up(j, key, from, from+lack-smoothMM, f).Values) // the first that is not short
	return o
}

// down are the sizes below from, down to least.
func down(j *job.Job, key string, from, least float64, f fineness) Option {
	o, step := Option{Key: key, Halve: true}, f.of(j)
	for i := math.Ceil(from/step-smoothMM) - 1; i*step >= least-smoothMM; i-- {
		o.Values = append(o.Values, FormatLength(j, i*step))
	}
	return o
}

// FormatLength is a size as the job file takes it, in the job's unit.
func FormatLength(j *job.Job, mm float64) string {
	if j.Units == units.Inch {
		return units.Decimal(mm/units.Inch.MM(), 4) + " in"
	}
	return units.Decimal(mm, 3) + " mm"
}

// RoundUp is the next whole size from mm on: millimetres, or sixteenths in a job in inches.
func RoundUp(j *job.Job, mm float64) float64 { return math.Ceil(mm/whole.of(j)-smoothMM) * whole.of(j) }
