package jig

import (
	"math"
	"strings"
	"testing"

	"reseat/fit"
	"reseat/jig/budget"
	"reseat/jig/climate"
	"reseat/jig/job"
	"reseat/jig/measure"
	"reseat/jig/setup"
)

// term finds a feature's term by the start of its name.
func term(t *testing.T, f budget.FeatureBudget, name string) budget.Term {
	t.Helper()
	for _, x := range f.Terms {
		if strings.HasPrefix(x.Source, name) {
			return x
		}
	}
	t.Fatalf("no term %q at %s", name, f.Name)
	return budget.Term{}
}

func feature(t *testing.T, d *Design, name string) budget.FeatureBudget {
	t.Helper()
	if d.Budget == nil {
		t.Fatal("no budget")
	}
	for _, f := range d.Budget.Features {
		if f.Name == name {
			return f
		}
	}
	t.Fatalf("no feature %q", name)
	return budget.FeatureBudget{}
}

func within(a, b, tol float64) bool { return math.Abs(a-b) <= tol }

// TestTermsByHand holds single terms of the base job against figures worked out by
// hand from the pins' places.
func TestTermsByHand(t *testing.T) {
	d := build(t, parse(t, func(j *job.Job) {
		j.Template.Push = "left"
		j.Machine.SquareMM = 0.06
		j.Bed.Make.By = "router"
	}))
	p1, p2 := d.Pins[0].At, d.Pins[1].At
	l := p2.X - p1.X
	if p1.Y != 0 || p2.Y != 0 {
		t.Fatalf("the pair stands off the datum line: %v %v", p1, p2)
	}
	far := feature(t, d, "far") // u 440, v 10
	s, n := (440-p1.X)/l, 10/l

	// Bed holes err by 0.03 along each axis, round (a, b) and slot across (s):
	// du = a - theta v, dv = b + theta (u - u1), theta = (c - b)/L. The corner of the
	// box of (a, b, c) that moves the feature farthest, by trying all eight.
	worst := 0.0
	for i := range 8 {
		sign := func(bit int) float64 { return 0.03 * float64(2*(i>>bit&1)-1) }
		a, b, c := sign(0), sign(1), sign(2)
		theta := (c - b) / l
		worst = math.Max(worst, math.Hypot(a-theta*10, b+theta*(440-p1.X)))
	}
	bed := term(t, far, "hole position, bed")
	if !within(bed.WorstMM, worst, 1e-9) {
		t.Errorf("bed holes: worst %.9f, by hand %.9f", bed.WorstMM, worst)
	}
	// Variances add: along a and n (c - b), across b (1 - s) + c s.
	sd := 0.03 / fit.Normal95
	if want := sd * math.Sqrt(1+2*n*n); !within(bed.AlongSDMM, want, 1e-9) {
		t.Errorf("bed holes: sd along %.9f, by hand %.9f", bed.AlongSDMM, want)
	}
	if want := sd * math.Hypot(1-s, s); !within(bed.AcrossSDMM, want, 1e-9) {
		t.Errorf("bed holes: sd across %.9f, by hand %.9f", bed.AcrossSDMM, want)
	}
	// The plate's holes: the laser's 0.13 on each axis (jig/fit, a shop's figure).
	if tm := term(t, far, "hole position, template"); !within(tm.WorstMM, worst*0.13/0.03, 1e-9) {
		t.Errorf("template holes: worst %.9f", tm.WorstMM)
	}
	if z := term(t, far, "zero setting"); !within(z.WorstMM, math.Hypot(0.02, 0.02), 1e-9) ||
		!within(z.SDMM, 0.02/fit.Normal95*math.Sqrt2, 1e-9) {
		t.Errorf("zero: %+v", z)
	}
	if c := term(t, far, "machine positioning, this cut"); !within(c.WorstMM, math.Hypot(0.03, 0.03), 1e-9) {
		t.Errorf("next cut: %+v", c)
	}
	// Out of square 0.06 over 300 leans the cross axis by 2e-4; the pins stand on the
	// datum line, so the plate does not follow: 2e-4 of v = 10, along.
	if q := term(t, far, "out of square"); !within(q.AlongWorstMM, 0.002, 1e-9) || !within(q.AcrossWorstMM, 0, 1e-9) ||
		!within(q.SDMM, 0.002, 1e-9) {
		t.Errorf("square: %+v", q)
	}
	// A wall of a window cut by this laser errs by half of 0.15 and a quarter of the
	// 0.25 taper; pushed, the board follows two walls.
	k := (0.15 + 0.25/2) / 2
	if e := term(t, far, "kerf spread"); !within(e.AlongWorstMM, k, 1e-9) || !within(e.AcrossWorstMM, k, 1e-9) ||
		!within(e.WorstMM, k*math.Sqrt2, 1e-9) {
		t.Errorf("kerf: %+v, want %.4f", e, k)
	}
	if f := term(t, far, "nest float"); f.WorstMM > 1e-6 {
		t.Errorf("a pushed board floats %g", f.WorstMM)
	}
	for _, f := range d.Budget.Features {
		sum := 0.0
		for _, x := range f.Terms {
			sum += x.WorstMM
		}
		if !within(sum, f.WorstMM, 1e-9) || f.P95MM > f.WorstMM {
			t.Errorf("%s: sum %.6f, worst %.6f, 95 %% %.6f", f.Name, sum, f.WorstMM, f.P95MM)
		}
	}
}

// TestBoredTogetherByHand: blank and bed bored in one arrival. Put back as it was bored the
// term is gone; turned over about its long axis, with both pins on the datum line, round
// (b) and slot (c) err by twice 0.03 across and not along:
//
//	dv = 2 b (1 - s) + 2 c s,  du = -theta v,  theta = 2 (c - b)/L
func TestBoredTogetherByHand(t *testing.T) {
	of := func(flip string, together bool) *Design {
		return build(t, parse(t, func(j *job.Job) {
			j.Template.Seat, j.Template.Flip, j.Rails, j.Template.Make = "pins", flip, nil, job.Make{By: "router"}
			j.Bed.Make.Cutter.DiameterMM, j.Blank.Make.Cutter.DiameterMM = 3, 3
			j.Blank.BoredWithBed = together
		}))
	}
	const term1 = "hole position, bed and blank bored together"
	if far := feature(t, of("none", true), "far"); term(t, far, term1).WorstMM != 0 {
		t.Errorf("put back as it was bored: %+v", term(t, far, term1))
	}
	d := of("long", true)
	p1, p2 := d.Pins[0].At, d.Pins[1].At
	if p1.Y != 0 || p2.Y != 0 {
		t.Fatalf("the pair stands off the datum line: %v %v", p1, p2)
	}
	l := p2.X - p1.X
	s, sd := (440-p1.X)/l, 2*0.03/fit.Normal95
	got := term(t, feature(t, d, "far"), term1)
	if want := sd * math.Hypot(1-s, s); !within(got.AcrossSDMM, want, 1e-9) {
		t.Errorf("sd across %.9f, by hand %.9f", got.AcrossSDMM, want)
	}
	if want := sd * 10 / l * math.Sqrt2; !within(got.AlongSDMM, want, 1e-9) {
		t.Errorf("sd along %.9f, by hand %.9f", got.AlongSDMM, want)
	}
	for _, x := range feature(t, of("long", false), "far").Terms {
		if x.Source == term1 {
			t.Error("bored apart, the term is counted")
		}
	}
	// As it was bored every pin enters but for the size of pin and hole.
	as, over := of("none", true).Assembly[0], d.Assembly[0]
	if as.Odds < over.Odds {
		t.Errorf("top up %.4f, turned over %.4f", as.Odds, over.Odds)
	}
	for _, p := range d.Programs {
		if p.Path.File == setup.BlankFile {
			t.Errorf("%s is written for a blank that is bored with the bed", p.Path.File)
		}
	}
}

// TestFlipDoublesSquare: turned over, the first side's lean comes back mirrored.
func TestFlipDoublesSquare(t *testing.T) {
	at := func(flip string) budget.Term {
		d := build(t, parse(t, func(j *job.Job) {
			j.Template.Seat, j.Template.Push, j.Template.Flip = "pins", "none", flip
			j.Rails = nil
			j.Machine.SquareMM = 0.06
		}))
		return term(t, feature(t, d, "far"), "out of square")
	}
	once, twice := at("none"), at("long")
	if once.WorstMM == 0 || !within(twice.WorstMM, 2*once.WorstMM, 1e-6) {
		t.Errorf("once %.6f, turned over %.6f", once.WorstMM, twice.WorstMM)
	}
	if !strings.Contains(twice.Source, "twice") {
		t.Errorf("the budget does not say so: %q", twice.Source)
	}
}

// TestWoodMovement: the board moves away from where the window holds it, by the
// handbook's equation.
func TestWoodMovement(t *testing.T) {
	j := parse(t, func(j *job.Job) {
		j.Template.Push = "left"
		j.Board.Wood, j.Board.Grain = "walnut", "flat"
		j.Climate = &job.Climate{Made: job.Air{TempC: 20, RHPct: 40}, Now: job.Air{TempC: 20, RHPct: 50}}
		j.Template.ClearanceMM = 0.3
	})
	d := build(t, j)
	emc := func(rh float64) float64 {
		m, err := climate.EMC(climate.Air{TempC: 20, RHPct: rh})
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	// Wood Handbook equation 13-2 with C_T 0.00274 of black walnut (standard: table 13-5).
	e := 0.00274 * (emc(50) - emc(40))
	far := feature(t, d, "far") // u 440, v 10
	w := term(t, far, "wood movement")
	// Against the left wall: the feature lies w/2 - 10 from it, w at u = 440.
	width := 41.5 + (55-41.5)*440/478.0
	want := -e * (width/2 - 10)
	// The tapered side turns the board by e (55 - 41.5)/(2 478), which is what keeps
	// the side on its wall; in width/2 it is counted already.
	if !within(w.AcrossBiasMM, want, 1e-6) {
		t.Errorf("across %.6f, by hand %.6f", w.AcrossBiasMM, want)
	}
	c := d.Climate
	if c == nil || !within(c.WidthMM, e*55, 1e-9) || !within(c.ClearanceLeftMM, 0.3-(e*55-0)/2, 1e-9) {
		t.Fatalf("climate %+v, width by hand %.6f", c, e*55)
	}
	if got := rule(t, d, "board-enters-window").Level; got != Pass {
		t.Errorf("board-enters-window: %s", got)
	}
}

func rule(t *testing.T, d *Design, id string) Rule {
	t.Helper()
	for _, r := range d.Rules {
		if r.ID == id {
			return r
		}
	}
	t.Fatalf("no rule %q", id)
	return Rule{}
}

// TestSwollenBoard: a board that no longer goes in is a failed rule with the humidity
// at which it would, and there it does.
func TestSwollenBoard(t *testing.T) {
	swollen := func(rh float64) *Design {
		return build(t, parse(t, func(j *job.Job) {
			j.Board.Wood, j.Board.Grain = "beech", "flat"
			j.Template.Make.By = "router" // no taper, little spread: only the wood decides
			j.Template.Make.Cutter.DiameterMM, j.Template.Make.KerfMM = 3, 0
			j.Template.Material = "birch plywood"
			j.Template.ClearanceMM = 0.10
			j.Climate = &job.Climate{Made: job.Air{TempC: 20, RHPct: 45}, Now: job.Air{TempC: 20, RHPct: rh}}
		}))
	}
	r := rule(t, swollen(70), "board-enters-window")
	if r.Level != Fail || r.Value >= 0 {
		t.Fatalf("at 70 %%: %+v", r)
	}
	d := swollen(70)
	rh := d.Climate.EntersBelowRHPct
	if rh <= 45 || rh >= 70 || !strings.Contains(r.Says, "relative humidity") {
		t.Fatalf("goes in below %g: %s", rh, r.Says)
	}
	if got := swollen(rh).Climate.ClearanceLeftMM; !within(got, 0, 1e-5) {
		t.Errorf("at %.2f %% the clearance left is %.5f, want none", rh, got)
	}
	if got := rule(t, swollen(rh-3), "board-enters-window").Level; got == Fail {
		t.Errorf("at %.1f %% it still fails", rh-3)
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

// TestLongAxis: turning the board on the machine changes nothing in its own frame.
func TestLongAxis(t *testing.T) {
	at := func(axis string) *Design {
		return build(t, parse(t, func(j *job.Job) {
			j.Machine.LongAxis = axis
			j.Machine.SquareMM = 0.05
			if axis == "x" {
				j.Machine.TravelMM[0], j.Machine.TravelMM[1] = j.Machine.TravelMM[1], j.Machine.TravelMM[0]
			}
		}))
	}
	x, y := at("x"), at("y")
	for i := range x.Pins {
		if x.Pins[i].At != y.Pins[i].At {
			t.Errorf("%s: %v along x, %v along y", x.Pins[i].ID, x.Pins[i].At, y.Pins[i].At)
		}
	}
	for i := range x.Budget.Features {
		a, b := x.Budget.Features[i], y.Budget.Features[i]
		if a.P95MM != b.P95MM || a.WorstMM != b.WorstMM {
			t.Errorf("%s: %.9f %.9f along x, %.9f %.9f along y", a.Name, a.P95MM, a.WorstMM, b.P95MM, b.WorstMM)
		}
	}
}

// TestZeroSpread: a job whose processes do not err gives zeros and certainties, no NaN.
func TestZeroSpread(t *testing.T) {
	d := build(t, mustParse(t, `
board: {length: 300, width: 40, thickness: 6}
blank: {length: 500, width: 120, thickness: 20, make: {by: router, spread: 0, position: 0, cutter: 3}}
machine: {position: 0, zero: kept}
bed: {make: {by: router, spread: 0, position: 0, cutter: 3}}
dowel: {diameter: 6, standard: iso 2338, class: h8, count: 4}
template: {seat: pins, thickness: 6, make: {by: router, spread: 0, position: 0, cutter: 3}}
`))
	for _, f := range d.Budget.Features {
		for _, x := range []float64{f.P95MM, f.WorstMM, f.P95AlongMM, f.P95AcrossMM} {
			if math.IsNaN(x) || x < 0 {
				t.Errorf("%s: %v", f.Name, f)
			}
		}
		for _, name := range []string{"hole position, bed", "hole position, blank", "zero setting",
			"machine positioning, this cut"} {
			if x := term(t, f, name); x.WorstMM != 0 || x.SDMM != 0 {
				t.Errorf("%s: %+v", name, x)
			}
		}
	}
	if a := d.Assembly[0]; math.IsNaN(a.Odds) || math.IsNaN(a.ExtraFor99MM) {
		t.Errorf("%+v", a)
	}
}

func mustParse(t *testing.T, text string) *job.Job {
	t.Helper()
	j, err := job.Parse("test.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// TestZeroWays: every way of finding zero that a job can name has its figure.
func TestZeroWays(t *testing.T) {
	last := -1.0
	for _, m := range measure.ZeroMethods() {
		j := mustParse(t, "board: {length: 300, width: 40, thickness: 6}\nmachine: {zero: "+m.Name+
			"}\ndowel: {diameter: 6}\ntemplate: {thickness: 6, make: {by: laser}}\n")
		z := term(t, build(t, j).Budget.Features[0], "zero setting")
		if !within(z.AlongWorstMM, m.HalfMM, 1e-12) || m.HalfMM <= last {
			t.Errorf("%s: %g in the budget, %g in the table", m.Name, z.AlongWorstMM, m.HalfMM)
		}
		last = m.HalfMM
	}
	if last <= 0 {
		t.Error("no ways")
	}
}

// TestDatumTolerance: what accuracy 0.1 leaves beside a zero of 0.02 and a move of 0.03
// is sqrt(0.01 - 0.0004 - 0.0009) = 0.09327, and never under 0.3 of it.
func TestDatumTolerance(t *testing.T) {
	j := parse(t, func(j *job.Job) { j.AccuracyMM, j.Machine.PositionMM = 0.1, 0.03 })
	if got := DatumToleranceMM(j); !within(got, 0.0932738, 1e-6) {
		t.Errorf("%.6f", got)
	}
	j.Machine.PositionMM = 0.2
	if got := DatumToleranceMM(j); !within(got, 0.03, 1e-12) {
		t.Errorf("%.6f", got)
	}
}

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
