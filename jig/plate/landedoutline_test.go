package plate

import (
	"math"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/offset"
)

// The window of a plate for gluing round a board of any outline: the board goes in with the gap
// all round, in what the cutter really opens; lands lie at the gap, and away from them the plate
// stands back; what is set back takes the squeeze-out.
func TestLandedOutline(t *testing.T) {
	for name, board := range outlines() {
		for _, c := range []LandedOutline{
			{GapMM: 0.15, DeepMM: 4}, {GapMM: 0.15, CutterMM: 1.5, DeepMM: 4, SqueezeMM3: 6 * board.Length()},
			{GapMM: 0.3, CutterMM: 3.175, DeepMM: 4, SqueezeMM3: 12 * board.Length()},
		} {
			if c.Board = board; name == "many-sided" && c.CutterMM > 0 {
				continue // slow, and no other case
			}
			w, ok := c.Window()
			if !ok {
				t.Errorf("%s has no lands", name)
				continue
			}
			if w.RoomMM3 < c.SqueezeMM3 || w.SetbackMM < setbackMM {
				t.Errorf("%s: room %.0f mm3 of %.0f, set back %.2f", name, w.RoomMM3, c.SqueezeMM3, w.SetbackMM)
			}
			r := cornerRadius(c.CutterMM)
			for i := range w.Loop {
				if e := w.Loop.Edge(i); e.IsArc() && e.Bulge > 0 && e.Arc().R < r-1e-6 {
					t.Errorf("%s: a corner of %.3f mm", name, e.Arc().R)
				}
			}
			open := offset.Grow(offset.Centres([]geom.Loop{w.Loop}, r), r, offset.Round)
			least, where := clearance(board, open)
			if math.Abs(least-c.GapMM) > landTolMM {
				t.Errorf("%s: the opening is %.4f from the board at %.2f, want %g", name, least, where, c.GapMM)
			}
			checkBears(t, name, board, w, c.GapMM)
		}
	}
}

// checkBears: the cut outline is the board's, where it bears the window lies at the gap, and
// halfway between lands, away from corners, farther off.
func checkBears(t *testing.T, name string, board geom.Loop, w LandedWindow, gap float64) {
	if math.Abs(w.Outline.Area()-board.Area()) > 1e-6 || len(w.Outline) != len(w.Bears) {
		t.Fatalf("%s: the cut outline is another one", name)
	}
	bearing, free := 0.0, 0
	for i, on := range w.Bears {
		e := w.Outline.Edge(i)
		d := w.Loop.Distance(e.At(0.5))
		switch {
		case on && math.Abs(d-gap) > 2*landTolMM:
			t.Errorf("%s: a land at %.2f is %.4f off the board", name, e.At(0.5), d)
		case on:
			bearing += e.Length()
		case d > gap+setbackMM/2:
			free++
		}
	}
	if most := float64(len(w.Lands)) * landMM; bearing > most || bearing == 0 || free == 0 {
		t.Errorf("%s: %d lands bear on %.1f mm, %d edges stand free", name, len(w.Lands), bearing, free)
	}
}
