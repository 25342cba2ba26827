package jig

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/remedy"
	"reseat/jig/site"
	"reseat/jig/units"
)

// patterned is a job with its pattern placed, and nothing else done.
func patterned(t *testing.T, j *job.Job) plan {
	t.Helper()
	p, err := planOf(j, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func countRuleOf(p plan, ways []remedy.Advice) Rule {
	return toRules(p.job, made{plan: p, d: &Design{Pins: p.pins}, advice: ways}.pinCount())[0]
}

// randomJob makes a job of any shape that a job file may have: short and long,
// straight and tapered, keep-outs anywhere, with a blank or without, tight or
// roomy.
func randomJob(t testing.TB, r *rand.Rand) *job.Job {
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	whole := func(lo, hi float64) float64 { return math.Round(between(lo, hi)) }
	pick := func(words ...string) string { return words[r.IntN(len(words))] }
	return parse(t, func(j *job.Job) {
		b := &j.Board
		b.LengthMM = whole(60, 60*math.Exp(between(0, math.Log(25))))
		b.WidthStartMM, b.WidthEndMM = whole(20, 120), whole(20, 120)
		if r.IntN(3) == 0 {
			b.WidthEndMM = b.WidthStartMM
		}
		b.CrownRadiusMM, b.CornerRadiusMM = 0, float64(r.IntN(3))*3
		b.Features = nil
		for i := range 1 + r.IntN(8) {
			u := between(0, b.LengthMM)
			half := (b.WidthStartMM + (b.WidthEndMM-b.WidthStartMM)*u/b.LengthMM) / 2
			b.Features = append(b.Features, job.Feature{Name: fmt.Sprint("f", i), UMM: u, VMM: between(-half, half)})
		}
		wide := math.Max(b.WidthStartMM, b.WidthEndMM)
		j.Template.Seat = pick("nest", "nest", "pins")
		j.Template.Flip = pick("none", "none", "long", "short")
		j.Template.Push = "none"
		if j.Template.Seat == "nest" {
			j.Template.Push = pick("none", "left", "right")
		}
		j.Template.MarginMM = whole(4, 45)
		j.Blank.LengthMM, j.Blank.WidthMM = whole(b.LengthMM, b.LengthMM+150), whole(wide, wide+120)
		if j.Template.Seat == "nest" && r.IntN(2) == 0 {
			j.Blank = nil
		}
		if r.IntN(3) > 0 {
			j.Rails = nil
		}
		j.Machine.TravelMM = [3]float64{}
		if r.IntN(4) == 0 {
			j.Machine.TravelMM = [3]float64{whole(wide, wide+200), whole(b.LengthMM, b.LengthMM+200), 90}
		}
		j.Dowel.DiameterMM = []float64{3, 4, 5, 6, 8}[r.IntN(5)]
		j.Dowel.LengthMM = 0
		j.Dowel.Count = 2 + r.IntN(11)
		if r.IntN(6) == 0 {
			j.Units = units.Inch
		}
		for i := range r.IntN(5) {
			from := geom.Vec{X: between(-60, b.LengthMM+40), Y: between(-wide/2-50, wide/2+30)}
			size := geom.Vec{X: between(4, 0.4*b.LengthMM), Y: between(4, wide)}
			j.Board.KeepOut = append(j.Board.KeepOut, job.KeepOut{Name: fmt.Sprint("k", i), From: from, To: from.Add(size)})
		}
	})
}

// TestAdviceHolds follows the advice: the job changed as told gives every pin a
// place, and the rule says the figure.
func TestAdviceHolds(t *testing.T) {
	t.Parallel()
	told, without := 0, 0
	for seed := range uint64(22) {
		j := randomJob(t, rand.New(rand.NewPCG(seed, 4)))
		p := patterned(t, j)
		if len(p.pins) == j.Dowel.Count {
			continue
		}
		all := p.advise()
		r := countRuleOf(p, all)
		if len(all) == 0 {
			without++
		}
		for _, a := range all {
			told++
			if !strings.Contains(r.Says, a.Says) {
				t.Errorf("job %d: the rule says %q, not %q", seed, r.Says, a.Says)
			}
			if got := countRuleOf(patterned(t, j.Changed(a.Apply)), nil); got.Level != Pass {
				t.Errorf("job %d: %q was followed, and still %s", seed, a.Says, got.Says)
			}
		}
	}
	if told == 0 {
		t.Error("no advice was given")
	}
	t.Logf("%d pieces of advice hold; %d jobs without any", told, without)
}

// TestTooNarrowByHand compares the advised width of a blank with what must stand
// side by side across it: board, cutter, hole and web on either side. Positions
// stand on a grid of 1 mm, so each side may need up to a step more.
func TestTooNarrowByHand(t *testing.T) {
	j := parse(t, func(j *job.Job) {
		j.Rails = nil
		j.Board.WidthStartMM, j.Board.WidthEndMM = 50, 50
		j.Template.Seat = "pins"
		j.Blank.LengthMM, j.Blank.WidthMM = j.Board.LengthMM, 70
	})
	b := patterned(t, j)
	all := b.advise()
	if len(all) == 0 || all[0].Key != "blank.width" {
		t.Fatalf("advice is %v, want a wider blank first", all)
	}
	// One of the locating pins is a slot and needs half its travel on both sides of
	// its place; the side it stands on is wider by that travel, and the blank is
	// centred, so both are.
	const blankWebMM = 9 // 1.5 d
	side := site.BoardRoom(j) + 2*b.spec.Region.HoleRadiusMM + blankWebMM
	need := j.Board.WidthStartMM + 2*side - j.Blank.WidthMM
	most := need + 2*(b.spec.TravelMM+b.spec.Region.StepMM) + 1 // whole millimetres
	if got := j.Changed(all[0].Apply).Blank.WidthMM - j.Blank.WidthMM; got < need || got > most {
		t.Errorf("wider by %.1f mm advised, %.1f to %.1f mm needed", got, need, most)
	}
}

// TestNothingLimits: pins beyond both ends on the line of the features are as good
// as two pins can be.
func TestNothingLimits(t *testing.T) {
	d := build(t, parse(t, func(j *job.Job) {
		j.Board.Features = []job.Feature{{Name: "a", UMM: 50}, {Name: "b", UMM: 400}}
	}))
	if len(d.Pattern.Room) != 0 || !strings.Contains(d.Pattern.Limits, "would not help") {
		t.Errorf("limits %q, %v", d.Pattern.Limits, d.Pattern.Room)
	}
}

// TestHopeless: what no pattern can satisfy fails with figures, not with a panic.
func TestHopeless(t *testing.T) {
	for _, tc := range []struct {
		name   string
		change func(*job.Job)
		says   string
	}{
		{"twelve pins on a small blank", func(j *job.Job) {
			j.Board.LengthMM, j.Board.WidthStartMM, j.Board.WidthEndMM, j.Board.Features = 60, 30, 30, nil
			j.Blank.LengthMM, j.Blank.WidthMM, j.Dowel.Count = 90, 62, 12
		}, "; the blank is too small. Remedy: blank.length "},
		{"both sides and ends kept out", func(j *job.Job) {
			j.Board.LengthMM, j.Board.Features, j.Blank.LengthMM = 150, nil, 310
			j.Board.KeepOut = []job.KeepOut{
				{Name: "left", From: geom.Vec{X: -200, Y: 22}, To: geom.Vec{X: 700, Y: 90}},
				{Name: "right", From: geom.Vec{X: -200, Y: -90}, To: geom.Vec{X: 700, Y: -22}},
				{Name: "head", From: geom.Vec{X: -200, Y: -90}, To: geom.Vec{X: 2, Y: 90}},
				{Name: "heel", From: geom.Vec{X: 148, Y: -90}, To: geom.Vec{X: 700, Y: 90}},
			}
		}, "keep-out"},
		{"travel as short as the board", func(j *job.Job) {
			j.Machine.TravelMM = [3]float64{56, 478, 90}
		}, "travel"},
		{"the middle of both ends kept out, turned over", func(j *job.Job) {
			j.Template.Flip = "long"
			j.Blank.WidthMM = 60
			j.Board.KeepOut = []job.KeepOut{
				{Name: "head", From: geom.Vec{X: -200, Y: -12}, To: geom.Vec{X: 2, Y: 12}},
				{Name: "heel", From: geom.Vec{X: 476, Y: -12}, To: geom.Vec{X: 700, Y: 12}},
			}
		}, "lacks"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p := patterned(t, parse(t, tc.change))
			r := countRuleOf(p, p.advise())
			if r.Level != Fail || !strings.Contains(r.Says, tc.says) || !strings.Contains(r.Says, " mm") {
				t.Errorf("%s: %s", r.Level, r.Says)
			}
			t.Log(r.Says)
		})
	}
}

// TestConstraintsOfJob holds what a job makes of its parts against a list by hand: what
// a hole keeps from, and how far.
func TestConstraintsOfJob(t *testing.T) {
	for _, tc := range []struct {
		name   string
		change func(*job.Job)
		want   string
	}{
		// acrylic: its thickness of 6; wood: 1.5 d = 9; strip 1, cutter 6 and 1 of air
		{"nest on a blank", nil, "pin-web-window 6, pin-clear-of-cutter 8, pin-web-plate 6, pin-in-blank 9, " +
			"pin-clear-of-rail 1, pin-clear-of-rail 1, pin-in-travel 0"},
		{"nest alone", func(j *job.Job) { j.Blank, j.Rails, j.Machine.TravelMM = nil, nil, [3]float64{} },
			"pin-web-window 6, pin-web-plate 6"},
		{"own pins, no rails", func(j *job.Job) { j.Template.Seat, j.Rails = "pins", nil },
			"pin-clear-of-cutter 7, pin-web-plate 6, pin-in-blank 9, pin-in-travel 0"},
		{"keep-out", func(j *job.Job) {
			j.Board.KeepOut = []job.KeepOut{{Name: "k", To: geom.Vec{X: 9, Y: 9}}}
		}, "pin-web-window 6, pin-clear-of-cutter 8, pin-web-plate 6, pin-in-blank 9, pin-clear-of-rail 1, " +
			"pin-clear-of-rail 1, pin-clear-of-keep-out 1, pin-in-travel 0"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var got []string
			for _, c := range patterned(t, parse(t, tc.change)).spec.Region.Constraints {
				got = append(got, fmt.Sprintf("%s %g", c.ID, c.NeedMM))
			}
			if s := strings.Join(got, ", "); s != tc.want {
				t.Errorf("got %s", s)
			}
		})
	}
}

// TestNarrowBlank: the width advised is the least that works, in whole millimetres, and
// what fits without it is placed: two pins. Wide holes that only a short baseline needs
// once made it 145.8 mm and left no pin.
func TestNarrowBlank(t *testing.T) {
	text, err := os.ReadFile("../testdata/cases/narrow-blank.yaml")
	if err != nil {
		t.Fatal(err)
	}
	j := mustParse(t, string(text))
	p := patterned(t, j)
	if len(p.pins) != 2 {
		t.Errorf("%d pins placed, want 2", len(p.pins))
	}
	all := p.advise()
	if len(all) == 0 || all[0].Key != "blank.width" {
		t.Fatalf("advice %v, want a wider blank", all)
	}
	if wide := j.Changed(all[0].Apply).Blank.WidthMM; !within(wide, 90, 1e-9) {
		t.Errorf("%.1f mm wide advised, want 90", wide)
	}
	less := func(j *job.Job) { all[0].Apply(j); j.Blank.WidthMM-- }
	if complete(j.Changed(less), false) {
		t.Error("a blank 1 mm narrower than advised does as well")
	}
}

// TestShortTravel: a neck turned over that its machine barely reaches. Pins come in pairs though the job
// names no number, and advised is the travel, not a wider blank whose pins would stand so near each other
// that the far end strays by millimetres.
func TestShortTravel(t *testing.T) {
	for _, travel := range []float64{870, 900} {
		j := mustParse(t, fmt.Sprintf("board: {length: 860, width: {start: 44, end: 62}, thickness: 21}\n"+
			"blank: {length: 940, width: 100, thickness: 24}\nmachine: {travel: {x: 400, y: %g, z: 100}}\n"+
			"dowel: {diameter: 6}\ntemplate: {seat: pins, flip: long, thickness: 6, make: {by: router}}\n"+
			"accuracy: 0.3\n", travel))
		p := patterned(t, j)
		if p.job.Dowel.Count != 4 {
			t.Errorf("%d pins wanted, turned over they come in pairs: 4", p.job.Dowel.Count)
		}
		all := p.advise()
		if len(all) != 1 || all[0].Key != "machine.travel" {
			t.Fatalf("travel %g: advice %+v, want travel alone", travel, all)
		}
		d := build(t, j.Changed(all[0].Apply))
		for _, id := range []string{"pin-count", "accuracy", "float"} {
			if r := rule(t, d, id); r.Level != Pass {
				t.Errorf("travel %g: %q followed, %s: %s", travel, all[0].Says, r.Level, r.Says)
			}
		}
	}
}
