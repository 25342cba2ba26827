package report

import (
	"strings"
	"testing"
	"unicode/utf8"

	"reseat/cmd/internal/command"
	"reseat/dowel"
	"reseat/export"
	"reseat/jig"
	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/setup"
)

func TestVerdict(t *testing.T) {
	rules := func(fails, warns, pass int) (out []jig.Rule) {
		for n, level := range map[int]jig.Level{0: jig.Fail, 1: jig.Warn, 2: jig.Pass} {
			for range []int{fails, warns, pass}[n] {
				out = append(out, jig.Rule{ID: "web", Level: level})
			}
		}
		return out
	}
	account := &budget.Budget{Features: []budget.FeatureBudget{{Name: "near", P95MM: 0.01}, {Name: "far", P95MM: 0.0974}}}
	wanted := jig.Rule{ID: "accuracy", Level: jig.Pass, Limit: 0.1}
	for name, c := range map[string]struct {
		d    jig.Design
		want string
	}{
		"holds": {jig.Design{Title: "Board", Rules: rules(0, 0, 3)}, "HOLDS  Board: all 3 rules hold\n"},
		"warns": {jig.Design{Title: "Board", Rules: rules(0, 1, 3)}, "HOLDS  Board: rules hold, 1 warning\n"},
		"fails": {
			jig.Design{Title: "Board", Rules: rules(2, 1, 3)}, "DOES NOT HOLD  Board: 2 of 6 rules fail, 1 warning\n",
		},
		"one fails": {jig.Design{Title: "Board", Rules: rules(1, 2, 3)}, "DOES NOT HOLD  Board: 1 of 6 rules fails, 2 warnings\n"},
		"worst feature": {
			jig.Design{Title: "Board", Rules: append(rules(0, 0, 3), wanted), Budget: account},
			"HOLDS  Board: 0.097 mm (95 %) at far, wanted 0.1 mm; all 4 rules hold\n",
		},
	} {
		t.Run(name, func(t *testing.T) {
			var b strings.Builder
			writeVerdict(&b, &c.d)
			if b.String() != c.want {
				t.Errorf("got %q, want %q", b.String(), c.want)
			}
		})
	}
}

// TestFailures: failures come first and whole, of warnings their first sentence.
func TestFailures(t *testing.T) {
	long := strings.Repeat("word ", 60) + "hole P1: found. Remedy: remedy"
	d := &jig.Design{JobFile: "a.yaml", Rules: []jig.Rule{
		{ID: "thin", Level: jig.Warn, Value: 1, Limit: 2, Unit: "mm", Says: long},
		{ID: "web", Level: jig.Fail, Says: long, Line: 7},
		{ID: "fits", Level: jig.Pass, Says: long},
	}}
	var b strings.Builder
	writeFailures(&b, d, true)
	lines := strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
	fail, warn, ok := strings.Cut(b.String(), "warn  thin: word")
	if !ok || !strings.HasPrefix(fail, "fail  web: a.yaml:7: word") || !strings.HasSuffix(fail, "remedy\n") {
		t.Errorf("the failure is not told whole, with its line:\n%s", b.String())
	}
	if !strings.HasSuffix(warn, " hole P1: found\n") {
		t.Errorf("the warning: %s", warn)
	}
	for _, l := range lines {
		if utf8.RuneCountInString(l) > command.Wide() {
			t.Errorf("%d characters: %s", utf8.RuneCountInString(l), l)
		}
	}
}

// TestWork: of the checks the first, zero once; steps are for the full text.
func TestWork(t *testing.T) {
	zero := &setup.Zero{Says: "X0 Y0 at the pin"}
	d := &jig.Design{Setups: []setup.Setup{
		{
			Number: 1, Title: "Bore", Place: "machine", Program: "a.nc", Zero: zero,
			Tool:  &setup.Tool{Name: "drill", DiameterMM: 5.5, ReachNeededMM: 12.34},
			Steps: []string{"Clamp it. Well.", "Run a.nc, 0.5 deep."},
			Checks: []setup.Check{
				{What: "hole", With: "gauge", Expected: 5.5, Low: 5.4, High: 5.6, Unit: "mm"}, {What: "flat", With: "gauge"},
				{What: "third", With: "eye"},
			},
		},
		{Number: 2, Title: "Again", Place: "machine", Zero: zero, Steps: []string{"Look."}, Checks: []setup.Check{
			{What: "runout", With: "dial", Low: -0.1, High: 0.1, Unit: "mm"},
		}},
		{Number: 3, Title: "Cut", Place: "bench", Part: "plate", Files: []string{"b.dxf"}, Steps: []string{"Saw."}},
	}}
	var b strings.Builder
	writeWork(&b, d, []export.File{{Name: "a.nc"}})
	_, got, _ := strings.Cut(b.String(), "\n") // what to take is not told here
	want := ` 1  Bore (machine, a.nc, drill 5.5, reach 12.3)
    zero: X0 Y0 at the pin
    check: hole 5.50, 5.40 to 5.60 (gauge)
 2  Again (machine), zero as in 1
    check: runout within 0.10 (dial)
 3  Cut (bench, b.dxf)
    Saw.
`
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	b.Reset()
	writeWork(&b, d, nil)
	if !strings.Contains(b.String(), "a.nc NOT WRITTEN") {
		t.Errorf("a program that is not there is not told:\n%s", b.String())
	}
	b.Reset()
	Design(&b, d, "out", export.Result{}, true)
	for _, part := range []string{"  1. Clamp it. Well.", "  check: third (eye)", "set-up 3: Cut (bench, b.dxf): plate"} {
		if !strings.Contains(b.String(), part) {
			t.Errorf("--full does not say %q:\n%s", part, b.String())
		}
	}
}

// TestTake: each stock once, and as many pins as are put in, whatever number of set-ups
// they stand in.
func TestTake(t *testing.T) {
	three := func(mm float64, after bool) (out []setup.Pin) {
		for range 3 {
			out = append(out, setup.Pin{LengthMM: mm, After: after})
		}
		return out
	}
	bed := geom.Rect(geom.Box{Max: geom.Vec{X: 600.4, Y: 150}})
	d := &jig.Design{
		Bed: jig.Bed{Material: "mdf", ThicknessMM: 18, Outline: bed}, Seat: jig.Seat{Kind: "nest"},
		Template: jig.Template{MakeBy: "print", Outline: bed},
		Pins:     []jig.Pin{{Dowel: dowel.Pin{Standard: "iso 8734", NominalMM: 6, Class: "m6"}}},
		Setups: []setup.Setup{
			{Pins: three(14, true), Tool: &setup.Tool{Name: "end mill", DiameterMM: 3}}, {Pins: three(14, false)},
			{Pins: three(14, true), Tool: &setup.Tool{Name: "end mill", DiameterMM: 3}}, {Pins: three(20, true)},
		},
	}
	var b strings.Builder
	writeTake(&b, d)
	want := "have ready: bed mdf 600.4 x 150 x 18; 6 pins ISO 8734 6 m6 x 14; 3 pins ISO 8734 6 m6 x 20; end mill 3"
	if got := strings.Join(strings.Fields(b.String()), " "); got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	d.Pins[0].Dowel = dowel.Pin{Standard: "asme b18.8.2", NominalMM: 6.35}
	d.Setups = []setup.Setup{{Pins: three(15.875, true)}}
	if got, want := TakeList(d)[1], "3 pins ASME B18.8.2 1/4 in x 5/8 in"; got != want { // as they are sold
		t.Errorf("got %q, want %q", got, want)
	}
}
