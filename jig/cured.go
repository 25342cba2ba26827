package jig

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/jig/job"
	"reseat/jig/remedy"
)

const (
	// mostRemedies is how many ways out of a rule are told.
	mostRemedies = 3
	// mostTries bounds the designs that are made to look for them.
	mostTries = 40
	// fewRuns of the simulations are enough where their figures are not what is looked for.
	fewRuns = 4096
)

// cured tells the rules, each that does not pass with what helps: changes that were tried on
// the job's file. A job that holds is not tried at all.
func cured(j *job.Job, all []ruling) []Rule {
	c := changes{job: j, was: worst(all), tried: map[string][]ruling{}}
	for _, level := range []Level{Fail, Warn} { // what fails first
		for i := range all {
			if all[i].Level == level {
				c.cure(&all[i])
			}
		}
	}
	return told(j, all)
}

// changes of a job that were tried, with the rules as they are then.
type changes struct {
	job   *job.Job
	was   map[string]Level
	tried map[string][]ruling
}

// cure looks for what helps a rule. What the rule offers of its own stays where it helps.
func (c changes) cure(r *ruling) {
	options := remedy.For(c.job, r.ID, math.Abs(r.Limit-r.Value))
	if r.Remedies != nil {
		if o := c.try(r, Warn); len(options) == 0 || r.Level == Warn || o(r.Remedies[0].Set).Helps() {
			return
		}
		r.Remedies = nil
	}
	for _, most := range []Level{Pass, Warn} {
		if badness(most) >= badness(r.Level) {
			break
		}
		try := c.try(r, most)
		found := remedy.Find(options, try, mostRemedies)
		if len(found) == 0 && lowers(r.ID) {
			if f := remedy.Combine(options, try, r.Value); f.Passes {
				found = append(found, f)
			} else if most == Warn {
				r.settle(f)
				return
			}
		}
		if len(found) > 0 {
			r.heal(found)
			return
		}
	}
	if len(options) > 0 && r.Level == Fail {
		r.remedy = "no single change that was tried does: " + r.remedy
	}
}

// try asks the rules of the job with changes made. Of the other rules none may be worse than
// most and worse than it was.
func (c changes) try(r *ruling, most Level) remedy.Try {
	exact := r.ID == "accuracy" || strings.HasPrefix(r.ID, "assembly-") // figures of a simulation
	return func(set []job.Change) remedy.Outcome {
		key := fmt.Sprint(exact, set)
		after, ok := c.tried[key]
		if k, err := c.job.With(set...); !ok && err == nil && len(c.tried) < mostTries {
			runs := fewRuns
			if exact {
				runs = trials
			}
			_, after, _ = designed(k, runs, false)
			c.tried[key] = after
		}
		o := remedy.Outcome{Harmless: after != nil}
		// These are asked only where something was found.
		o.Passes = o.Harmless && (strings.HasPrefix(r.ID, "pocket") || strings.HasPrefix(r.ID, "process-holds-"))
		for _, a := range after {
			if a.ID == r.ID {
				o.Reached, o.Passes = a.Value, a.Level == Pass
			} else if badness(a.Level) > max(badness(most), badness(c.was[a.ID])) {
				o.Harmless = false
			}
		}
		return o
	}
}

// worst is the worst level of each rule.
func worst(all []ruling) map[string]Level {
	out := map[string]Level{}
	for _, r := range all {
		if badness(r.Level) >= badness(out[r.ID]) {
			out[r.ID] = r.Level
		}
	}
	return out
}

// badness orders the levels; a rule that was not asked is as good as one that passes.
func badness(l Level) int { return max(0, slices.Index([]Level{Pass, Warn, Fail}, l)) }

// lowers reports whether a rule's figure is an error that has to come down.
func lowers(id string) bool { return id == "accuracy" || id == "float" }

// heal puts what was found in the place of the rule's own remedy.
func (r *ruling) heal(found []remedy.Found) {
	var ways []string
	r.key = found[0].Set[0].Key
	for _, f := range found {
		way := joined(f.Set, " with ")
		if lowers(r.ID) {
			way += fmt.Sprintf(" (%.3f mm)", f.Reached)
		}
		if f.Note != "" {
			way += ", " + f.Note
		}
		ways, r.Remedies = append(ways, way), append(r.Remedies, Remedy{Set: f.Set})
	}
	r.remedy = "would do: " + strings.Join(ways, "; or ")
}

// settle says how far what was found brings the figure down, and what it holds as it is.
func (r *ruling) settle(found remedy.Found) {
	if r.ID == "float" {
		r.remedy = "" // what it names has been tried
	}
	if len(found.Set) > 0 {
		r.remedy = fmt.Sprintf("%s brings it to %.3f mm only. %s", joined(found.Set, " with "), found.Reached, r.remedy)
	}
	holds := job.Change{Key: "accuracy", Value: fmt.Sprintf("%.2f mm", math.Ceil(r.Value*100)/100)}
	r.remedy = strings.Trim(r.remedy, ". ") + "; or " + holds.String() + ", which it holds as it is"
	r.key, r.Remedies = holds.Key, []Remedy{{Set: []job.Change{holds}}}
}

// joined are changes in words.
func joined(set []job.Change, by string) string {
	var out []string
	for _, c := range set {
		out = append(out, c.String())
	}
	return strings.Join(out, by)
}
