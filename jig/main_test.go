package jig

import (
	"flag"
	"os"
	"runtime/debug"
	"strconv"
	"testing"

	"reseat/jig/budget"
	"reseat/jig/montecarlo"
)

// TestMain lowers the number of simulated trials: the tests build thousands of
// designs, and what the simulations say is held in jig/budget, jig/assembly and
// TestSimulationIsWhole.
//
// A property test here builds a whole design at every draw, so it makes fewer draws than
// elsewhere unless RAPID_CHECKS says how many.
func TestMain(m *testing.M) {
	trials, fewRuns = 1024, 1024
	debug.SetGCPercent(400) // many short-lived designs
	if os.Getenv("RAPID_CHECKS") == "" {
		if err := flag.Set("rapid.checks", "40"); err != nil {
			panic(err)
		}
	}
	os.Exit(m.Run())
}

// TestSimulationIsWhole: as a user runs it, a design rests on all the runs of either
// kind, and says so with its seed.
func TestSimulationIsWhole(t *testing.T) {
	few := trials
	trials = 0
	defer func() { trials = few }()
	d := build(t, parse(t, nil))
	if d.Budget.Trials != budget.Runs || d.Budget.Seed != simulationSeed {
		t.Errorf("budget: %d trials, seed %d", d.Budget.Trials, d.Budget.Seed)
	}
	for _, a := range d.Assembly {
		if a.Trials != montecarlo.Runs || a.Seed != simulationSeed || !(a.OddsLow <= a.Odds && a.Odds <= a.OddsHigh) {
			t.Errorf("assembly: %+v", a)
		}
	}
}

// deep: RAPID_CHECKS over 100 asks for the tests that take longer.
func deep() bool {
	n, _ := strconv.Atoi(os.Getenv("RAPID_CHECKS"))
	return n > 100
}
