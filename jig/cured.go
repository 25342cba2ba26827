package jig

import (
	"reseat/jig/job"
	"reseat/jig/layout"
	"reseat/jig/remedy"
)

// fewRuns of the simulations are enough where their figures are not what is looked for;
// a variable for the tests, as trials is.
var fewRuns = 4096

// cured tells the rules, each that does not pass with what helps: changes that were tried on
// the job's file.
func cured(j *job.Job, all []ruling) []Rule {
	rules, searched := asked(all), layout.Searched{}
	remedy.Cure(j, rules, func(k *job.Job, exact bool) []remedy.Rule {
		runs := fewRuns
		if exact {
			runs = trials
		}
		_, after, err := designed(k, runs, searched)
		if err != nil {
			return nil
		}
		return asked(after)
	})
	for i, a := range rules {
		all[i].remedy, all[i].key, all[i].Remedies = a.Says, a.Key, nil
		for _, set := range a.Sets {
			all[i].Remedies = append(all[i].Remedies, Remedy{set})
		}
	}
	return told(j, all)
}

// asked are the rules as remedies see them.
func asked(all []ruling) (out []remedy.Rule) {
	for _, r := range all {
		a := remedy.Rule{ID: r.ID, Level: string(r.Level), Value: r.Value, Limit: r.Limit, Says: r.remedy, Key: r.key}
		for _, way := range r.Remedies {
			a.Sets = append(a.Sets, way.Set)
		}
		out = append(out, a)
	}
	return out
}
