package setup

import (
	"strings"

	"reseat/jig/geom"
	"reseat/jig/toolpath"
)

// Obstacles are what a cutter must pass in a set-up: pins, plate and rails, and a frame
// that stands above the board. Their heights count from Z0.
func (s Setup) Obstacles() []toolpath.Obstacle {
	if s.Zero == nil {
		return nil
	}
	var out []toolpath.Obstacle
	for _, q := range s.Pins {
		if !q.After {
			out = append(out, toolpath.Obstacle{
				ID: "pin " + q.ID, Outline: geom.Slot(q.At, 0, 0, 2*q.RadiusMM), TopZ: q.ToMM + q.ProudMM - s.Zero.ZMM,
			})
		}
	}
	for _, l := range s.Stack {
		if l.Outline == nil || !strings.HasPrefix(l.Name, "rail") && l.Window == nil {
			continue // it is what is worked on, or lies under that
		}
		o := toolpath.Obstacle{ID: l.Name, Outline: l.Outline, TopZ: l.ToMM - s.Zero.ZMM}
		if l.Name == "blank" {
			o.ID = "the blank's frame"
		}
		if l.Window != nil {
			o.Windows = []geom.Loop{l.Window}
		}
		out = append(out, o)
	}
	return out
}
