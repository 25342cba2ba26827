package jig

import (
	"fmt"
	"math"
	"strings"

	"reseat/jig/budget"
	"reseat/jig/holddown"
	"reseat/jig/job"
	"reseat/jig/outlined"
	"reseat/jig/plausible"
	"reseat/jig/program"
	"reseat/jig/remedy"
	"reseat/jig/setup"
)

// made is the finished design with what it was made from: what the rules judge. A rule
// reads it, holds one figure against its limit, and changes nothing.
type made struct {
	plan
	d       *Design
	advice  []remedy.Advice
	seat    seating
	rail    railing
	cut     cutting
	pockets []pocketing         // the top, then the underside
	stocks  []program.BoredPart // whose pin holes the router makes
}

// rules are all of them, in the order in which they are reported.
var rules = []func(made) []ruling{
	made.plausible,
	// Places.
	made.pinCount, made.pinPlaces, made.foolproof, made.boardWays, made.boardPlace, made.windowWeb, made.narrow,
	made.lifting,
	// Fits.
	made.windowEntry, made.measured, made.movements, made.pinsEnter, made.processes, made.cutters, made.pinStands,
	made.cutFiles,
	// Where the board ends up.
	made.seated, made.floats, made.accuracy, made.assembles,
	// Gluing.
	made.railsLaid, made.railHeight, made.gluedRules,
	// The router.
	made.programs, made.pocketing, made.bows, made.tapes,
	// The printer.
	made.printBed, made.printLayers, made.printWalls, made.printMeasured,
}

// judged asks every rule.
func judged(m made) (out []ruling) {
	for _, rule := range rules {
		out = append(out, rule(m)...)
	}
	return out
}

// toRules are the rules as they are reported.
func toRules(j *job.Job, all []ruling) (out []Rule) {
	for _, r := range all {
		out = append(out, r.rule(j))
	}
	return out
}

// ruling is a rule's verdict with what would help against it, and the job file's key
// that the remedy changes.
type ruling struct {
	Rule
	remedy, key string
}

// found are the findings of other packages as rules.
func found(all ...setup.Finding) (out []ruling) {
	for _, f := range all {
		r := Rule{ID: f.ID, Level: Level(f.Level), Value: f.Value, Limit: f.Limit, Unit: f.Unit, Says: f.Says, File: f.File,
			Blocks: f.Blocks}
		if f.Set != "" {
			r.Remedies = []Remedy{{Set: []job.Change{{Key: f.Key, Value: f.Set}}}}
		}
		out = append(out, ruling{r, f.Remedy, f.Key})
	}
	return out
}

// rule is the rule with its remedy where it does not pass.
func (r ruling) rule(j *job.Job) Rule {
	if r.Level != Pass {
		r.Says = remedied(r.Says, r.remedy)
		r.Line = j.Pos(r.key).Line
	}
	return r.Rule
}

// remedied puts a remedy behind what was found.
func remedied(found, remedy string) string {
	if remedy == "" {
		return found
	}
	end := ". "
	if strings.HasSuffix(found, "?") {
		end = " "
	}
	return found + end + "Remedy: " + strings.TrimSuffix(remedy, ".")
}

// roundingMM forgives rounding when a value meets its limit exactly: a nanometre,
// a thousand times below what anything here is known to.
const roundingMM = 1e-6

// judge passes when ok; otherwise the level is bad.
func judge(id string, ok bool, bad Level, value, limit float64, unit, says, remedy, key string) ruling {
	if ok {
		bad = Pass
	}
	return ruling{Rule{ID: id, Level: bad, Value: value, Limit: limit, Unit: unit, Says: says}, remedy, key}
}

// atLeast passes when value >= limit.
func atLeast(id string, value, limit float64, unit, says, remedy, key string) ruling {
	return judge(id, value >= limit-roundingMM, Fail, value, limit, unit, says, remedy, key)
}

// atMost passes when value <= limit.
func atMost(id string, value, limit float64, unit, says, remedy, key string) ruling {
	return judge(id, value <= limit+roundingMM, Fail, value, limit, unit, says, remedy, key)
}

// missing is a figure that there is not, and why: that tells what to change too.
func missing(id string, level Level, says string, why error, key string) []ruling {
	if why == nil {
		return nil
	}
	return []ruling{judge(id, false, level, 0, 0, "", says+": "+why.Error(), "", key)}
}

// mm writes a length for a sentence: two decimals, no "-0.00".
func mm(x float64) string {
	if math.Abs(x) < 0.005 {
		x = 0
	}
	return fmt.Sprintf("%.2f mm", x)
}

// plausible warns of values that are hardly meant.
func (m made) plausible() []ruling {
	var out []ruling
	for _, d := range plausible.Doubts(m.job) {
		id := "plausible-" + notInID.Replace(d.Key)
		out = append(out, judge(id, false, Warn, d.Value, d.Limit, d.Unit, d.Says+". "+d.Remedy, "", d.Key))
	}
	return out
}

var notInID = strings.NewReplacer(".", "-", "_", "-", "[", "-", "]", "")

func (m made) seated() []ruling {
	if n := m.nest; n != nil && len(n.Home.Stops) > 0 {
		ok, remedy := n.Home.Direction >= outlined.LeastTurn, ""
		if !ok {
			remedy = n.Surer(m.spec.Features)
		}
		return []ruling{judge("push-stays", ok, Warn, n.Home.Direction*180/math.Pi, outlined.LeastTurn*180/math.Pi,
			"degrees", n.Says(), remedy, "template.push")}
	}
	return missing("seat", Fail, "the board cannot be seated", m.seat.fault, "template")
}

// floats: the float alone against the wanted accuracy.
func (m made) floats() []ruling {
	var worst FeatureFloat
	for _, f := range m.d.Seat.Features {
		if worst.Name == "" || f.WorstMM > worst.WorstMM+budget.TieMM {
			worst = f
		}
	}
	if worst.Name == "" {
		return nil
	}
	remedy, key := "tighter holes or a longer baseline", "accuracy"
	if m.d.Seat.Kind == "nest" && len(m.d.Template.Stops) == 0 {
		remedy = "push the board against two stops (template.push), or a smaller template.clearance"
		key = "template.clearance"
	}
	return []ruling{atMost("float", worst.WorstMM, m.job.AccuracyMM, "mm",
		fmt.Sprintf("float alone lets %s move by %s", worst.Name, mm(worst.WorstMM)), remedy, key)}
}

// accuracy: the budget's 95 % figure against the wanted accuracy, and what would help
// most.
func (m made) accuracy() []ruling {
	worst := -1
	if m.d.Budget != nil {
		worst = m.d.Budget.Worst()
	}
	if worst < 0 {
		return nil
	}
	f := m.d.Budget.Features[worst]
	says := fmt.Sprintf("%s: position error %.3f mm (95 %%, Monte Carlo), %.3f mm at worst", f.Name, f.P95MM, f.WorstMM)
	if f.P95MM > m.job.AccuracyMM {
		says += fmt.Sprintf("; largest part: %s, %.0f %%", f.Largest, 100*f.LargestShare)
	}
	return []ruling{atMost("accuracy", f.P95MM, m.job.AccuracyMM, "mm", says, f.Remedy, "accuracy")}
}

// Probability of assembly: below wantedOdds a maker should know that a hole may have to
// be opened, below leastOdds the plate is likely to be forced. Locating holes are drawn
// so that nineteen pins of twenty enter at once. Common practice, no source.
const (
	wantedOdds = 0.95
	leastOdds  = 0.80
)

// assembles: every pin must enter, in all pairs of parts.
func (m made) assembles() []ruling {
	var out []ruling
	for _, a := range m.d.Assembly {
		level := Warn
		if a.Odds < leastOdds {
			level = Fail
		}
		out = append(out, judge("assembly-"+strings.ReplaceAll(a.Part, " ", "-")+"-on-"+a.On, a.Odds >= wantedOdds, level, a.Odds, wantedOdds, "",
			fmt.Sprintf("all pins enter when the %s goes on the %s in %.1f %% of assemblies", a.Part, a.On, 100*a.Odds),
			fmt.Sprintf("%.3f mm more clearance on the diameter makes it 99 %%; the critical pin is %s",
				math.Max(0, a.ExtraFor99MM), a.Critical), "dowel.locate"))
	}
	return out
}

// tapes: double-sided tape must hold each part against the cutter.
func (m made) tapes() []ruling {
	r := m.d.HoldDown
	if r == nil {
		return nil
	}
	need, short := r.NeedLastingMM2/mm2PerCM2, r.NeedShortMM2/mm2PerCM2
	var out []ruling
	for _, h := range r.Parts {
		level := Warn
		if h.Level == holddown.Fail {
			level = Fail
		}
		area := h.AvailableMM2 / mm2PerCM2
		out = append(out, judge("tape-"+h.Name, h.Level == holddown.Pass, level, area, need, "cm2",
			fmt.Sprintf("double-sided tape under the %s: room for %.0f cm2, %.0f cm2 needed for the whole cut (%.0f cm2 for "+
				"minutes) against %.0f N from a %s cutter, safety factor %.0f (force: %s)",
				h.Name, area, need, short, r.SidewaysN, r.Edge(), holddown.Factor, r.Specific.Mark),
			"shallower passes (cutting.turn), or clamps", "cutting"))
	}
	return out
}

const mm2PerCM2 = 100.0
