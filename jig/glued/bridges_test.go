package glued

import "testing"

// A fingerboard is held by a few bridges against a small cutter, and by none against what would
// break them.
func TestBridges(t *testing.T) {
	k := caseOf(t, "")
	p, err := Bridges(k.Job, 3, 14, 8)
	if err != nil || p.PerSide < 4 || p.StressMPa > p.AllowedMPa {
		t.Errorf("%+v, %v", p, err)
	}
	if _, err = Bridges(k.Job, 3, 3000, 1700); err == nil {
		t.Error("bridges hold 3 kN")
	}
}
