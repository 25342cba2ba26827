package jig

import (
	"math"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/layout"
	"reseat/jig/plate"
	"reseat/jig/toolpath"
)

// baseJob is a board of our own that every rule passes.
const baseJob = `
title: Test board
board:
  length: 478
  width: {start: 41.5, end: 55}
  thickness: 6.5
  crown_radius: 350
  wood: pear
  features:
    - {name: near, u: 20, v: -6}
    - {name: far, u: 440, v: 10}
blank: {length: 640, width: 130, thickness: 26, wood: sapele}
bed: {material: mdf, thickness: 18}
machine: {long_axis: y, travel: {x: 400, y: 700, z: 90}, position: 0.03, cutter: 6}
dowel: {standard: rod, class: h6, diameter: 6, count: 6}
template:
  seat: nest
  material: cast acrylic
  thickness: 6
  clearance: 0.05
  make: {by: laser, kerf: 0.2}
rails: {strip: 1, plate: print, height: 4.5, gap: 0.15}
accuracy: 0.4
`

// parse reads the base job and changes it.
func parse(t testing.TB, change func(*job.Job)) *job.Job {
	t.Helper()
	j, err := job.Parse("test.yaml", []byte(baseJob))
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(j)
	}
	return j
}

func build(t testing.TB, j *job.Job) *Design {
	t.Helper()
	d, all, err := designed(j, trials, nil)
	if err != nil {
		t.Fatal(err)
	}
	d.Rules = toRules(j, all) // without what trying finds: a job changed here is not its file
	return d
}

func failed(d *Design) []string {
	var out []string
	for _, r := range d.Rules {
		if r.Level == Fail {
			out = append(out, r.ID)
		}
	}
	return out
}

func TestBaseJobHolds(t *testing.T) {
	d := build(t, parse(t, nil))
	if bad := failed(d); len(bad) > 0 {
		t.Errorf("rules fail: %v", bad)
	}
	roles := map[Role]int{}
	for _, p := range d.Pins {
		roles[p.Role]++
	}
	if roles[Round] != 1 || roles[Slot] != 1 || roles[Clear] != 4 {
		t.Errorf("roles %v, want one round, one slot, four clear", roles)
	}
}

// TestPinsOfTheMachineAndOfGluing: the length that the job names stands in the bed; for
// gluing it is taken where it serves, otherwise a standard one. Without it both are chosen.
// Depths by hand: 14 in the bed 9 (1.5 d), 12 in the blank 12.5 - 3.2 of plate = 9.3; 26 in
// the blank 26.5 - 6 = 20.5; 9 deep is all of a blank of 9, so that pins go through.
func TestPinsOfTheMachineAndOfGluing(t *testing.T) {
	for _, tc := range []struct {
		name                 string
		change               func(*job.Job)
		bed, deep, glue, gap float64 // lengths and depths; gap: depth in the blank, 0 through
	}{
		{"left out", func(j *job.Job) { j.Dowel.LengthMM = 0 }, 14, 9, 12, 9.3},
		{"serves both", func(j *job.Job) { j.Dowel.LengthMM, j.Bed.ThicknessMM, j.Rails = 26, 25, nil }, 26, 20.5, 26, 20.5},
		{"too long for the blank's floor", func(j *job.Job) {
			j.Dowel.LengthMM, j.Bed.ThicknessMM, j.Rails, j.Blank.ThicknessMM = 26, 25, nil, 20
		}, 26, 20.5, 14, 9},
		{"the blank leaves no floor", func(j *job.Job) { j.Dowel.LengthMM, j.Rails, j.Blank.ThicknessMM = 0, nil, 9 },
			14, 9, 14, 0},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := build(t, parse(t, tc.change))
			if s := d.MachinePin; s.LengthMM != tc.bed || !within(s.DepthMM, tc.deep, 1e-9) {
				t.Errorf("bed: %+v", s)
			}
			if s := d.GluingPin; s.LengthMM != tc.glue || !within(s.Blind(), tc.gap, 1e-9) {
				t.Errorf("blank: %+v", s)
			}
			for _, p := range d.Pins {
				if p.Bed.DepthMM != d.MachinePin.Blind() || p.Blank.DepthMM != d.GluingPin.Blind() ||
					p.Bed.FloorMM != d.MachinePin.FloorMM || p.Dowel.LengthMM != tc.bed {
					t.Errorf("%s: bed %.2f, blank %.2f", p.ID, p.Bed.DepthMM, p.Blank.DepthMM)
				}
			}
			for _, id := range []string{"pin-in-bed", "pin-proud", "glue-pin", "glue-pin-proud"} {
				if r := rule(t, d, id); r.Level != Pass {
					t.Errorf("%s: %s", id, r.Says)
				}
			}
		})
	}
}

// TestDrillPoint: a drilled hole's depth is that of its full diameter; the point goes
// beyond, in the design and in the program, and the floor is counted under it.
func TestDrillPoint(t *testing.T) {
	drilled := func(bed, length float64) *Design {
		return build(t, parse(t, func(j *job.Job) {
			j.Bed.Make, j.Bed.ThicknessMM, j.Dowel.LengthMM = job.Make{By: "drill"}, bed, length
		}))
	}
	d := drilled(30, 24)
	h := d.Pins[0].Bed
	if h.DepthMM != 18.5 || !within(h.PointMM, 0.3*h.DrawnMM, 0.01) || !within(h.FloorMM, 30-18.5-0.3*6, 0.01) {
		t.Errorf("%.2f deep, point %.3f of a drill of %.2f, floor %.2f", h.DepthMM, h.PointMM, h.DrawnMM, h.FloorMM)
	}
	if got := d.Programs[0].Path.Run.DeepestMM(); !within(got, h.DepthMM+h.PointMM, 0.01) {
		t.Errorf("the program drills %.3f deep", got)
	}
	// 18.5 and a point of 1.8 leave 0.7 of a bed of 21: no blind hole stands there.
	d = drilled(21, 24)
	out := strings.Contains(strings.Join(d.Notes, " "), "right through") &&
		strings.Contains(strings.Join(d.Programs[0].Path.Says, " "), "scrap")
	if s := d.MachinePin; !s.Through && s.FloorMM < 1 || s.Through != out {
		t.Errorf("%+v, told: %v", s, out)
	}
}

// TestNoPlaceAgainstOneOfMany: a place that one constraint allows but for rounding is held
// against the others too. Two boards that once put a pin beside the blank.
func TestNoPlaceAgainstOneOfMany(t *testing.T) {
	for _, far := range []float64{60.42, 120} {
		d := build(t, parse(t, func(j *job.Job) {
			j.Board.LengthMM, j.Board.WidthStartMM, j.Board.WidthEndMM, j.Board.CrownRadiusMM = 60, 15, far, 0
			j.Board.Features = []job.Feature{{Name: "f"}}
			j.Machine.TravelMM = [3]float64{}
			j.Dowel.Count, j.Template.Flip = 7, "long"
			j.Blank.LengthMM, j.Blank.WidthMM = 60, far+107
		}))
		for _, r := range d.Rules {
			if r.Level == Fail && (strings.Contains(r.ID, "web") || strings.Contains(r.ID, "clear-of") ||
				r.ID == "pin-in-blank") {
				t.Errorf("%d pins: %s", len(d.Pins), r.Says)
			}
		}
	}
}

// TestLoneFeatureKeepsTheBaseline: one feature alone must not draw the two pins together
// beside it, though the plate's growth draws the round one to the middle of the board.
func TestLoneFeatureKeepsTheBaseline(t *testing.T) {
	d := build(t, parse(t, func(j *job.Job) {
		j.Board.LengthMM, j.Board.Features = 300, []job.Feature{{Name: "f", UMM: 100, VMM: 5}}
	}))
	if l := d.Pins[0].At.Dist(d.Pins[1].At); l < 150 {
		t.Errorf("baseline %.1f mm on a board of 300", l)
	}
}

func TestFlipFits(t *testing.T) {
	for _, flip := range []string{"long", "short"} {
		t.Run(flip, func(t *testing.T) {
			for _, n := range []int{4, 6, 8, 12} {
				d := build(t, parse(t, func(j *job.Job) { j.Template.Flip = flip; j.Dowel.Count = n }))
				f := d.Foolproof
				fits, blocked := f.FlipLongMM, f.FlipShortMM
				if flip == "short" {
					fits, blocked = blocked, fits
				}
				if fits > layout.FlipFitsMM || blocked < layout.LeastMissMM || f.HalfTurnMM < layout.LeastMissMM {
					t.Errorf("%d pins: %+v", n, f)
				}
			}
		})
	}
}

// TestPush: a pushed board must lie true, so the two stops touch the board's
// outline and the play opposite is twice the clearance.
func TestPush(t *testing.T) {
	for _, push := range []string{"left", "right"} {
		t.Run(push, func(t *testing.T) {
			j := parse(t, func(j *job.Job) { j.Template.Push = push })
			d := build(t, j)
			if len(d.Template.Stops) != 2 {
				t.Fatalf("%d stops, want 2", len(d.Template.Stops))
			}
			b := geom.Taper(j.Board.LengthMM, j.Board.WidthStartMM, j.Board.WidthEndMM)
			for _, s := range d.Template.Stops {
				// Shared corner aside, the wall lies on the board's edge: its
				// middle is on the outline.
				if got := b.Distance(s.A.Lerp(s.B, 0.5)); got > 1e-9 {
					t.Errorf("stop %s stands %g off the board", s.Wall, got)
				}
			}
			free := build(t, parse(t, nil))
			for i, f := range d.Seat.Features {
				if g := free.Seat.Features[i]; f.WorstMM >= g.WorstMM {
					t.Errorf("%s: pushed %.4f, free %.4f: a push must take float away", f.Name, f.WorstMM, g.WorstMM)
				}
			}
		})
	}
}

func TestMachineAxisChangesNothingOnTheBoard(t *testing.T) {
	y := build(t, parse(t, nil))
	x := build(t, parse(t, func(j *job.Job) {
		j.Machine.LongAxis = "x"
		j.Machine.TravelMM = [3]float64{700, 400, 90}
	}))
	opt := cmpopts.EquateApprox(0, 1e-12)
	for i := range y.Pins {
		if diff := cmp.Diff(y.Pins[i].At, x.Pins[i].At, opt); diff != "" {
			t.Errorf("pin %d moved on the board: %s", i, diff)
		}
		u, v := x.Pins[i].At.X, x.Pins[i].At.Y
		// Frames of the design: long axis y gives u -> +Y, v -> -X.
		if got, want := y.Pins[i].Machine, (geom.Vec{X: -v, Y: u}); !cmp.Equal(got, want, opt) {
			t.Errorf("pin %d: long axis y gives %v, want %v", i, got, want)
		}
		if got, want := x.Pins[i].Machine, (geom.Vec{X: u, Y: v}); !cmp.Equal(got, want, opt) {
			t.Errorf("pin %d: long axis x gives %v, want %v", i, got, want)
		}
	}
	if diff := cmp.Diff(y.Seat, x.Seat, opt); diff != "" {
		t.Errorf("float differs: %s", diff)
	}
}

func TestBuildIsDeterministic(t *testing.T) {
	plain := cmpopts.IgnoreUnexported(toolpath.Cut{})
	if diff := cmp.Diff(build(t, parse(t, nil)), build(t, parse(t, nil)), plain, cmp.AllowUnexported(plate.Sheet{})); diff != "" {
		t.Errorf("two builds differ: %s", diff)
	}
}

// TestAnyBoard: whatever the board, no panic, no NaN, and a pattern that is
// complete keeps every distance it must.
func TestAnyBoard(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		j := parse(t, func(j *job.Job) {
			b := &j.Board
			b.LengthMM, b.WidthStartMM, b.WidthEndMM = f("length", 60, 1500), f("start", 15, 120), f("end", 15, 120)
			b.CrownRadiusMM = 0
			narrow := min(b.WidthStartMM, b.WidthEndMM, b.LengthMM)
			b.CornerRadiusMM = rapid.SampledFrom([]float64{0, 2, narrow / 2}).Draw(rt, "corner")
			b.Features = []job.Feature{{Name: "f", UMM: f("u", 0, b.LengthMM), VMM: f("v", -7, 7)}}
			j.Machine.TravelMM = [3]float64{}
			j.Dowel.Count = rapid.SampledFrom([]int{0, 0, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}).Draw(rt, "count")
			j.Template.Flip = rapid.SampledFrom([]string{"none", "long", "short"}).Draw(rt, "flip")
			j.Template.Seat = rapid.SampledFrom([]string{"nest", "pins"}).Draw(rt, "seat")
			j.Template.Push = rapid.SampledFrom([]string{"none", "left", "right"}).Draw(rt, "push")
			// A key is sized for corners of about 90 degrees, of which rounding takes a known share.
			taper := (b.WidthStartMM - b.WidthEndMM) / b.LengthMM
			square := math.Abs(taper) <= 0.2 && b.CornerRadiusMM*taper <= 0.2
			if j.Template.Seat == "nest" && b.CornerRadiusMM <= min(10, b.WidthStartMM/4) && square {
				j.Template.Key = rapid.SampledFrom([]string{"none", "corner"}).Draw(rt, "key")
			}
			j.Blank.LengthMM, j.Blank.WidthMM = f("blank length", 60, 1700), f("blank width", 40, 300)
			if rapid.Bool().Draw(rt, "free") && j.Template.Seat == "nest" {
				j.Blank = nil
			}
		})
		d, all, err := designed(j, trials, layout.Searched{}) // advice for the others: TestAdviceHolds
		if err == nil && len(d.Pins) >= max(2, j.Dowel.Count) {
			d, all, err = designed(j, trials, nil)
		}
		if err != nil {
			rt.Fatal(err)
		}
		d.Rules = toRules(j, all)
		complete := len(d.Pins) >= 2 && len(d.Pins) >= j.Dowel.Count
		for _, r := range d.Rules {
			wrong := strings.HasPrefix(r.ID, "board-half") || strings.HasPrefix(r.ID, "board-flip")
			if j.Template.Key == "corner" && wrong && r.Level != Pass {
				rt.Fatalf("with a corner cut off: %s", r.Says)
			}
			if j.Dowel.Count == 0 && len(d.Pins) > 6 {
				rt.Fatalf("%d pins without being asked", len(d.Pins))
			}
			if math.IsNaN(r.Value) || math.IsInf(r.Value, 0) || math.IsNaN(r.Limit) {
				rt.Fatalf("rule %s: value %g, limit %g", r.ID, r.Value, r.Limit)
			}
			if complete && r.Level == Fail && strings.HasPrefix(r.ID, "pin-") &&
				(strings.Contains(r.ID, "web") || strings.Contains(r.ID, "clear") || strings.HasPrefix(r.ID, "pin-in-blank")) {
				rt.Fatalf("complete pattern breaks %s: %s", r.ID, r.Says)
			}
		}
		for _, c := range d.Sheets {
			for _, sh := range c.Shapes {
				for i := range sh.Loop {
					if l := sh.Loop.Edge(i).Length(); !sh.Open && l < 0.02 {
						rt.Fatalf("%s: a segment of %s is %g mm long", c.File, sh.Layer, l)
					}
				}
			}
		}
		for _, s := range d.Seat.Features {
			if math.IsNaN(s.WorstMM) || s.WorstMM < 0 {
				rt.Fatalf("float of %s is %g", s.Name, s.WorstMM)
			}
		}
	})
}

func BenchmarkBuild(b *testing.B) {
	few := trials
	trials = 0
	defer func() { trials = few }()
	j := parse(b, nil)
	for b.Loop() {
		if _, err := Build(j); err != nil {
			b.Fatal(err)
		}
	}
}

// TestPinsOfTheExamples: in every example the pins stand in blind holes of bed and blank with
// 3 mm left under them, on the floor of their holes, and the longest ends no higher than the
// plate or blank that lies over it. Heights are taken from the order of work, floors from
// the holes.
func TestPinsOfTheExamples(t *testing.T) {
	files, err := filepath.Glob("../testdata/jobs/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal(err)
	}
	for _, file := range append(files, "../testdata/cases/free-crowned-axis-x.yaml") {
		j, err := job.Read(file)
		if err != nil {
			t.Fatal(err)
		}
		example := strings.Contains(file, "jobs")
		d := build(t, j)
		for _, s := range d.Setups {
			for i, q := range s.Pins {
				part, h, plate := d.Bed.ThicknessMM, d.Pins[i].Bed, "template blank"
				if s.Stack[0].Name == "blank" {
					part, h, plate = d.Blank.ThicknessMM, *d.Pins[i].Blank, "gluing plate"
				}
				if h.DepthMM == 0 || part-h.DepthMM-h.PointMM < 3-1e-9 && example || !within(q.FromMM, part-h.DepthMM, 1e-9) {
					t.Errorf("%s, %s: pin %s from %.2f in a hole %.2f deep of %.2f", file, s.Title, q.ID, q.FromMM, h.DepthMM, part)
				}
				for _, l := range s.Stack {
					if !q.After && strings.Contains(plate, l.Name) && l.FromMM > 0 && q.ToMM+q.ProudMM > l.ToMM+1e-9 {
						t.Errorf("%s, %s: pin %s up to %.2f, the %s ends at %.2f", file, s.Title, q.ID, q.ToMM+q.ProudMM, l.Name, l.ToMM)
					}
				}
			}
		}
	}
}
