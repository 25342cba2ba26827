package jig

import "testing"

// TestWho: a run of pins is named by its ends; what is no run, pin by pin.
func TestWho(t *testing.T) {
	for _, c := range []struct {
		name string
		pins []string
		want string
	}{
		{"one", []string{"P1"}, "P1"},
		{"two", []string{"P3", "P4"}, "P3 P4"},
		{"a run", []string{"P9", "P10", "P11"}, "P9 to P11"},
		{"a gap", []string{"P3", "P5", "P6"}, "P3 P5 P6"},
		{"other names", []string{"A", "B", "C"}, "A B C"},
	} {
		if got := (HoleGroup{Pins: c.pins}).Who(); got != c.want {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
	}
}

// TestHoleGroups: every hole of every part is in one group, with holes like itself; a hole
// that is deeper is another.
func TestHoleGroups(t *testing.T) {
	blind := Hole{DrawnMM: 6, DepthMM: 9}
	d := &Design{Template: Template{MakeBy: "laser"}, Parts: []Print{{}}, Pins: []Pin{
		{ID: "P1", Blank: &Hole{DrawnMM: 6}, Bed: blind}, {ID: "P2", Blank: &Hole{DrawnMM: 6, DepthMM: 5}, Bed: blind},
	}}
	var got string
	for _, g := range d.HoleGroups() {
		got += g.Part + " " + g.Who() + "; "
	}
	if want := "template P1 P2; print P1 P2; blank P1; blank P2; bed P1 P2; "; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}
