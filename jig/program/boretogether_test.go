package program

import (
	"strings"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/toolpath"
)

// TestTogether: a pin's two holes follow each other, the blank's exactly through, the bed's
// as deep below it; nothing is bored under a narrower hole. What the moves cut is held in
// cmd/internal/simulate.
func TestTogether(t *testing.T) {
	stocks := func(over, under float64, drilled bool) (blank, bed BoredPart) {
		blank = BoredPart{Part: "blank", ThicknessMM: 20, Tool: CutterChoice{Cutter: job.Cutter{DiameterMM: 5}},
			Drilled: drilled}
		bed = BoredPart{File: "bores.nc", Part: "bed", ThicknessMM: 18, Tool: CutterChoice{Cutter: job.Cutter{DiameterMM: 4}},
			Drilled: drilled}
		for i, id := range []string{"P1", "P2"} {
			at := geom.Vec{X: 300 * float64(i)}
			blank.Holes = append(blank.Holes, PinHole{ID: id, At: at, DiameterMM: over, LeastMM: over, SlotMM: 2 * float64(i)})
			bed.Holes = append(bed.Holes, PinHole{ID: id, At: at, DiameterMM: under, LeastMM: under, DepthMM: 12})
		}
		return blank, bed
	}
	blank, bed := stocks(8.05, 7.9, false)
	p, err := together(&job.Job{}, blank, bed)
	if err != nil {
		t.Fatal(err)
	}
	var order []string
	for _, c := range p.Path.Cuts {
		deepest, rapid := 0.0, 0.0
		for m := range c.Moves() {
			deepest = min(deepest, m.To.Z)
			if m.Kind == toolpath.Rapid {
				rapid = min(rapid, m.To.Z)
			}
		}
		if want := map[bool]float64{true: -20, false: -32}[strings.HasSuffix(c.ID, "blank")]; deepest != want || rapid < 0 {
			t.Errorf("%s: deepest %g, rapid down to %g", c.ID, deepest, rapid)
		}
		order = append(order, c.ID)
	}
	if got := strings.Join(order, ", "); got != "P1 blank, P1 bed, P2 blank, P2 bed" {
		t.Error(got)
	}
	if p.Path.DiameterMM != 4 {
		t.Errorf("bored with %g, want the bed's cutter", p.Path.DiameterMM)
	}

	// 32 deep together; apart the blank's 20 and 0.3 beyond, the bed's 12.
	p.Path.ReachMM = 25
	f, offer := reach(p, 0), "; or bore blank and bed apart, 20.3 mm deep at most (blank.bored_with_bed: false)"
	if f.Level != "fail" || !strings.HasSuffix(f.Remedy, offer) {
		t.Errorf("%s: %s", f.Level, f.Remedy)
	}
	if p.Path.ReachMM = 20; strings.Contains(reach(p, 0).Remedy, "apart") {
		t.Error("20.3 deep is offered to a cutter that reaches 20")
	}

	blank, bed = stocks(8.05, 7.9, true)
	if p, err = together(&job.Job{}, blank, bed); err != nil || len(p.Path.Cuts) != 2 || p.Path.DiameterMM != 7.9 {
		t.Errorf("drilled: %v, %d cuts", err, len(p.Path.Cuts))
	}
	if head := strings.Join(p.Path.Says, " "); !strings.Contains(head, "open the blank's holes") {
		t.Error(head)
	}
	// As wide above as below: a cutter goes through both, a drill through what is opened to it.
	for _, drilled := range []bool{false, true} {
		blank, bed = stocks(8, 8, drilled)
		blank.Holes[0].LeastMM = 7.98
		if _, err = together(&job.Job{}, blank, bed); (err != nil) != drilled {
			t.Errorf("drilled %v: %v", drilled, err)
		}
	}
	blank, bed = stocks(7.9, 8.05, false)
	if _, err = together(&job.Job{}, blank, bed); err == nil ||
		!strings.HasPrefix(err.Error(), "P1, P2: the bed's hole") ||
		!strings.Contains(err.Error(), "blank.bored_with_bed: false") {
		t.Error(err)
	}
}
