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
	was, tried := worst(all), map[string][]ruling{}
	var sick []*ruling // what fails first
	for _, level := range []Level{Fail, Warn} {
		for i := range all {
			if all[i].Level == level && all[i].Remedies == nil {
				sick = append(sick, &all[i])
			}
		}
	}
	for _, r := range sick {
		exact := simulated(r.ID)
		try := func(set []job.Change) remedy.Outcome {
			key := fmt.Sprint(exact, set)
			after, ok := tried[key]
			if !ok && len(tried) < mostTries {
				after = retried(j, set, exact)
				tried[key] = after
			}
			return outcome(r.ID, was, after)
		}
		options := remedy.For(j, r.ID, math.Abs(r.Limit-r.Value))
		found := remedy.Find(options, try, mostRemedies)
		if len(found) == 0 && lowers(r.ID) {
			if f := remedy.Combine(options, try, r.Value); f.Passes {
				found = append(found, f)
			} else {
				r.settle(f)
				continue
			}
		}
		switch {
		case len(found) > 0:
			r.heal(found)
		case len(options) > 0 && r.Level == Fail:
			r.remedy = "no single change that was tried does: " + r.remedy
		}
	}
	return told(j, all)
}

// simulated reports whether a rule's figure comes from a simulation.
func simulated(id string) bool { return id == "accuracy" || strings.HasPrefix(id, "assembly-") }

// retried asks the rules of a changed job; nil when there is no such job.
func retried(j *job.Job, set []job.Change, exact bool) []ruling {
	k, err := j.With(set...)
	if err != nil {
		return nil
	}
	runs := fewRuns
	if exact {
		runs = trials
	}
	_, after, _ := designed(k, runs, false)
	return after
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

// badness orders the levels; a rule that was not asked passes.
func badness(l Level) int { return slices.Index([]Level{Pass, Warn, Fail}, l) }

// outcome is what became of a rule. One that is no longer asked passes if it is only asked
// where something was found.
func outcome(id string, was map[string]Level, after []ruling) remedy.Outcome {
	o := remedy.Outcome{Harmless: after != nil}
	o.Passes = o.Harmless && (strings.HasPrefix(id, "pocket") || strings.HasPrefix(id, "process-holds-"))
	for _, r := range after {
		if r.ID == id {
			o.Reached, o.Passes = r.Value, r.Level == Pass
		} else if badness(r.Level) > max(0, badness(was[r.ID])) {
			o.Harmless = false
		}
	}
	return o
}

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

// lowers reports whether a rule's figure is an error that has to come down.
func lowers(id string) bool { return id == "accuracy" || id == "float" }

// settle says how far what was found brings the figure down, and what it holds as it is.
func (r *ruling) settle(found remedy.Found) {
	if len(found.Set) > 0 {
		r.remedy = fmt.Sprintf("%s brings it to %.3f mm only. %s", joined(found.Set, " with "), found.Reached, r.remedy)
	}
	holds := job.Change{Key: "accuracy", Value: fmt.Sprintf("%.2f mm", math.Ceil(r.Value*100)/100)}
	r.remedy = strings.TrimSuffix(r.remedy, ".") + "; or " + holds.String() + ", which it holds as it is"
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
