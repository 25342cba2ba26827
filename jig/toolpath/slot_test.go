package toolpath

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// TestSlotLength holds a slot against the closed form: one way round is
// 2 pi r + 2 travel, sloped evenly.
func TestSlotLength(t *testing.T) {
	const r, travel, n = 1.4, 5.0, 10 // width 5.8, cutter 3; 1 mm of air and 4 of wood by half a millimetre
	cut, err := SlotHole(Slot{WidthMM: 5.8, TravelMM: travel, FloorZ: -4}, Tool{DiameterMM: 3},
		Settings{PitchMM: 0.5, NoFinish: true, RampRad: 0.5})
	if err != nil {
		t.Fatal(err)
	}
	around := 2*math.Pi*r + 2*travel
	near(t, "way", feedLength(cut.Moves), r+math.Hypot(n*around, 5)+around+r, roundErr)
	if cut.Turns != n+1 {
		t.Errorf("%d turns", cut.Turns)
	}
}

// TestSlotProperties: for any slot the tool's circle never leaves it, its floor is
// cut everywhere, and the slope is even.
func TestSlotProperties(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := rapid.Float64Range(1, 6).Draw(rt, "tool")
		s := anySettings(rt, d)
		h := Slot{
			ID: "P2", At: geom.Vec{X: rapid.Float64Range(-300, 300).Draw(rt, "x"), Y: 40},
			AngleRad: rapid.Float64Range(-3.2, 3.2).Draw(rt, "angle"),
			TravelMM: rapid.Float64Range(0.1, 15).Draw(rt, "travel"),
			WidthMM:  d * rapid.Float64Range(1.02, 4).Draw(rt, "ratio"),
			TopZ:     s.TopZ,
		}
		h.FloorZ = h.TopZ - rapid.Float64Range(0.2, 8).Draw(rt, "depth")
		cut, err := SlotHole(h, Tool{DiameterMM: d}, s)
		if err != nil {
			rt.Fatal(err)
		}
		safe(rt, cut, h.TopZ, h.FloorZ)
		// The region that the centre may visit: all that is deep enough in the slot.
		walls := geom.Slot(h.At, h.AngleRad, h.TravelMM, h.WidthMM)
		onWall := false
		var floor []geom.Vec
		sampled(cut.Moves, d/20, func(m Move, p Point) {
			depth := walls.Depth(p.XY())
			if p.Z < h.TopZ && depth < d/2-roundErr {
				rt.Fatalf("%v at %v reaches %.9f over the wall", m.Kind, p, d/2-depth)
			}
			if p.Z == h.FloorZ {
				onWall = onWall || depth < d/2+roundErr
				floor = append(floor, p.XY())
			}
		})
		if !onWall {
			rt.Fatal("the floor's path never touches the wall")
		}
		// The floor, sampled; what is within a sample's distance of the wall is left
		// to the exact test of the wall's path above.
		u := geom.Polar(1, h.AngleRad)
		for i := -12; i <= 12; i++ {
			for j := -8; j <= 8; j++ {
				v := h.At.Add(u.Scale(float64(i) / 12 * (h.TravelMM + h.WidthMM) / 2)).Add(u.Left().Scale(float64(j) / 8 * h.WidthMM / 2))
				if walls.Depth(v) < d/100 {
					continue
				}
				ok := false
				for _, p := range floor {
					if ok = p.Dist(v) <= d/2; ok {
						break
					}
				}
				if !ok {
					rt.Fatalf("the floor stands at %v, %.4f inside the wall", v, walls.Depth(v))
				}
			}
		}
	})
}

func TestSlotRefuses(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(h *Slot)
		says   string
	}{
		{"no travel", func(h *Slot) { h.TravelMM = 0 }, "travel of the slot"},
		{"no angle", func(h *Slot) { h.AngleRad = math.NaN() }, "angle of the slot"},
		{"as narrow as the tool", func(h *Slot) { h.WidthMM = 3 }, "tool of 3 mm for a width of 3 mm"},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := Slot{ID: "P2", WidthMM: 6, TravelMM: 2, FloorZ: -3}
			c.change(&h)
			_, err := SlotHole(h, Tool{DiameterMM: 3}, Settings{})
			var all Faults
			if !errors.As(err, &all) || !strings.Contains(err.Error(), c.says) {
				t.Errorf("got %v, want %q", err, c.says)
			}
		})
	}
}
