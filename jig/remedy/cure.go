package remedy

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/jig/job"
)

const (
	// mostRemedies is how many ways out of a rule are told.
	mostRemedies = 3
	// mostTries bounds the designs that are made to look for them.
	mostTries = 40
)

// The levels of a rule, from good to bad.
const (
	pass = "pass"
	warn = "warn"
	fail = "fail"
)

// Rule is a rule as it was judged, and what it offers of its own.
type Rule struct {
	ID, Level    string // level: "pass", "warn" or "fail"
	Value, Limit float64
	Says, Key    string         // its remedy, and the job's key that this changes
	Sets         [][]job.Change // the same as data, the best first; nil: none
}

// Ask judges a changed job. exact: the figures of simulations are looked at, and all runs are
// made. nil: there is no such job.
type Ask func(j *job.Job, exact bool) []Rule

// FindRemedies puts what helps in the place of what the rules that do not pass offer, where trying
// finds it. A job that holds is not tried at all.
func FindRemedies(j *job.Job, all []Rule, ask Ask) {
	c := changes{job: j, ask: ask, was: worst(all), tried: map[string][]Rule{}}
	for _, level := range []string{fail, warn} { // what fails first
		for i := range all {
			if all[i].Level == level {
				c.cure(&all[i])
			}
		}
	}
}

// changes of a job that were tried, with the rules as they are then.
type changes struct {
	job   *job.Job
	ask   Ask
	was   map[string]string // worst level of each rule
	tried map[string][]Rule
}

// cure looks for what helps a rule, and of an error too large says what a coupon would gain.
func (c changes) cure(r *Rule) {
	option, ok := coupon(c.job)
	if ok = ok && r.ID == "accuracy" && r.Level == fail; !ok {
		c.findRemedies(r)
		return
	}
	gain := c.try(r, warn)(option.With) // before all tries are made
	if c.findRemedies(r); gain.Harmless && gain.Reached < r.Value*(1-worthShare) && !strings.Contains(r.Says,
		option.Note) {
		what := fmt.Sprintf("what a coupon usually measures alone brings it to %.3f mm", gain.Reached)
		if strings.Contains(r.Says, Describe(option.With, " with ")+" brings") {
			what = "a coupon measures that"
		}
		r.Says = strings.TrimRight(r.Says, ". ") + "; " + what + ": " + strings.TrimPrefix(option.Note, noMore)
	}
}

// findRemedies looks for what helps a rule. What the rule offers of its own stays where it helps.
func (c changes) findRemedies(r *Rule) {
	options := OptionsFor(c.job, r.ID, math.Abs(r.Limit-r.Value))
	if r.Sets != nil {
		if len(options) == 0 || r.Level == warn || c.try(r, warn)(r.Sets[0]).Helps() {
			return
		}
		r.Sets = nil
	}
	first := slices.DeleteFunc(slices.Clone(options), func(o Option) bool { return o.Last })
	last := slices.DeleteFunc(slices.Clone(options), func(o Option) bool { return !o.Last })
	for _, s := range []struct {
		options []Option
		most    string
	}{{first, pass}, {first, warn}, {last, pass}, {last, warn}} {
		if badness(s.most) >= badness(r.Level) {
			continue
		}
		try := c.try(r, s.most)
		found := Find(s.options, try, mostRemedies)
		if len(found) == 0 && lowers(r.ID) {
			if f := Combine(s.options, try, r.Value); f.Passes {
				found = append(found, f)
			} else if s.most == warn {
				r.setReach(f)
				return
			}
		}
		if len(found) > 0 {
			r.setRemedies(found)
			return
		}
	}
	if len(options) > 0 && r.Level == fail {
		r.Says = strings.TrimSuffix("no single change that was tried is enough; "+r.Says, "; ")
	}
}

// try asks the rules of the job with changes made. Of the other rules none may be worse than
// most and worse than it was.
func (c changes) try(r *Rule, most string) Try {
	exact := r.ID == "accuracy" || strings.HasPrefix(r.ID, "assembly-")
	return func(set []job.Change) Outcome {
		key := fmt.Sprint(exact, set)
		after, ok := c.tried[key]
		if !ok && len(c.tried) < mostTries {
			if k, err := c.job.With(set...); err == nil {
				after = c.ask(k, exact)
			}
			c.tried[key] = after
		}
		o := Outcome{Harmless: after != nil}
		o.Passes = o.Harmless && slices.ContainsFunc(askedWhenFound, func(p string) bool { return strings.HasPrefix(r.ID, p) })
		for _, a := range after {
			if a.ID == r.ID {
				o.Reached, o.Passes = a.Value, a.Level == pass
				continue
			}
			_, asked := c.was[a.ID]
			if asked = asked || c.was["pin-count"] != fail; asked && // without pins much is not asked
				badness(a.Level) > max(badness(most), badness(c.was[a.ID])) {
				o.Harmless = false
			}
		}
		return o
	}
}

// askedWhenFound begin the names of rules that are not asked when there is nothing to find.
var askedWhenFound = []string{"pocket", "process-holds-", "rail-", "reach-"}

// worst is the worst level of each rule.
func worst(all []Rule) map[string]string {
	out := map[string]string{}
	for _, r := range all {
		if badness(r.Level) >= badness(out[r.ID]) {
			out[r.ID] = r.Level
		}
	}
	return out
}

// badness orders the levels; a rule that was not asked is as good as one that passes.
func badness(level string) int { return max(0, slices.Index([]string{pass, warn, fail}, level)) }

// lowers reports whether a rule's figure is an error that has to come down.
func lowers(id string) bool { return id == "accuracy" || id == "float" }

// setRemedies puts what was found in the place of the rule's own remedy.
func (r *Rule) setRemedies(found []Found) {
	var ways []string
	for _, f := range found {
		way := Describe(f.Set, " with ")
		if lowers(r.ID) {
			way += fmt.Sprintf(" (%.3f mm)", f.Reached)
		}
		if f.Note != "" {
			way += ", " + f.Note
		}
		ways, r.Sets = append(ways, way), append(r.Sets, f.Set)
	}
	r.Says, r.Key = strings.Join(ways, "; or "), found[0].Set[0].Key
}

// setReach says how far what was found brings the figure down, and what it holds as it is.
func (r *Rule) setReach(found Found) {
	if r.ID == "float" {
		r.Says = "" // what it names has been tried
	}
	if len(found.Set) > 0 {
		r.Says = fmt.Sprintf("%s brings it to %.3f mm only. %s", Describe(found.Set, " with "), found.Reached, r.Says)
	}
	holds := job.Change{Key: "accuracy", Value: fmt.Sprintf("%.2f mm", math.Ceil(r.Value*100)/100)}
	r.Says = strings.Trim(r.Says, ". ") + "; or " + holds.String() + ", which it holds as it is"
	r.Key, r.Sets = holds.Key, [][]job.Change{{holds}}
}

// Describe puts changes into words.
func Describe(set []job.Change, by string) string {
	var out []string
	for _, c := range set {
		out = append(out, c.String())
	}
	return strings.Join(out, by)
}
