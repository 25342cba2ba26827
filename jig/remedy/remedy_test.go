package remedy

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"reseat/jig/job"
)

// figures is a rule that passes at a sum of 10 or more, from what each change adds; a change
// that it does not know is impossible. Negative sums do harm.
func figures(adds map[string]float64) (Try, *int) {
	asked := 0
	return func(set []job.Change) Outcome {
		asked++
		sum := 0.0
		for _, c := range set {
			add, ok := adds[c.String()]
			if n, err := strconv.ParseFloat(strings.TrimPrefix(c.String(), "size "), 64); err == nil {
				add, ok = n, true
			}
			if !ok {
				return Outcome{}
			}
			sum += add
		}
		return Outcome{Reached: sum, Passes: sum >= 10, Harmless: sum < 50}
	}, &asked
}

func sizes(from, to int) (out []string) {
	for i := from; i <= to; i++ {
		out = append(out, fmt.Sprint(i))
	}
	return out
}

func TestFind(t *testing.T) {
	try, _ := figures(map[string]float64{"a on": 12, "a off": 3, "b on": 9, "b very": 11, "c on": 60, "d on": 4})
	for _, c := range []struct {
		name    string
		options []Option
		most    int
		want    string
	}{
		{"first value that helps", []Option{{Key: "a", Values: []string{"off", "on"}}}, 3, "a on"},
		{"each option once, in order", []Option{values("b", "on", "very"), values("a", "on")}, 3, "b very; a on"},
		{"no more than asked for", []Option{values("b", "very"), values("a", "on")}, 1, "b very"},
		{"harm is none", []Option{values("c", "on")}, 3, ""},
		{"the impossible is none", []Option{values("e", "on"), values("a", "on")}, 3, "a on"},
		{"nothing to try", []Option{{Key: "a"}, {Key: "a", Halve: true}}, 3, ""},
		{"least size", []Option{{Key: "size", Values: sizes(1, 40), Halve: true}}, 3, "size 10"},
		{"the first size", []Option{{Key: "size", Values: sizes(10, 40), Halve: true}}, 3, "size 10"},
		{"no size is enough", []Option{{Key: "size", Values: sizes(1, 9), Halve: true}}, 3, ""},
		{"sizes that do harm farther on", []Option{{Key: "size", Values: sizes(1, 80), Halve: true}}, 3, "size 10"},
		{"with another", []Option{{With: []job.Change{{Key: "d", Value: "on"}}, Key: "size", Values: sizes(1, 40),
			Halve: true}}, 3, "d on, size 6"},
		{"fixed", []Option{{With: []job.Change{{Key: "d", Value: "on"}, {Key: "b", Value: "on"}}}}, 3, "d on, b on"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, f := range Find(c.options, try, c.most) {
				var set []string
				for _, k := range f.Set {
					set = append(set, k.String())
				}
				got = append(got, strings.Join(set, ", "))
			}
			if s := strings.Join(got, "; "); s != c.want {
				t.Errorf("found %q, want %q", s, c.want)
			}
		})
	}
}

// TestGuess: a size guessed right costs two tries, one guessed wrong is found all the same; what
// lacks 0.09 mm of a clearance of 0.05 is guessed at 0.14.
func TestGuess(t *testing.T) {
	for guess := 1; guess < 42; guess++ {
		try, asked := figures(nil)
		got := Find([]Option{{Key: "size", Values: sizes(1, 40), Halve: true, Guess: guess}}, try, 1)
		if len(got) != 1 || got[0].Set[0].Value != "10" || guess == 9 && *asked != 2 || *asked > 9 {
			t.Errorf("guessed %d: %v in %d tries", guess, got, *asked)
		}
	}
	j := &job.Job{}
	j.Template.ClearanceMM = 0.05
	if o := OptionsFor(j, "board-enters-window", 0.09)[0]; o.Values[o.Guess] != "0.14 mm" {
		t.Errorf("guessed %s", o.Values[o.Guess])
	}
}

// TestHalving: 40 sizes cost seven tries at most.
func TestHalving(t *testing.T) {
	try, asked := figures(nil)
	Find([]Option{{Key: "size", Values: sizes(1, 40), Halve: true}}, try, 1)
	if *asked > 7 {
		t.Errorf("%d tries for 40 sizes", *asked)
	}
}

// TestCombine adds up what brings an error down, by hand: of 100, a takes 30, b 20 and c 60
// but does harm; d takes nothing. 60 is enough.
func TestCombine(t *testing.T) {
	takes := map[string]float64{"a on": 30, "b on": 20, "b half": 10, "c on": 60, "d on": 0}
	try := func(enough float64) Try {
		return func(set []job.Change) Outcome {
			left, harm := 100.0, false
			for _, c := range set {
				left -= takes[c.String()]
				harm = harm || c.Key == "c"
			}
			return Outcome{Reached: left, Passes: left <= enough, Harmless: !harm}
		}
	}
	options := []Option{values("d", "on"), values("b", "half", "on"), values("c", "on"), values("a", "on")}
	both := []job.Change{{Key: "a", Value: "on"}, {Key: "b", Value: "on"}}
	if f := Combine(options, try(60), 100); !reflect.DeepEqual(f.Set, both) || !f.Passes || f.Reached != 50 {
		t.Errorf("%+v", f)
	}
	if f := Combine(options, try(40), 100); !reflect.DeepEqual(f.Set, both) || f.Passes {
		t.Errorf("not enough: %+v", f)
	}
	if f := Combine(options[:1], try(60), 100); f.Set != nil {
		t.Errorf("nothing brings it down: %+v", f)
	}
}

// TestOptions: sizes are whole in the job's unit, start beyond what the job has and are told
// as the job file takes them.
func TestOptions(t *testing.T) {
	mm, in := parsed(t, "mm", "62.5 mm"), parsed(t, "in", "62.5 mm")
	for _, c := range []struct {
		name string
		got  []string
		want string // the first two
	}{
		{"up in millimetres", up(mm, "k", 62.5, 90, whole).Values, "63 mm, 64 mm"},
		{"up from a whole size", up(mm, "k", 63, 90, whole).Values, "64 mm, 65 mm"},
		{"up in inches", up(in, "k", 62.5, 90, whole).Values, "2.5 in, 2.5625 in"},
		{"down in tenths", down(mm, "k", 4.5, 1, tenth).Values, "4.4 mm, 4.3 mm"},
		{"hundredths", up(mm, "k", 0.05, 0.2, hundredth).Values, "0.06 mm, 0.07 mm"},
	} {
		if s := strings.Join(c.got[:2], ", "); s != c.want {
			t.Errorf("%s: %s, want %s", c.name, s, c.want)
		}
	}
	if got := down(mm, "k", 4.5, 1, tenth).Values; got[len(got)-1] != "1 mm" {
		t.Errorf("down ends at %s", got[len(got)-1])
	}
	if w := RoundUp(mm, 62.5); w != 63 {
		t.Errorf("whole %g", w)
	}
	if w := RoundUp(mm, 63); w != 63 {
		t.Errorf("whole %g", w)
	}
	if got := OptionsFor(mm, "no-such-rule", 0); got != nil {
		t.Errorf("%v", got)
	}
}

func parsed(t *testing.T, unit, width string) *job.Job {
	t.Helper()
	j, err := job.Parse("job.yaml", []byte("units: "+unit+"\nboard: {length: 300 mm, width: "+width+", thickness: 6 mm}\n"+
		"dowel: {diameter: 6 mm}\ntemplate: {thickness: 6 mm, make: {by: laser}}\n"))
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// TestCure: a rule that passes is left alone and a job that holds is not tried; what a rule
// offers stays where it helps and harms none, and gives way otherwise. The figures are those
// of a job whose rails fail above 5 mm, and whose boards no rail below 4 mm would hold.
func TestCure(t *testing.T) {
	asked := 0
	judge := func(j *job.Job) []Rule {
		level := func(ok bool) string {
			if ok {
				return pass
			}
			return fail
		}
		if j.Rails == nil {
			return []Rule{{ID: "held", Level: warn}}
		}
		h := j.Rails.HeightMM
		return []Rule{{ID: "rail-below-edge", Level: level(h <= 5), Value: 5.5 - h, Limit: 0.5, Says: "own", Key: "rails"},
			{ID: "held", Level: level(h >= 4)}}
	}
	ask := func(j *job.Job, _ bool) []Rule { asked++; return judge(j) }
	offers := func(mm string) [][]job.Change { return [][]job.Change{{{Key: "rails.height", Value: mm}}} }
	for _, c := range []struct {
		name   string
		height string
		own    [][]job.Change
		says   string
		tries  bool
	}{
		{"holds", "4.5 mm", nil, "own", false},
		{"the least that helps", "6 mm", nil, "rails.height 5 mm", true},
		{"its own helps", "6 mm", offers("4.5 mm"), "own", true},
		{"its own harms", "6 mm", offers("3 mm"), "rails.height 5 mm", true},
		{"its own does not help", "6 mm", offers("6 mm"), "rails.height 5 mm", true},
		{"its own cannot be", "6 mm", offers("-1 mm"), "rails.height 5 mm", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			asked = 0
			j, err := job.Parse("job.yaml", []byte("board: {length: 300, width: 60, thickness: 6}\ndowel: {diameter: 6}\n"+
				"template: {thickness: 6, make: {by: laser}}\nrails: {plate: print, height: "+c.height+"}\n"))
			if err != nil {
				t.Fatal(err)
			}
			all := judge(j)
			all[0].Sets = c.own
			FindRemedies(j, all, ask)
			if all[0].Says != c.says || (asked > 0) != c.tries {
				t.Errorf("%q after %d tries", all[0].Says, asked)
			}
			if (all[0].Level == fail) != (all[0].Sets != nil) || all[1].Says != "" {
				t.Errorf("%+v", all)
			}
		})
	}
}

// TestCheapestFirst: of every kind of job, what brings the board back nearer is tried in the order
// of its cost, pushing before all else, and every cost is that of something that is tried.
func TestCheapestFirst(t *testing.T) {
	seen := map[string]bool{}
	for _, change := range []func(*job.Job){
		func(c *job.Job) { c.Template.Make.By, c.Machine.Zero = "router", "eye" },
		func(c *job.Job) {
			c.Template.Push, c.Template.Make.By = "left", "print"
			c.Climate = &job.Climate{Made: job.Air{TempC: 20, RHPct: 40}, Now: job.Air{TempC: 20, RHPct: 60}}
		},
		func(c *job.Job) {
			c.Template.Seat, c.Blank = "pins", &job.Blank{Make: job.Make{By: "router"}}
		},
	} {
		j := parsed(t, "mm", "62.5 mm").Changed(change)
		last := 0
		for i, o := range OptionsFor(j, "accuracy", 0.1) {
			k := costRank(o)
			if k < last || k == len(costs) {
				t.Errorf("%s with %v stands at %d, after %d", o.Key, o.With, k, last)
			}
			if i == 0 && j.Template.Seat == "nest" && o.Key != "template.push" {
				t.Errorf("%s is tried first", o.Key)
			}
			last = k
			seen[costs[min(k, len(costs)-1)].asks] = true
		}
	}
	for _, c := range costs {
		if !seen[c.asks] {
			t.Errorf("nothing is tried that costs %s: %s", c.asks, c.keys)
		}
	}
}
