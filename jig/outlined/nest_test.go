package outlined

import (
	"math"
	"strings"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/job"
)

// quarter is a quarter of a disc, its corner at the start end's right.
var quarter = geom.Loop{{}, {Vec: geom.Vec{X: 90}, Bulge: math.Tan(math.Pi / 8)}, {Vec: geom.Vec{Y: 90}}}

func jobOf(l geom.Loop, push string) *job.Job {
	j := &job.Job{}
	j.Board.Outline, j.Template.Seat, j.Template.Push, j.Template.ClearanceMM = l, "nest", push, 0.1
	return j
}

// TestPush: the push is chosen so that its stops are sure, and the window is moved so that the board
// lies right on them; what turns freely is a fault.
func TestPush(t *testing.T) {
	for _, push := range []string{"left", "right"} {
		// Pushed left at 45 degrees the load would go through the quarter's other corner.
		n, err := NestOf(jobOf(quarter, push), 0)
		if err != nil || n.Fault != nil || n.Home.Direction < LeastTurn {
			t.Fatal(push, err, n.Fault, n.Home)
		}
		for _, s := range n.Home.Stops {
			if d := n.Window.Distance(s.At); d > 1e-4 {
				t.Errorf("push %s: the window is %.5f from the stop at %v", push, d, s.At)
			}
		}
		if says := n.Says(); strings.Count(says, " u ") != len(n.Home.Stops) || strings.Contains(says, "friction") != n.Sticks() {
			t.Error(says)
		}
		if says := n.Surer(nil); strings.Count(says, " u ") != 3 {
			t.Errorf("no three places: %s", says)
		}
	}
	disc := geom.Loop{{Vec: geom.Vec{}, Bulge: 1}, {Vec: geom.Vec{X: 60}, Bulge: 1}}
	for _, push := range []string{"none", "left"} {
		n, err := NestOf(jobOf(disc, push), 0)
		if err != nil || n.Fault == nil || !strings.Contains(n.Fault.Error(), "turning in its window, about u 30.0, v 0.0") {
			t.Errorf("a disc: %v, %v", n.Fault, err)
		}
		if says := n.Surer(nil); strings.Contains(says, " u ") {
			t.Errorf("a disc: %s", says)
		}
	}
}
