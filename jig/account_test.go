package jig

import (
	"math"
	"strings"
	"testing"

	"reseat/fit"
	"reseat/jig/budget"
	"reseat/jig/job"
	"reseat/jig/measure"
	"reseat/jig/setup"
)

// term finds a feature's term by the start of its name.
func term(t *testing.T, f budget.FeatureBudget, name string) budget.Contribution {
	t.Helper()
	for _, x := range f.Contributions {
		if strings.HasPrefix(x.Source, name) {
			return x
		}
	}
	t.Fatalf("no term %q at %s", name, f.Name)
	return budget.Contribution{}
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

	// The plate's holes err by the laser's 0.13 (jig/fit, a shop's figure) along each axis,
	// round (a, b) and slot across (c): du = a - theta v, dv = b + theta (u - u1),
	// theta = (c - b)/L. The corner of the box of (a, b, c) that moves the feature farthest,
	// by trying all eight.
	worst := 0.0
	for i := range 8 {
		sign := func(bit int) float64 { return 0.13 * float64(2*(i>>bit&1)-1) }
		a, b, c := sign(0), sign(1), sign(2)
		theta := (c - b) / l
		worst = math.Max(worst, math.Hypot(a-theta*10, b+theta*(440-p1.X)))
	}
	holes := term(t, far, "hole position, template")
	if !within(holes.WorstMM, worst, 1e-9) {
		t.Errorf("template holes: worst %.9f, by hand %.9f", holes.WorstMM, worst)
	}
	// Variances add: along and n (c - b), across b (1 - s) + c s.
	sd := 0.13 / fit.Normal95
	if want := sd * math.Sqrt(1+2*n*n); !within(holes.AlongSDMM, want, 1e-9) {
		t.Errorf("template holes: sd along %.9f, by hand %.9f", holes.AlongSDMM, want)
	}
	if want := sd * math.Hypot(1-s, s); !within(holes.AcrossSDMM, want, 1e-9) {
		t.Errorf("template holes: sd across %.9f, by hand %.9f", holes.AcrossSDMM, want)
	}
	// The bed's 0.03 and the pins' lean (jig/account) turn the plate about the round pin, on
	// which the zero is found.
	lean := term(t, far, "pin lean")
	for name, sd := range map[string]float64{
		"hole position, bed": math.Sqrt2 * 0.03 / fit.Normal95,
		"pin lean":           math.Hypot(lean.AlongSDMM, lean.AcrossSDMM) / math.Hypot(n, s),
	} {
		if got := term(t, far, name); !within(got.AlongSDMM, sd*n, 1e-9) || !within(got.AcrossSDMM, sd*s, 1e-9) {
			t.Errorf("%s: %+v, by hand %.9f along, %.9f across", name, got, sd*n, sd*s)
		}
	}
	if z := term(t, far, "zero setting"); !within(z.WorstMM, math.Hypot(0.02, 0.02), 1e-9) ||
		!within(z.SDMM, 0.02/fit.Normal95*math.Sqrt2, 1e-9) {
		t.Errorf("zero: %+v", z)
	}
	for _, cut := range []string{"first", "this"} {
		if c := term(t, far, "machine positioning, "+cut+" cut"); !within(c.WorstMM, math.Hypot(0.03, 0.03), 1e-9) {
			t.Errorf("%s cut: %+v", cut, c)
		}
	}
	// Out of square 0.06 over 300 leans the cross axis by 2e-4; the pins stand on the
	// datum line, so the plate does not follow: 2e-4 of v = 10, along.
	if q := term(t, far, "out of square"); !within(q.AlongWorstMM, 0.002, 1e-9) || !within(q.AcrossWorstMM, 0, 1e-9) ||
		!within(q.SDMM, 0.002, 1e-9) {
		t.Errorf("square: %+v", q)
	}
	// A wall of a window cut by this laser errs by half of 0.15 and a quarter of the
	// 0.25 taper; pushed, the board follows the start wall and either end of the side wall: at
	// u = 440 of 478 across by both shares, along by k and the turn about the corner, 478.05
	// from the far end along the wall. The like for a cut edge, and half the caliper's 0.02.
	k := (0.15 + 0.25/2) / 2
	turn := 2 * (20.75 - 10) / 478.05
	for name, e := range map[string]float64{"kerf spread": k, "edge straightness": 0.02} {
		got, x := term(t, far, name), 440/478.0
		if !within(got.AlongWorstMM, e*(1+turn), 1e-3*e) || !within(got.AcrossWorstMM, e, 1e-3*e) ||
			!within(got.AcrossSDMM, e/fit.Normal95*math.Hypot(x, 1-x), 1e-3*e) {
			t.Errorf("%s: %+v, want %.4f", name, got, e)
		}
	}
	if w := term(t, far, "measured width of the board"); !within(w.AcrossWorstMM, 0.01, 1e-5) {
		t.Errorf("width: %+v", w)
	}
	// The plate out of square by 1e-4 lifts the start wall at the board's corner, 20.75 off the
	// line of the pins; the tool, out of square by 0.05 over 150, works aside over 6.5.
	if q := term(t, far, "plate squareness"); !within(q.AlongWorstMM, 1e-4*20.75, 1e-5) || q.AcrossWorstMM > 1e-4 {
		t.Errorf("plate: %+v", q)
	}
	if q := term(t, far, "spindle tram"); !within(q.AlongWorstMM, 0.05/150*6.5, 1e-9) {
		t.Errorf("tram: %+v", q)
	}
	// The bow is 0.02 at the middle between the pins, 4 s (1 - s) of it at the feature.
	if q := term(t, far, "axis straightness"); !within(q.AcrossWorstMM, 0.02*4*s*(1-s), 1e-9) {
		t.Errorf("bow: %+v", q)
	}
	if f := term(t, far, "nest float"); f.WorstMM > 1e-6 {
		t.Errorf("a pushed board floats %g", f.WorstMM)
	}
	for _, f := range d.Budget.Features {
		sum := 0.0
		for _, x := range f.Contributions {
			sum += x.WorstMM
		}
		if !within(sum, f.WorstMM, 1e-9) || f.P95MM > f.WorstMM {
			t.Errorf("%s: sum %.6f, worst %.6f, 95 %% %.6f", f.Name, sum, f.WorstMM, f.P95MM)
		}
	}
}

// TestBoredTogetherByHand: blank and bed bored in one arrival. Put back as it was bored the
// term is gone; turned over about its long axis, with both pins on the datum line, round
// (b) and slot (c) err by twice 0.03 across and not along, and the zero found on the round
// pin leaves the turn about it:
//
//	dv = 2 (c - b) s,  du = -theta v,  theta = 2 (c - b)/L
//
// The pins' lean does the same. Same way up the bow and the tram are gone too; turned over,
// the bow counts twice and the tram across over the blank's 26.
func TestBoredTogetherByHand(t *testing.T) {
	of := func(flip string, together bool) *Design {
		return build(t, parse(t, func(j *job.Job) {
			j.Template.Seat, j.Template.Flip, j.Rails, j.Template.Make = "pins", flip, nil, job.Make{By: "router"}
			j.Bed.Make.Cutter.DiameterMM, j.Blank.Make.Cutter.DiameterMM = 3, 3
			j.Blank.BoredWithBed = together
		}))
	}
	const term1 = "hole position, bed and blank bored together"
	back := feature(t, of("none", true), "far")
	for _, name := range []string{term1, "pin lean", "axis straightness", "spindle tram"} {
		if x := term(t, back, name); x.WorstMM != 0 || x.SDMM != 0 {
			t.Errorf("put back as it was bored: %+v", x)
		}
	}
	d := of("long", true)
	p1, p2 := d.Pins[0].At, d.Pins[1].At
	if p1.Y != 0 || p2.Y != 0 {
		t.Fatalf("the pair stands off the datum line: %v %v", p1, p2)
	}
	l := p2.X - p1.X // negative where the round hole is at the far end
	s, sd := (440-p1.X)/l, 2*0.03/fit.Normal95
	got := term(t, feature(t, d, "far"), term1)
	if want := sd * s * math.Sqrt2; !within(got.AcrossSDMM, want, 1e-9) {
		t.Errorf("sd across %.9f, by hand %.9f", got.AcrossSDMM, want)
	}
	if want := sd * 10 / math.Abs(l) * math.Sqrt2; !within(got.AlongSDMM, want, 1e-9) {
		t.Errorf("sd along %.9f, by hand %.9f", got.AlongSDMM, want)
	}
	if lean := term(t, feature(t, d, "far"), "pin lean"); !within(lean.AlongSDMM/lean.AcrossSDMM,
		got.AlongSDMM/got.AcrossSDMM, 1e-9) {
		t.Errorf("lean %+v is not as %+v", lean, got)
	}
	if bow := term(t, feature(t, d, "far"), "axis straightness, turned over: twice"); !within(bow.WorstMM,
		0.04*4*s*(1-s), 1e-9) {
		t.Errorf("bow %+v", bow)
	}
	if tram := term(t, feature(t, d, "far"), "spindle tram"); !within(tram.AcrossWorstMM, 0.05/150*26, 1e-9) ||
		!within(tram.AlongWorstMM, 0.05/150*(26-math.Min(26, d.MachinePin.LengthMM-d.MachinePin.DepthMM)), 1e-9) {
		t.Errorf("tram %+v", tram)
	}
	// Play and zero of the first cut, made on the same pins, are those of this cut once more.
	for _, name := range []string{"pin clearance", "zero setting"} {
		now, first := term(t, feature(t, d, "far"), name), term(t, feature(t, d, "far"), name+", first cut")
		if now.SDMM == 0 || !within(first.SDMM, now.SDMM, 0.01*now.SDMM) || first.WorstMM != now.WorstMM {
			t.Errorf("%+v, %+v", now, first)
		}
	}
	apart := of("long", false)
	term(t, feature(t, apart, "far"), "hole position, blank")
	if _, has := setup.ForProgram(apart.Setups, setup.BlankFile); !has {
		t.Errorf("bored apart, no set-up runs %s", setup.BlankFile)
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

// TestFlipDoublesSquare: turned over, the first side's lean comes back mirrored. With w from
// the round hole to the feature and t along the pins' line, a lean of s leaves
//
//	s (w.v t.u^2, w.u t.v^2)
func TestFlipDoublesSquare(t *testing.T) {
	for flip, times := range map[string]float64{"none": 1, "long": 2} {
		d := build(t, parse(t, func(j *job.Job) {
			j.Template.Seat, j.Template.Push, j.Template.Flip = "pins", "none", flip
			j.Rails = nil
			j.Machine.SquareMM = 0.06
		}))
		far := feature(t, d, "far")
		got := term(t, far, "out of square")
		w, l := far.At.Sub(d.Pins[0].At), d.Pins[1].At.Sub(d.Pins[0].At).Unit()
		if want := times * 0.06 / 300 * math.Hypot(w.Y*l.X*l.X, w.X*l.Y*l.Y); !within(got.WorstMM, want, 1e-6) {
			t.Errorf("flip %s: %.6f, by hand %.6f", flip, got.WorstMM, want)
		}
		if strings.Contains(got.Source, "twice") != (flip == "long") {
			t.Errorf("flip %s: %q", flip, got.Source)
		}
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
blank: {length: 500, width: 120, thickness: 20, bored_with_bed: false, make: {by: router, spread: 0, position: 0, cutter: 3}}
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

// TestDatumTolerance: what accuracy 0.1 leaves beside a zero of 0.02 and two moves of 0.03
// is sqrt(0.01 - 0.0004 - 0.0018) = 0.08832, and never under 0.3 of it.
func TestDatumTolerance(t *testing.T) {
	j := parse(t, func(j *job.Job) { j.AccuracyMM, j.Machine.PositionMM = 0.1, 0.03 })
	if got := DatumToleranceMM(j); !within(got, 0.0883176, 1e-6) {
		t.Errorf("%.6f", got)
	}
	j.Machine.PositionMM = 0.2
	if got := DatumToleranceMM(j); !within(got, 0.03, 1e-12) {
		t.Errorf("%.6f", got)
	}
}

// TestKeysOfSources: every source that a job's key gives a figure for is marked as assumed
// until the job has that key, follows its figure in proportion, and is gone at zero.
func TestKeysOfSources(t *testing.T) {
	onPins := edited(t, baseJob, "template", "{seat: pins, flip: long, thickness: 6, make: {by: router, cutter: 3}}",
		"rails", "", "bed", "{make: {by: router, cutter: 3}}", "blank.make", "{by: router, cutter: 3}", "board.crown_radius", "")
	pushed := edited(t, baseJob, "template.push", "left")
	for _, c := range []struct {
		key, text  string
		small, two string // a value and twice that
		sources    []string
	}{
		{"machine.position", pushed, "0.01", "0.02", []string{"machine positioning, first cut", "machine positioning, this cut"}},
		{"machine.straight", pushed, "0.01", "0.02", []string{"axis straightness"}},
		{"machine.straight", onPins, "0.01", "0.02", []string{"axis straightness, turned over: twice"}},
		{"machine.tram", pushed, "0.02", "0.04", []string{"spindle tram"}},
		{"machine.tram", onPins, "0.02", "0.04", []string{"spindle tram"}},
		{"machine.square", pushed, "0.02", "0.04", []string{"out of square"}},
		{"dowel.lean_deg", pushed, "0.001", "0.002", []string{"pin lean"}}, // far below what clearance lets in
		{"dowel.lean_deg", onPins, "0.001", "0.002", []string{"pin lean"}},
		{"template.make.straight", pushed, "0.01", "0.02", []string{"edge straightness"}},
		{"template.make.square", pushed, "0.01", "0.02", []string{"plate squareness"}},
		{"board.width_error", pushed, "0.01", "0.02", []string{"measured width of the board"}},
	} {
		t.Run(c.key, func(t *testing.T) {
			far := func(value string) budget.FeatureBudget {
				return feature(t, build(t, mustParse(t, edited(t, c.text, c.key, value))), "far")
			}
			without, none, small, two := far(""), far("0"), far(c.small), far(c.two)
			for _, name := range c.sources {
				if x := term(t, without, name); !x.Assumed || x.Key != c.key {
					t.Errorf("left out: %+v", x)
				}
				if x := term(t, none, name); x.Assumed || x.SDMM != 0 || x.WorstMM != 0 {
					t.Errorf("zero: %+v", x)
				}
				a, b := term(t, small, name), term(t, two, name)
				if a.Assumed || !(a.SDMM > 0) || !within(b.SDMM/a.SDMM, 2, 2e-3) || !within(b.WorstMM/a.WorstMM, 2, 2e-3) {
					t.Errorf("%s: %+v, %s: %+v", c.small, a, c.two, b)
				}
			}
		})
	}
}

// What is asked for is what is not measured yet: a job with a process file is not told to measure
// what the file tells.
func TestMeasuredRemedies(t *testing.T) {
	for _, c := range []struct{ file, spread string }{
		{"../testdata/jobs/bouzouki-fingerboard.yaml", "It is what the coupon told"},
		{"../testdata/jobs/laouto-glued.yaml", "Cut a coupon"},
	} {
		j, err := job.Read(c.file)
		if err != nil {
			t.Fatal(err)
		}
		for _, term := range build(t, j).Budget.Features[0].Contributions {
			if term.Source == "kerf spread" && !strings.HasPrefix(term.Remedy, c.spread) {
				t.Errorf("%s: %s", c.file, term.Remedy)
			}
		}
	}
}
