package jig

import (
	"strconv"
	"strings"
)

// HoleGroup is a set of pins whose holes in one part are made alike.
type HoleGroup struct {
	Part string // "template", "print", "rails", "blank", "bed"
	Pins []string
	Hole Hole
}

// HoleGroups are the holes of every part: of the template as it is cut, of the printed plate
// where that is another, of the blank and of the bed.
func (d *Design) HoleGroups() []HoleGroup {
	var out []HoleGroup
	for _, part := range []string{"template", "print", "rails", "blank", "bed"} {
		if part == "print" && (len(d.Parts) == 0 || d.Template.MakeBy == "print") {
			continue
		}
		from := len(out)
		for _, q := range d.Pins {
			if h := q.In(part); h != nil {
				out = groupedWith(out, from, part, q.ID, *h)
			}
		}
	}
	return out
}

// Who names the pins: a run of three and more by its ends, "P3 to P6".
func (g HoleGroup) Who() string {
	n := len(g.Pins)
	if n > 2 {
		first, err := strconv.Atoi(strings.TrimPrefix(g.Pins[0], "P"))
		last, err2 := strconv.Atoi(strings.TrimPrefix(g.Pins[n-1], "P"))
		if err == nil && err2 == nil && last-first == n-1 {
			return g.Pins[0] + " to " + g.Pins[n-1]
		}
	}
	return strings.Join(g.Pins, " ")
}

// groupedWith adds a hole to the group from a place on that is made like it, or to one of
// its own.
func groupedWith(all []HoleGroup, from int, part, id string, h Hole) []HoleGroup {
	for i := from; i < len(all); i++ {
		g := all[i].Hole
		if g.Role == h.Role && g.Class == h.Class && g.DrawnMM == h.DrawnMM && g.SlotMM == h.SlotMM &&
			g.DepthMM == h.DepthMM && g.PointMM == h.PointMM {
			all[i].Pins = append(all[i].Pins, id)
			return all
		}
	}
	return append(all, HoleGroup{part, []string{id}, h})
}
