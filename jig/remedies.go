package jig

import (
	"context"
	"fmt"

	"reseat/jig/job"
	"reseat/jig/layout"
	"reseat/jig/remedy"
)

// fewRuns of the simulations are enough where their figures are not what is looked for;
// a variable for the tests, as trials is.
var fewRuns = 4096

// withRemedies tells the rules, each that does not pass with what helps: changes that were tried on
// the job's file. Once the context ends nothing more is tried.
func withRemedies(ctx context.Context, j *job.Job, all []ruling) []Rule {
	rules, searched := toRemedyRules(all), layout.Searched{}
	remedy.FindRemedies(j, rules, func(k *job.Job, exact bool) []remedy.Rule {
		if ctx.Err() != nil {
			return nil
		}
		runs := fewRuns
		if exact {
			runs = trials
		}
		_, after, err := designed(k, runs, searched)
		if err != nil {
			return nil
		}
		return toRemedyRules(after)
	})
	for i, a := range rules {
		all[i].remedy, all[i].key, all[i].Remedies = a.Says, a.Key, nil
		for _, set := range a.Sets {
			all[i].Remedies = append(all[i].Remedies, Remedy{set})
		}
	}
	return toRules(j, all)
}

// toRemedyRules are the rules as remedies see them.
func toRemedyRules(all []ruling) (out []remedy.Rule) {
	for _, r := range all {
		a := remedy.Rule{ID: r.ID, Level: string(r.Level), Value: r.Value, Limit: r.Limit, Says: r.remedy, Key: r.key}
		for _, way := range r.Remedies {
			a.Sets = append(a.Sets, way.Set)
		}
		out = append(out, a)
	}
	return out
}

// leastPushGain is the share of the error that pushing the board home must take off a design that
// holds, to be worth telling: it costs nothing but a hand. Practice.
const leastPushGain = 0.25

// atHome is a design whose board is pushed home, and the change that does it.
type atHome struct {
	*Design
	fails int // of its rules
	set   []job.Change
}

// pushedHome designs a job whose board lies free in its window as pushed home; nothing of another.
func pushedHome(j *job.Job) (atHome, error) {
	if j.Template.Seat != "nest" || j.Template.Push != "none" {
		return atHome{}, nil
	}
	set := []job.Change{{Key: "template.push", Value: "left"}}
	k, err := j.With(set...)
	if err != nil {
		return atHome{}, err
	}
	with, rules, err := designed(k, fewRuns, layout.Searched{})
	return atHome{with, fails(toRules(k, rules)), set}, err
}

// advice tells what pushing the board of a design home would bring; nothing where it gains little,
// or fails a rule then.
func (h atHome) advice(j *job.Job, d *Design) []Rule {
	if h.Design == nil || h.Budget == nil || d.Budget == nil || h.fails > fails(d.Rules) {
		return nil
	}
	now, then := d.Budget.Features[d.Budget.Worst()], h.Budget.Features[h.Budget.Worst()]
	// Over the accuracy its rule has tried this already.
	if now.P95MM > j.AccuracyMM || then.P95MM > (1-leastPushGain)*now.P95MM {
		return nil
	}
	return []Rule{{
		ID: "push", Level: Warn, Value: now.P95MM, Limit: then.P95MM, Unit: "mm",
		Says: remedied(fmt.Sprintf("the board lies free in its window. Pushed against one side and the start end, the "+
			"largest error falls from %.3f to %.3f mm, at no cost", now.P95MM, then.P95MM), job.Change{Key: "template.push",
			Value: "left"}.String()),
		Line: j.Pos("template.push").Line, Remedies: []Remedy{{h.set}},
	}}
}

func fails(rules []Rule) (n int) {
	for _, r := range rules {
		if r.Level == Fail {
			n++
		}
	}
	return n
}
