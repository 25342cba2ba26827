package jig

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"reseat/dowel"
	"reseat/jig/job"
	"reseat/jig/setup"
)

// TestPins: the pins alone are those of the whole design.
func TestPins(t *testing.T) {
	j := parse(t, nil)
	pins, err := Pins(j)
	if err != nil {
		t.Fatal(err)
	}
	d := build(t, j)
	if len(pins) != len(d.Pins) {
		t.Fatalf("%d pins, want %d", len(pins), len(d.Pins))
	}
	for i, p := range pins {
		if p.ID != d.Pins[i].ID || p.At != d.Pins[i].At || p.Role != d.Pins[i].Role {
			t.Errorf("%v, want %v", p, d.Pins[i])
		}
	}
}

// TestDrilledTogether: the bed's drill goes through both, so that the order of work tells
// what every hole of the blank is opened to afterwards.
func TestDrilledTogether(t *testing.T) {
	j, err := job.Read("../testdata/cases/drilled-pins.yaml")
	if err != nil {
		t.Fatal(err)
	}
	d := build(t, j)
	s, ok := setup.ForProgram(d.Setups, setup.BedFile)
	steps := strings.Join(s.Steps, "\n")
	if !ok || s.ID != setup.BoreBoth {
		t.Fatalf("%+v", s)
	}
	for _, says := range []string{"Open the blank's holes", "P1 8.020 to 8.180", "P2 8.000 to 8.090 across",
		"P3 P4 10.520"} {
		if !strings.Contains(steps, says) {
			t.Errorf("no step says %q:\n%s", says, steps)
		}
	}
}

// TestJointDrawsPinOnce: over and under a loose pin lies the same pin, drawn once.
func TestJointDrawsPinOnce(t *testing.T) {
	pin := dowel.Pin{NominalMM: 6, MinMM: 5.99, MaxMM: 6, SDMM: 0.003}
	over, under := Hole{MeanMM: 6.02, SDMM: 0.004}, Hole{MeanMM: 6.01, SDMM: 0.002}
	r, n := rand.New(rand.NewPCG(1, 2)), 100000
	var sum, squares float64
	for range n {
		p := pin.MeanMM() + pin.SDMM*r.NormFloat64()
		play := over.MeanMM + over.SDMM*r.NormFloat64() - p + under.MeanMM + under.SDMM*r.NormFloat64() - p
		sum, squares = sum+play, squares+play*play
	}
	mean := sum / float64(n)
	sd := math.Sqrt(squares/float64(n) - mean*mean)
	if j := joint(Pin{Dowel: pin}, over, under); math.Abs(j.ClearMM-mean) > 1e-4 || math.Abs(j.ClearSDMM-sd) > 1e-4 {
		t.Errorf("play %.4f, sd %.4f; drawn %.4f, sd %.4f", j.ClearMM, j.ClearSDMM, mean, sd)
	}
}

// TestAssembliesByHand: a round hole and a slot on the line to it take every error of place by
// a shift and a turn, so that a part goes on when neither pin is larger than its hole. Drawn
// here each once: both holes of a pin, and the pin itself.
func TestAssembliesByHand(t *testing.T) {
	const runs = 80000
	r := rand.New(rand.NewPCG(8, 3))
	for _, name := range []string{"bouzouki-fingerboard", "mandola-in-parts", "neck-second-side"} {
		j, err := job.Read("../testdata/jobs/" + name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		d := build(t, j)
		for _, a := range d.Assembly {
			on, fails := 0, map[string]int{}
			for range runs {
				failed := false
				for _, q := range d.Pins[:2] {
					draw := func(mean, sd float64) float64 { return mean + sd*r.NormFloat64() }
					over, under := q.Template, q.Bed
					if a.Part == "blank" {
						over = *q.Blank
					} else if a.On == "blank" {
						under = *q.Blank
					}
					pin := draw(q.Dowel.MeanMM(), q.Dowel.SDMM)
					play := draw(over.MeanMM, over.SDMM) - pin
					if !under.Pressed {
						play += draw(under.MeanMM, under.SDMM) - pin
					}
					if play < 0 {
						failed = true
						fails[q.ID]++
					}
				}
				if !failed {
					on++
				}
			}
			// 3.5 standard errors of the thrown share, and a run and a half of the simulation.
			share := float64(on) / runs
			if off := math.Abs(share - a.Odds); off > 3.5*math.Sqrt(share*(1-share)/runs)+1.5/float64(a.Trials) {
				t.Errorf("%s, %s on %s: %.5f thrown, %.5f simulated", name, a.Part, a.On, share, a.Odds)
			}
			if blocks := float64(fails[a.Critical.Pin]) / max(1, float64(runs-on)); !a.ByClearance &&
				math.Abs(blocks-a.Share) > 0.05 {
				t.Errorf("%s, %s on %s: %s blocks in %.3f, simulated %.3f", name, a.Part, a.On, a.Critical.Pin, blocks, a.Share)
			}
			t.Logf("%s, %s on %s: %.5f thrown, %.5f simulated; %v of %d, %s", name, a.Part, a.On, share, a.Odds, fails,
				runs-on, a.Critical)
		}
	}
}
