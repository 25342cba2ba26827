package jig

import (
	"strings"
	"testing"

	"reseat/jig/job"
)

// TestTape: a board in a nest lies on tape; a blank on its pins is clamped, and nothing
// speaks of tape then.
func TestTape(t *testing.T) {
	for name, wants := range map[string]bool{"ukulele-printed": true, "neck-second-side": false} {
		j, err := job.Read("../testdata/jobs/" + name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		d := build(t, j)
		said := strings.Contains(strings.Join(d.Notes, " "), "tape")
		for _, s := range d.Setups {
			said = said || strings.Contains(strings.Join(s.Steps, " "), " tape")
		}
		if (d.HoldDown != nil) != wants || said != wants {
			t.Errorf("%s: hold-down %v, tape is spoken of: %v, want %v", name, d.HoldDown, said, wants)
		}
	}
}
