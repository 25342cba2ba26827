package cli

import (
	"math"
	"path/filepath"
	"testing"
)

// TestSlotAngles: a slot lies on the line from the round pin to its own, in the board's
// frame and in the machine's. Both are worked out here from the pins' places alone.
func TestSlotAngles(t *testing.T) {
	jobs, err := filepath.Glob("../../../testdata/jobs/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	slots := 0
	for _, job := range append(jobs, "../../../testdata/cases/twelve-pins-off-axis.yaml") {
		d, err := designOf(job)
		if err != nil {
			t.Fatal(err)
		}
		for _, q := range d.Pins {
			h := q.Template
			if h.SlotMM == 0 {
				continue
			}
			slots++
			uv, xy := q.At.Sub(d.Pins[0].At), q.Machine.Sub(d.Pins[0].Machine)
			for name, off := range map[string]float64{
				"uv": h.SlotAngleUV - math.Atan2(uv.Y, uv.X), "xy": h.SlotAngleXY - math.Atan2(xy.Y, xy.X),
			} {
				if off = math.Remainder(off, math.Pi); math.Abs(off) > 1e-9 {
					t.Errorf("%s: %s is off by %g rad", job, name, off)
				}
			}
		}
	}
	if slots == 0 {
		t.Error("no slot")
	}
}
