package jig

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/site"
)

// TestRules breaks the base job in one place each; the rule named, and it alone
// of the listed kind, must fail and tell a remedy.
func TestRules(t *testing.T) {
	for _, tc := range []struct {
		name   string
		change func(*job.Job)
		rule   string
		says   string
	}{
		{"blank narrower than the board", func(j *job.Job) { j.Blank.WidthMM = 50 }, "board-in-blank", "wider"},
		{"no room in the blank", func(j *job.Job) { j.Blank.WidthMM, j.Blank.LengthMM = 62, 485 }, "pin-count", "no place"},
		{"two pins can be turned", func(j *job.Job) { j.Dowel.Count = 2 }, "foolproof-half-turn", "three pins"},
		{"odd count, no room on the axis", func(j *job.Job) {
			j.Template.Flip, j.Dowel.Count, j.Board.LengthMM, j.Board.Features, j.Blank.LengthMM = "long", 5, 150, nil, 310
			j.Board.KeepOut = []job.KeepOut{
				{Name: "head", From: geom.Vec{X: -200, Y: -9}, To: geom.Vec{Y: 9}},
				{Name: "heel", From: geom.Vec{X: 150, Y: -9}, To: geom.Vec{X: 400, Y: 9}},
			}
		}, "pin-count", "dowel.count 6: turned over, pins come in pairs"},
		{"float above what is wanted", func(j *job.Job) { j.AccuracyMM = 0.05 }, "float", "push"},
		{"board longer than the travel", func(j *job.Job) { j.Machine.TravelMM = [3]float64{400, 450, 90} },
			"board-in-travel", "two set-ups"},
		{"rail above the crowned edge", func(j *job.Job) { j.Rails.HeightMM = 6 }, "rail-below-edge", "lower rails"},
		{"pin too short for the bed", func(j *job.Job) { j.Dowel.LengthMM = 8 }, "pin-in-bed", "pins of 14 mm"},
		{"pin too short for the plate", func(j *job.Job) { j.Dowel.LengthMM = 12 }, "pin-holds-template", "pins of 14 mm"},
		{"pin too short, standard lengths known", func(j *job.Job) {
			j.Dowel.Standard, j.Dowel.Class, j.Dowel.LengthMM = "iso 8734", "", 12
		}, "pin-holds-template", "pins of 14 mm"},
		{"pin proud of the plate", func(j *job.Job) { j.Dowel.LengthMM = 30 }, "pin-proud", "pins of 14 mm"},
		{"cutter as wide as the hole", func(j *job.Job) {
			j.Template.Make = job.Make{By: "router", Cutter: job.Cutter{DiameterMM: 6.1}}
		}, "cutter-in-template", "smaller cutter"},
		{"a hole under half as wide as its sheet", func(j *job.Job) { j.Template.ThicknessMM = 12 }, "hole-cut-template",
			"melts it shut"},
		{"no clearance", func(j *job.Job) { j.Template.ClearanceMM = 0 }, "board-enters-window", "clearance"},
		{"blank too thin for gluing pins", func(j *job.Job) { j.Blank.ThicknessMM, j.Rails = 6, nil }, "glue-pin",
			"a blank of 9 mm"},
		{"whole board kept out", func(j *job.Job) {
			j.Board.LengthMM, j.Board.Features, j.Blank.LengthMM = 150, nil, 310
			j.Board.KeepOut = []job.KeepOut{{Name: "all", From: geom.Vec{X: -100, Y: -100}, To: geom.Vec{X: 600, Y: 100}}}
		}, "pin-count", "keep-out"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := build(t, parse(t, tc.change))
			for _, r := range d.Rules {
				if r.ID == tc.rule {
					if r.Level != Fail {
						t.Fatalf("%s is %s: %s", r.ID, r.Level, r.Says)
					}
					if !strings.Contains(r.Says, tc.says) {
						t.Errorf("%s says %q, want a remedy with %q", r.ID, r.Says, tc.says)
					}
					return
				}
			}
			t.Errorf("rule %s was not asked", tc.rule)
		})
	}
}

// TestBoardWrongWay: a straight board goes into its window every way, a tapered one face
// down, and the set-up then says to mark it; a flip that the job asks for is no wrong way.
func TestBoardWrongWay(t *testing.T) {
	straight := func(j *job.Job) { j.Board.WidthStartMM = j.Board.WidthEndMM }
	for _, tc := range []struct {
		name   string
		change func(*job.Job)
		rule   string // that warns, none when empty
		says   string
		halfMM float64
	}{
		{"straight", straight, "board-half-turn", "u 473.0 instead of 5.0", -0.05},
		{"straight, a feature halfway along it", func(j *job.Job) {
			straight(j)
			j.Board.Features[0].UMM, j.Board.Features[0].VMM = j.Board.LengthMM/2, 7
		}, "board-half-turn", "v -7.0 instead of 7.0", -0.05},
		{"tapered", func(*job.Job) {}, "board-flip-long", "clearance 0.050", 6.605},
		{"turned over on purpose", func(j *job.Job) { j.Template.Flip, j.Board.CrownRadiusMM = "long", 0 }, "", "", 6.605},
		{"barely tapered", func(j *job.Job) { j.Board.WidthStartMM = j.Board.WidthEndMM - 0.7 }, "board-half-turn",
			"clearance 0.050", 0.3},
		{"straight, a corner cut off", func(j *job.Job) { straight(j); j.Template.Key = "corner" }, "", "", 0.6858},
		{"tapered, a corner cut off", func(j *job.Job) { j.Template.Key = "corner" }, "", "", 6.605},
		{"on pins", func(j *job.Job) { j.Template.Seat, j.Rails = "pins", nil }, "", "", 0},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := build(t, parse(t, func(j *job.Job) {
				j.Board.Frets, j.Board.Features = nil, []job.Feature{{Name: "mark", UMM: 5, BoreMM: 4, DepthMM: 1}}
				tc.change(j)
			}))
			f := d.BoardFoolproof
			if (f == nil) != (d.Template.Window == nil) || f != nil && math.Abs(f.HalfTurnMM-tc.halfMM) > 1e-3 {
				t.Errorf("board_foolproof %+v, want half turn %g", f, tc.halfMM)
			}
			warned := ""
			for _, r := range d.Rules {
				if strings.HasPrefix(r.ID, "board-half") || strings.HasPrefix(r.ID, "board-flip") {
					if r.Level == Pass {
						continue
					}
					warned += r.ID
					if !strings.Contains(r.Says, tc.says) {
						t.Errorf("says %q, want %q in it", r.Says, tc.says)
					}
				}
			}
			if warned != tc.rule {
				t.Errorf("warned of %q, want %q", warned, tc.rule)
			}
			s := fmt.Sprint(d.Setups)
			if strings.Contains(s, "marked START and TOP") != (tc.rule != "") {
				t.Errorf("the set-ups and the rule do not agree: %s", s)
			}
		})
	}
}

// TestFingerReliefs: where the walls have room for them they are there, clear of every pin's
// web and of the plate's edge, and the steps say so; the gluing plate has none.
func TestFingerReliefs(t *testing.T) {
	printed := func(j *job.Job) { j.Template.Make = job.Make{By: "print", NozzleMM: 0.4} }
	for _, tc := range []struct {
		name                string
		change              func(*job.Job)
		inTemplate, inPrint bool
	}{
		{"laser", func(*job.Job) {}, true, false},
		{"not wanted", func(j *job.Job) { j.Template.Lift = false }, false, false},
		{"router", func(j *job.Job) {
			j.Template.Make = job.Make{By: "router", Cutter: job.Cutter{DiameterMM: 3}}
		}, true, false},
		{"printed with rails", printed, false, false},
		{"printed without", func(j *job.Job) { printed(j); j.Rails = nil }, true, true},
		{"printed in parts", func(j *job.Job) {
			printed(j)
			j.Rails, j.Template.Make.BedMM = nil, [3]float64{300, 300, 200}
		}, false, false},
		{"twelve pins", func(j *job.Job) { j.Dowel.Count = 12 }, true, false},
		{"no window", func(j *job.Job) { j.Template.Seat, j.Rails = "pins", nil }, false, false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			bored := func(j *job.Job) {
				j.Board.Features = []job.Feature{{Name: "mark", UMM: 5, BoreMM: 7, DepthMM: 1}}
				tc.change(j)
			}
			d, plain := build(t, parse(t, bored)), parse(t, bored)
			plain.Template.Lift = false
			w, p := d.Template.Window, build(t, plain).Template.Window
			if (w.Area() > p.Area()+250) != tc.inTemplate {
				t.Errorf("window of %.0f mm2, %.0f without reliefs", w.Area(), p.Area())
			}
			if d.Print != nil && d.Print.Window != nil && (d.Print.Window.Area() > p.Area()+250) != tc.inPrint {
				t.Errorf("printed window of %.0f mm2, %.0f without reliefs", d.Print.Window.Area(), p.Area())
			}
			steps := strings.Join(d.Lifting, " ")
			if strings.Contains(steps, "finger relief") != tc.inTemplate {
				t.Errorf("lifting: %s", steps)
			}
			for _, q := range d.Pins {
				if w != nil && -w.Depth(q.At)-q.widest() < 6-1e-6 { // the web of acrylic 6 mm thick
					t.Errorf("%s is %.3f mm from the window", q.ID, -w.Depth(q.At)-q.widest())
				}
			}
		})
	}
}

// TestWarnings: what does not stop the job, but must be told.
func TestWarnings(t *testing.T) {
	for _, tc := range []struct {
		name   string
		change func(*job.Job)
		rule   string
	}{
		{"pockets of both faces meet", func(j *job.Job) {
			j.Board.CrownRadiusMM, j.Board.Frets, j.Template.Flip, j.Pockets.Cutter.DiameterMM = 0, nil, "long", 3
			j.Board.Features = []job.Feature{{Name: "a", UMM: 200, BoreMM: 8, DepthMM: 4},
				{Name: "b", UMM: 203, BoreMM: 8, DepthMM: 3, Side: "under"}}
		}, "pocket-faces"},
		{"pin of no standard length",
			func(j *job.Job) { j.Dowel.Standard, j.Dowel.Class, j.Dowel.LengthMM = "iso 8734", "", 23 }, "pin-length"},
		{"window tighter than the process strays", func(j *job.Job) { j.Template.ClearanceMM = 0.01 },
			"board-enters-window"},
		{"bed bored by a cutter that is not named", func(j *job.Job) { j.Bed.Make.Cutter.DiameterMM = 6 }, "cutter-in-bed"},
		{"rails without a blank", func(j *job.Job) { j.Blank = nil }, "rail-onto-blank"},
		{"a routed plate as long as the travel", func(j *job.Job) {
			j.Template.Make, j.Machine.TravelMM = job.Make{By: "router"}, [3]float64{400, 500, 90}
		}, "plate-in-travel"},
		{"rails without a window", func(j *job.Job) { j.Template.Seat = "pins" }, "rail-on-plate"},
		{"rail barely below the edge", func(j *job.Job) { j.Rails.HeightMM = 5.1 }, "rail-below-edge"},
		{"no room for film", func(j *job.Job) { j.Rails.GapMM = 0.01 }, "rail-gap"},
		{"weak clamps", func(j *job.Job) { j.Rails.ClampN = 300 }, "clamp-pressure"},
		{"a cold shop", func(j *job.Job) {
			j.Climate = &job.Climate{Made: job.Air{TempC: 20, RHPct: 50},
				Now: job.Air{TempC: 6, RHPct: 50}}
		},
			"cold-glue"},
		{"a hole narrower than its sheet", func(j *job.Job) { j.Template.ThicknessMM = 8 }, "hole-in-sheet-template"},
		{"room to skate", func(j *job.Job) { j.Rails.GapMM = 1 }, "place-on-blank"},
		{"rails too low for squeeze-out and board", func(j *job.Job) { j.Rails.HeightMM = 3 }, "rail-contact"},
		{"a press, not clamps", func(j *job.Job) { j.Rails.ClampN, j.Rails.Caul.HeightMM = 20000, 3 }, "side-load"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			for _, r := range build(t, parse(t, tc.change)).Rules {
				if r.ID == tc.rule && r.Level == Warn {
					return
				}
			}
			t.Errorf("rule %s does not warn", tc.rule)
		})
	}
}

// TestOneCauseOnce: a cutter too wide for every hole is one cause, with the pins named.
func TestOneCauseOnce(t *testing.T) {
	d := build(t, parse(t, func(j *job.Job) { j.Bed.Make = job.Make{By: "router", Cutter: job.Cutter{DiameterMM: 6}} }))
	r := rule(t, d, "program-bed")
	if r.Level != Warn || !strings.Contains(r.Says, "P1, P2, P3, P4, P5, P6: ") ||
		strings.Count(r.Says, "must be smaller") != 1 ||
		strings.Contains(r.Says, "toolpath:") || strings.Contains(r.Says, "\n") {
		t.Errorf("%s: %s", r.Level, r.Says)
	}
}

// TestOneFaultOfAllPockets: the same for features that the cutter does not go into.
func TestOneFaultOfAllPockets(t *testing.T) {
	text := strings.Replace(baseJob, "rails:", "pockets: {cutter: 6}\nrails:", 1)
	text = strings.NewReplacer("v: -6}", "v: -6, bore: 3, depth: 2}", "v: 10}", "v: 10, bore: 3, depth: 2}").Replace(text)
	r := rule(t, build(t, mustParse(t, text)), "pockets")
	if r.Level != Fail || !strings.Contains(r.Says, "near, far: ") || strings.Count(r.Says, "6 mm") != 1 ||
		strings.Contains(r.Says, "\n") {
		t.Errorf("%s: %s", r.Level, r.Says)
	}
}

// TestBlocks: a pin that stands in the cutter's way marks its rules as dangerous.
func TestBlocks(t *testing.T) {
	d := build(t, parse(t, func(j *job.Job) {
		j.Dowel.LengthMM, j.Machine.Cutter.DiameterMM = 60, 3
		j.Board.Features[0].BoreMM, j.Board.Features[0].DepthMM = 6, 2
	}))
	for _, r := range d.Rules {
		if want := r.ID == "pin-proud" || r.ID == "cutter-clear" || r.ID == "program-board"; r.Blocks != want {
			t.Errorf("%s blocks: %v", r.ID, r.Blocks)
		}
	}
	if r := rule(t, d, "pin-proud"); r.Level != Fail || !r.Blocks {
		t.Errorf("%+v", r)
	}
}

// TestHolesClearTheRails: on a narrow printed plate no hole runs under a rail.
func TestHolesClearTheRails(t *testing.T) {
	d := build(t, parse(t, func(j *job.Job) {
		j.Blank, j.Template.MarginMM, j.Template.ThicknessMM = nil, 5, 3
		j.Template.Material, j.Template.Make = "petg", job.Make{By: "print", NozzleMM: 0.4}
	}))
	if len(d.Print.Rails) != 2 || len(d.Pins) != 6 {
		t.Fatalf("%d rails, %d pins", len(d.Print.Rails), len(d.Pins))
	}
	for _, h := range d.Print.Holes {
		for _, r := range d.Print.Rails {
			if room := -r.Outline.Depth(h.Center) - h.Diameter/2; room < site.KeepOutMM {
				t.Errorf("hole %s leaves %.2f mm to a rail", h.ID, room)
			}
		}
	}
}

// TestRemedied: a remedy follows what was found as a sentence of its own, also behind a question.
func TestRemedied(t *testing.T) {
	for _, c := range []struct{ found, remedy, want string }{
		{"a hole is small", "a larger drill.", "a hole is small. Remedy: a larger drill"},
		{"no wood peer; did you mean pear?", "name a wood", "no wood peer; did you mean pear? Remedy: name a wood"},
		{"nothing to do", "", "nothing to do"},
	} {
		if got := remedied(c.found, c.remedy); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
