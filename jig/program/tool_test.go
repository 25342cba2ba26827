package program

import (
	"strings"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/setup"
	"reseat/jig/toolpath"
)

// TestChoose: of a 6.0 mm hole 0.8 is 4.8.
func TestChoose(t *testing.T) {
	for _, c := range []struct {
		name, cutters string
		depth, want   float64
		why           string
	}{
		{"none listed", "", 10, 6, "machine.cutter: neither bed.make.cutter nor machine.cutters is given"},
		{"largest at most 0.8", "[3, 4, 5, 6]", 10, 4, "largest of 4 in machine.cutters that is at most 0.8"},
		{"that reaches", "[3, {diameter: 4, reach: 8}, 5]", 10, 3, "and reaches 10 mm deep"},
		{"by its stick-out", "[3, {diameter: 4, collet: {diameter: 20, below: 9}}, 5]", 10, 3, "and reaches 10 mm deep"},
		{"just reaches", "[3, {diameter: 4, reach: 10}, 5]", 10, 4, "and reaches 10 mm deep"},
		{"only a thick one reaches", "[{diameter: 4, reach: 8}, {diameter: 5, reach: 20}]", 10, 5,
			"none is at most 0.8 of it too"},
		{"none reaches", "[{diameter: 4, reach: 8}, {diameter: 5, reach: 9}]", 10, 5, "none of these reaches 10 mm deep"},
		{"none goes in", "[8, 6]", 10, 6, "the smallest of 2 in machine.cutters: none goes into the smallest hole, 6 mm"},
		{"of equals the one whose reach is known", "[4, {diameter: 4, reach: 12}]", 10, 4, "largest of 2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			more := ""
			if c.cutters != "" {
				more = "machine: {cutters: " + c.cutters + "}"
			}
			j := least(t, more)
			got := ChooseCutter(j, j.Machine.Cutter, false, "bed.make.cutter", 6, c.depth)
			if got.DiameterMM != c.want || !strings.Contains(got.Why, c.why) {
				t.Errorf("took %g: %s; want %g: %s", got.DiameterMM, got.Why, c.want, c.why)
			}
			if strings.HasPrefix(c.name, "of equals") && got.ReachMM != 12 {
				t.Errorf("took the one of reach %g", got.ReachMM)
			}
			named := ChooseCutter(j, job.Cutter{DiameterMM: 5.5}, true, "bed.make.cutter", 6, c.depth)
			if named.DiameterMM != 5.5 || named.Why != "bed.make.cutter names it" {
				t.Errorf("the job names 5.5 and %g was taken: %s", named.DiameterMM, named.Why)
			}
			for _, l := range j.Machine.Cutters {
				bare := job.Cutter{DiameterMM: l.DiameterMM}
				if got := ChooseCutter(j, bare, true, "bed.make.cutter", 6, c.depth); l != bare && got.Cutter == bare {
					t.Errorf("the job names %g alone, and its figures in the list are not taken", l.DiameterMM)
				}
				own := job.Cutter{DiameterMM: l.DiameterMM, ReachMM: 99}
				if got := ChooseCutter(j, own, true, "bed.make.cutter", 6, c.depth); got.Cutter != own {
					t.Errorf("the job names %+v and %+v was taken", own, got.Cutter)
				}
			}
		})
	}
}

// finding is the one with an ID, or nothing.
func finding(all []setup.Finding, id string) setup.Finding {
	for _, f := range all {
		if f.ID == id {
			return f
		}
	}
	return setup.Finding{}
}

// TestReach: holes 12 deep by a cutter of 3, which is four diameters.
func TestReach(t *testing.T) {
	for _, c := range []struct {
		name   string
		cutter job.Cutter
		level  string
		says   string
		over   float64 // of what stands beside
	}{
		{"reaches", job.Cutter{DiameterMM: 3, ReachMM: 12}, "pass", "its reach 12 mm", 0},
		{"too short", job.Cutter{DiameterMM: 3, ReachMM: 11.9}, "fail", "its reach 11.9 mm", 0},
		{"stands out too little", job.Cutter{DiameterMM: 3, ColletMM: 20, BelowMM: 11}, "fail", "and it stands out 11 mm",
			0},
		{"stands out enough", job.Cutter{DiameterMM: 3, ColletMM: 20, BelowMM: 13}, "pass", "and it stands out 13 mm", 0},
		{"not stated, long", job.Cutter{DiameterMM: 3}, "warn", "4.0 diameters", 0},
		{"not stated, thick enough", job.Cutter{DiameterMM: 4}, "pass", "3.0 diameters", 0},
		{"beside a plate, collet not known", job.Cutter{DiameterMM: 3, ReachMM: 12}, "warn",
			"beside what stands 5 mm over Z0", 5},
		{"beside a plate, long", job.Cutter{DiameterMM: 3, ReachMM: 17}, "pass", "its reach 17 mm", 5},
		{"beside a plate, collet known", job.Cutter{DiameterMM: 3, ReachMM: 12, ColletMM: 20, BelowMM: 13}, "pass", "", 5},
		{"beside a plate and too short", job.Cutter{DiameterMM: 3, ReachMM: 11}, "fail", "its reach 11 mm", 5},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := BoredPart{File: "bores.nc", Part: "bed", Material: "mdf", ThicknessMM: 18,
				Holes: []PinHole{{ID: "P1", DiameterMM: 8, DepthMM: 12}}, Tool: CutterChoice{Cutter: c.cutter,
					Key: "bed.make.cutter"}}
			j := least(t, "")
			p, err := Bores(j, s)
			if err != nil {
				t.Fatal(err)
			}
			beside := setup.Setup{Stack: []setup.Layer{{ToMM: 18 + c.over}}, Zero: &setup.Zero{ZMM: 18}}
			f := finding(Judge(j, p, beside), "reach-bed")
			known := c.cutter.ReachMM+c.cutter.ColletMM > 0
			if f.Level != c.level || f.Blocks != (known && f.Level != "warn") || f.File != "bores.nc" ||
				!strings.Contains(f.Says, c.says) {
				t.Errorf("got %+v, want %s, %q", f, c.level, c.says)
			}
			if f.Level == "warn" && !known && !strings.Contains(f.Remedy, "(bed.make.cutter: {diameter: 3 mm, reach: 12 mm})") {
				t.Errorf("what to write is not told: %s", f.Remedy)
			}
		})
	}
}

// TestReachBeyondAnyCutter: no end mill cuts twelve diameters deep, so none is offered, its reach stated or
// not; a drill is.
func TestReachBeyondAnyCutter(t *testing.T) {
	for _, c := range []job.Cutter{{DiameterMM: 1}, {DiameterMM: 1, ReachMM: 5}} {
		p, err := Bores(least(t, ""), BoredPart{File: "bores.nc", Part: "bed", Material: "mdf", ThicknessMM: 18,
			Holes: []PinHole{{ID: "P1", DiameterMM: 4, DepthMM: 12}}, Tool: CutterChoice{Cutter: c, Key: "bed.make.cutter"}})
		if err != nil {
			t.Fatal(err)
		}
		if f := reach(p, 0); f.Set != "" || !strings.Contains(f.Remedy, "a drill, or a wider hole") {
			t.Errorf("%+v: %q, %q", c, f.Set, f.Remedy)
		}
	}
}

// TestSlim: a cutter of 3 sent more than 15 deep bends, and the head says so.
func TestSlim(t *testing.T) {
	for depth, want := range map[float64]bool{15: false, 15.5: true} {
		p, err := Bores(least(t, ""), BoredPart{File: "bores.nc", Part: "bed", Material: "mdf", ThicknessMM: 18,
			Holes: []PinHole{{ID: "P1", DiameterMM: 8, DepthMM: depth}}, Tool: CutterChoice{Cutter: job.Cutter{DiameterMM: 3}}})
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Contains(strings.Join(p.Path.Cautions, " "), "diameters or more and bends"); got != want {
			t.Errorf("%g deep: cautioned %v", depth, got)
		}
	}
}

// TestTight: a cutter of 6 in a hole of 6.3 takes hours; one of 5 is 0.79 of it.
func TestTight(t *testing.T) {
	stock := BoredPart{File: "bores.nc", Part: "bed", Material: "mdf", ThicknessMM: 30}
	for i := range 6 {
		at := geom.Vec{X: 40 * float64(i)}
		stock.Holes = append(stock.Holes, PinHole{ID: "P1", At: at, DiameterMM: 6.3, DepthMM: 24})
	}
	for _, c := range []struct {
		name, more    string
		cutter        float64
		level, remedy string
	}{
		{"far too thick", "", 6, "warn", "a smaller cutter, 5 mm (a usual size; common practice, no source), "},
		{"one that is there", "machine: {cutters: [2, 4.5, 6]}", 6, "warn",
			"a smaller cutter, 4.5 mm (in machine.cutters), "},
		{"too short to be there", "machine: {cutters: [{diameter: 4.5, reach: 20}, 6]}", 6, "warn", "5 mm (a usual size"},
		{"at the limit", "", 5.04, "pass", ""},
		{"just over", "", 5.05, "warn", "; or drill, "},
		{"as thick as the hole", "", 6.3, "fail", "a smaller cutter, 5 mm"},
	} {
		t.Run(c.name, func(t *testing.T) {
			j, s := least(t, c.more), stock
			s.Tool = CutterChoice{Cutter: job.Cutter{DiameterMM: c.cutter}, Named: true, Key: "bed.make.cutter"}
			var path *toolpath.Program
			if p, err := Bores(j, s); err == nil {
				path = p.Path
			}
			f := s.JudgeCutter(j, path)
			if f.Level != c.level || !strings.Contains(f.Remedy, c.remedy) {
				t.Errorf("got %+v, want %s, %q", f, c.level, c.remedy)
			}
			if c.cutter == 6 && !strings.Contains(f.Says, ", 0.95 of it, in 1") { // more than a hundred minutes
				t.Errorf("says %q", f.Says)
			}
		})
	}
}

// TestDrilledShort: a program whose drill stops at the depth wanted leaves its point's
// height short.
func TestDrilledShort(t *testing.T) {
	j := least(t, "")
	p, err := Bores(j, BoredPart{File: "bores.nc", Part: "bed", Material: "mdf", ThicknessMM: 30, Drilled: true,
		Holes: []PinHole{{ID: "P1", DiameterMM: 8, DepthMM: 20},
			{ID: "P2", At: geom.Vec{X: 50}, DiameterMM: 8, DepthMM: 12}}})
	if err != nil {
		t.Fatal(err)
	}
	if f := finding(Judge(j, p, setup.Setup{}), "drilled-bed"); f.Level != "pass" || f.Value != 20 {
		t.Errorf("got %+v", f)
	}
	p.Path.Run.Min.Z = -20
	f := finding(Judge(j, p, setup.Setup{}), "drilled-bed")
	if f.Level != "fail" || !f.Blocks || !strings.Contains(f.Remedy, "drill 2.4 mm deeper") { // 0.30043 x 8
		t.Errorf("got %+v", f)
	}
}
