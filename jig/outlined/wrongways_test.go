package outlined

import (
	"testing"

	"reseat/jig/foolproof"
	"reseat/jig/geom"
)

// What is said of a quarter of a disc, which goes in turned over about its diagonal, and of a disc.
func TestWays(t *testing.T) {
	disc := geom.Loop{{Bulge: 1}, {Vec: geom.Vec{X: 60}, Bulge: 1}}
	for _, c := range []struct {
		name    string
		outline geom.Loop
		lack    bool // of a half turn
		half    string
		long    string
	}{
		{"quarter", quarter, true, "turned by any angle", "turned over about its long axis, then by 90 degrees"},
		{"disc", disc, false, "turned by any of 11 angles", "turned over about its long axis, then by any of 6 angles"},
		{"rectangle", geom.Taper(90, 60, 60), false, "turned by 180 degrees", "turned over about its long axis"},
	} {
		t.Run(c.name, func(t *testing.T) {
			n, err := NestOf(jobOf(c.outline, "none"), 0)
			if err != nil {
				t.Fatal(err)
			}
			w := n.Ways(true)
			if lacks := w.Lack(foolproof.HalfTurn) > 0; lacks != c.lack {
				t.Errorf("half turn lacks %v: %+v", w.Lack(foolproof.HalfTurn), w)
			}
			if half, long := w.Says(foolproof.HalfTurn, 0), w.Says(foolproof.FlipLong, 0); half != c.half || long != c.long {
				t.Errorf("says %q and %q, want %q and %q", half, long, c.half, c.long)
			}
		})
	}
	if (*Nest)(nil).Ways(true) != nil {
		t.Error("ways without a window")
	}
}
