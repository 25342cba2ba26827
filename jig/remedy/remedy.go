// Package remedy finds changes of the job file by which a failed rule passes, by trying
// them: short lists of what can be changed for each rule, the cheapest first, and for sizes
// the least that does. What does not help is never named.
package remedy

import (
	"cmp"
	"slices"
	"sort"

	"reseat/jig/job"
)

// Option is one key of the job file that can be changed.
type Option struct {
	With   []job.Change // made along with it, or alone when there is no key
	Key    string
	Values []string // the nearest to what the job has first
	// Halve: where the rule passes with one of the values, it does with all after it; the
	// first is found by halving, and is taken if it does no harm. Otherwise each is tried.
	Halve bool
	Guess int    // of the first that passes: tried before halving; 0: none
	Last  bool   // tried only when nothing before it helps
	Note  string // what a hand has to do for it; "": nothing but the file
}

// Found is a change that helps.
type Found struct {
	Set []job.Change
	Outcome
	Note string
}

// Outcome is what became of a rule when changes were tried.
type Outcome struct {
	Reached  float64 // its figure
	Passes   bool
	Harmless bool // no other rule is worse than it may be
}

// Helps reports whether the rule passes and none is worse for it.
func (o Outcome) Helps() bool { return o.Passes && o.Harmless }

// Try makes changes and asks the rules anew.
type Try func([]job.Change) Outcome

// Find returns the first changes that make the rule pass and do no harm, at most so many,
// one for each option.
func Find(options []Option, try Try, most int) []Found {
	var out []Found
	for _, o := range options {
		if len(out) == most {
			break
		}
		if f, ok := o.find(try); ok {
			out = append(out, f)
		}
	}
	return out
}

// Combine adds up the harmless changes where no single one helps, the most effective first,
// until the rule passes, and returns what they reach. It is for rules whose figure has to come
// down from what it is. No changes: none brings it down by worthShare.
func Combine(options []Option, try Try, from float64) Found {
	var single []Found
	for _, o := range options {
		best, ok := Found{}, false
		for i := range max(1, len(o.Values)) {
			if f := o.tried(try, i); f.Harmless && f.Reached < from*(1-worthShare) && (!ok || f.Reached < best.Reached) {
				best, ok = f, true
			}
		}
		if ok {
			single = append(single, best)
		}
	}
	slices.SortStableFunc(single, func(a, b Found) int { return cmp.Compare(a.Reached, b.Reached) })
	sum := Found{Outcome: Outcome{Reached: from}}
	for _, f := range single {
		set := append(slices.Clone(sum.Set), f.Set...)
		if o := try(set); o.Harmless && o.Reached < sum.Reached*(1-worthShare) {
			sum.Set, sum.Outcome = set, o
			if f.Note != "" {
				sum.Note = f.Note
			}
		}
		if sum.Passes {
			break
		}
	}
	return sum
}

// worthShare is the share of a figure that a change must take off to be worth a hand's work beside
// others. Common practice, no source.
const worthShare = 0.02

func (o Option) find(try Try) (Found, bool) {
	last := max(0, len(o.Values)-1)
	if o.Key != "" && len(o.Values) == 0 {
		return Found{}, false
	}
	if !o.Halve {
		for i := range last + 1 {
			if f := o.tried(try, i); f.Helps() {
				return f, true
			}
		}
		return Found{}, false
	}
	if g := o.Guess; 0 < g && g <= last {
		if f := o.tried(try, g); f.Passes && !o.tried(try, g-1).Passes {
			return f, f.Harmless
		}
	}
	best := o.tried(try, last)
	if !best.Passes {
		return Found{}, false
	}
	sort.Search(last, func(i int) bool {
		f := o.tried(try, i)
		if f.Passes {
			best = f
		}
		return f.Passes
	})
	return best, best.Harmless
}

// tried is the option's change number i, from 0.
func (o Option) tried(try Try, i int) Found {
	f := Found{Set: slices.Clone(o.With), Note: o.Note}
	if o.Key != "" {
		f.Set = append(f.Set, job.Change{Key: o.Key, Value: o.Values[i]})
	}
	f.Outcome = try(f.Set)
	return f
}
