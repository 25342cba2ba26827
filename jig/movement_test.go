package jig

import (
	"strings"
	"testing"

	"reseat/jig/climate"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/motion"
	"reseat/jig/part"
)

// emc is the moisture of wood at 20 degrees.
func emc(t *testing.T, rh float64) float64 {
	t.Helper()
	m, err := climate.EMC(climate.Air{TempC: 20, RHPct: rh})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// TestWoodMovement: features walk away from the datum's start by the handbook's equation;
// a window drawn for the board as it is now holds its datum line where it was.
func TestWoodMovement(t *testing.T) {
	for _, push := range []string{"none", "left", "right"} {
		t.Run(push, func(t *testing.T) {
			d := build(t, walnut(t, func(j *job.Job) { j.Template.Push = push }))
			// Wood Handbook equation 13-2 with C_T 0.00274 of black walnut (standard: table 13-5).
			e := 0.00274 * (emc(t, 50) - emc(t, 40))
			w := term(t, feature(t, d, "far"), "wood movement") // u 440, v 10
			if want := e * 10; !within(w.AcrossBiasMM, want, 1e-6) {
				t.Errorf("across %.6f, by hand %.6f", w.AcrossBiasMM, want)
			}
			if c := d.Climate; c == nil || !within(c.WidthMM, e*55/(1+e), 1e-9) || c.SinceMM != 0 {
				t.Fatalf("climate %+v, width by hand %.6f", c, e*55/(1+e))
			}
			if r := rule(t, d, "board-enters-window"); r.Level != Pass || !within(r.Value, 0.3, 1e-9) {
				t.Errorf("board-enters-window: %+v", r)
			}
		})
	}
}

// walnut is a job whose flat-sawn board was made at 40 % and goes back at 50 %.
func walnut(t *testing.T, change func(*job.Job)) *job.Job {
	return parse(t, func(j *job.Job) {
		j.Board.Wood, j.Board.Grain, j.Template.ClearanceMM = "walnut", "flat", 0.3
		j.Climate = &job.Climate{Made: job.Air{TempC: 20, RHPct: 40}, Now: job.Air{TempC: 20, RHPct: 50}}
		change(j)
	})
}

// TestMeasuredWhen: the window is drawn for the board as it goes back. Sizes measured in
// other air are grown to now, by the handbook's equation; the same board measured now
// gives the same window.
func TestMeasuredWhen(t *testing.T) {
	widths := func(d *Design) (start, end float64) {
		for _, s := range d.Setups {
			for _, c := range s.Checks {
				switch c.What {
				case "window's width, start end":
					start = c.Expected
				case "window's width, far end":
					end = c.Expected
				}
			}
		}
		return start, end
	}
	stated := build(t, walnut(t, func(*job.Job) {}))
	start, end := widths(stated)
	if !within(start, 41.5+0.6, 0.01) || !within(end, 55+0.6, 0.01) {
		t.Fatalf("measured now: window %.3f to %.3f", start, end)
	}
	for _, tc := range []struct {
		name string
		rh   float64
	}{{"when it was made", 40}, {"in a dry room", 25}, {"in a damp room", 65}, {"now", 50}} {
		t.Run(tc.name, func(t *testing.T) {
			measured := func(j *job.Job) { j.Board.Measured = &job.Air{TempC: 20, RHPct: tc.rh} }
			d := build(t, walnut(t, measured))
			grew := 0.00274 * (emc(t, 50) - emc(t, tc.rh))
			gotStart, gotEnd := widths(d)
			if !within(gotStart-start, 41.5*grew, 1e-4) || !within(gotEnd-end, 55*grew, 1e-4) {
				t.Errorf("window %.4f to %.4f wider, by hand %.4f and %.4f", gotStart-start, gotEnd-end, 41.5*grew, 55*grew)
			}
			if !within(d.Climate.SinceMM, 55*grew, 1e-9) || !within(d.Board.WidthEndMM, 55*(1+grew), 1e-9) {
				t.Errorf("board %.4f wide, %.4f since; by hand %.4f", d.Board.WidthEndMM, d.Climate.SinceMM, 55*grew)
			}
			// What is measured or cut on it now takes the same board, once.
			now, err := part.AsNow(walnut(t, measured))
			if err != nil {
				t.Fatal(err)
			}
			if again := build(t, now); now.Board.WidthEndMM != d.Board.WidthEndMM ||
				again.Board.WidthEndMM != d.Board.WidthEndMM {
				t.Errorf("as now %.4f wide, built %.4f, want %.4f", now.Board.WidthEndMM, again.Board.WidthEndMM,
					d.Board.WidthEndMM)
			}
			// Its dots are where they were cut, and walk with the wood since then alone.
			far, same := feature(t, d, "far"), feature(t, stated, "far")
			if far.At != same.At || !within(term(t, far, "wood movement").AcrossBiasMM,
				term(t, same, "wood movement").AcrossBiasMM, 1e-9) {
				t.Errorf("far at %v, moves %+v", far.At, term(t, far, "wood movement"))
			}
		})
	}
}

// TestOutgrown: a board that grew more than its window was drawn for lies off by half of
// that at every station when pushed to a side, to either end alike when not.
func TestOutgrown(t *testing.T) {
	const e = 1e-3
	for _, tc := range []struct {
		push string
		side float64
	}{{"left", -1}, {"right", 1}, {"none", 0}} {
		b := motion.Board{LengthMM: 400, WidthStartMM: 40, WidthEndMM: 60, Push: tc.push}
		for _, u := range []float64{0, 130, 400} {
			got := b.Outgrown(e, e).At(geom.Vec{X: u})
			want := geom.Vec{X: -e * 200, Y: 0}
			if tc.side != 0 {
				// Along, it turns by some microradians: what its start end does is not judged.
				want = geom.Vec{X: got.X, Y: tc.side * e * (40 + 20*u/400) / 2}
			}
			if got.Dist(want) > 1e-6 {
				t.Errorf("%s at %.0f: %v, by hand %v", tc.push, u, got, want)
			}
		}
	}
}

// TestEntersBelow: the humidity up to which the board goes in is where it has grown by
// both clearances since now, by the handbook's equation.
func TestEntersBelow(t *testing.T) {
	j := walnut(t, func(j *job.Job) { j.Template.ClearanceMM, j.Template.Material = 0.15, "aluminium" })
	rh := build(t, j).Climate.EntersBelowRHPct
	if grew := 55 * 0.00274 * (emc(t, rh) - emc(t, 50)); rh <= 50 || !within(grew, 0.3, 1e-3) {
		t.Errorf("at %.2f %% it has grown by %.4f, of 0.3", rh, grew)
	}
}

// TestUnknownWood: what cannot be computed is told, not guessed.
func TestUnknownWood(t *testing.T) {
	d := build(t, parse(t, func(j *job.Job) {
		j.Board.Wood = "moonwood"
		j.Climate = &job.Climate{Made: job.Air{TempC: 20, RHPct: 45}, Now: job.Air{TempC: 20, RHPct: 60}}
	}))
	if r := rule(t, d, "board-movement"); r.Level != Warn || !strings.Contains(r.Says, "moonwood") {
		t.Errorf("%+v", r)
	}
	if d.Climate != nil {
		t.Errorf("climate of an unknown wood: %+v", d.Climate)
	}
}

// TestClimateOutOfRange: the equation's range is told at the job's line.
func TestClimateOutOfRange(t *testing.T) {
	_, err := Build(parse(t, func(j *job.Job) {
		j.Climate = &job.Climate{Made: job.Air{TempC: 20, RHPct: 45}, Now: job.Air{TempC: 59, RHPct: 60}}
	}))
	if err == nil || !strings.Contains(err.Error(), "temperature of 59") {
		t.Errorf("error %v", err)
	}
}
