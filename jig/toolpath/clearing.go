package toolpath

import (
	"fmt"
	"math"
)

const (
	// reachOver is the largest radius of the innermost ring, in tool diameters. At
	// one half the edge only just reaches the middle; the rest is the overlap that
	// keeps an island or a thread of wood from staying. Our own.
	reachOver = 0.48

	// tightRatio is the hole in tool diameters below which the maker is warned: the
	// helix is nearly a plunge, and chips have hardly room to rise. Common practice,
	// no source.
	tightRatio = 1.1

	// leastOrbitMM is the smallest radius of a helix that a small router still
	// draws: about one motor step. Common practice, no source.
	leastOrbitMM = 0.01
)

// clearing is the work of one milled hole or slot.
type clearing struct {
	outer    track // the path along the finished wall
	rings    int   // roughing rings, equally spaced
	rough    float64
	levels   []level
	finish   bool
	cautions []string
}

// level is one depth of the roughing: turns of the innermost ring down to z.
type level struct {
	z     float64
	turns int
}

// planClearing lays out the work between top (where the helix starts, in air) and
// floor.
func planClearing(f *faults, id string, k track, width, holeTop, floor float64, t Tool, s Settings) *clearing {
	switch play := width - t.DiameterMM; {
	case play <= 0:
		f.add(&ToolError{id, t.DiameterMM, width, "the tool must be smaller; take a smaller one, or drill the hole"})
		return nil
	case play < 2*leastOrbitMM:
		f.add(&ToolError{id, t.DiameterMM, width, fmt.Sprintf("a circle of %.4g mm is finer than the machine draws; take a smaller tool, or drill", play)})
		return nil
	}
	c := &clearing{outer: k, rough: k.r, finish: s.FinishMM > 0}
	if width < tightRatio*t.DiameterMM {
		c.cautions = append(c.cautions, fmt.Sprintf("%s: tool %.4g is only %.3g mm smaller than the width %.4g: the helix is nearly a plunge, clear the chips",
			name(id), t.DiameterMM, width-t.DiameterMM, width))
	}
	if c.finish {
		if left := k.r - s.FinishMM; left >= leastOrbitMM {
			c.rough = left
		} else {
			c.finish = false
			c.cautions = append(c.cautions, fmt.Sprintf("%s: no room for a finishing turn of %.3g mm; cut to size at once", name(id), s.FinishMM))
		}
	}
	c.rings = 1
	if c.rough > reachOver*t.DiameterMM {
		c.rings = int(math.Ceil(c.rough / s.StepoverMM))
	}
	c.descend(f, id, holeTop, floor, s)
	return c
}

func name(id string) string {
	if id == "" {
		return "hole"
	}
	return id
}

// descend chooses the depths. One ring goes down in one helix. Several are cut
// level by level, so that no ring takes more than one turn's depth.
func (c *clearing) descend(f *faults, id string, holeTop, floor float64, s Settings) {
	pitch := math.Min(s.PitchMM, c.ring(1).length()*math.Tan(s.RampRad))
	start, levels := holeTop+s.ApproachMM, 1
	if c.rings > 1 {
		levels = ceilRatio(holeTop-floor, pitch)
	}
	if n := float64(ceilRatio(start-floor, pitch)) + float64(levels*c.rings); n > maxTurns {
		f.add(&InputError{id, "depth of one turn (mm)", pitch, fmt.Sprintf("more: %.0f turns for %.4g mm are beyond reason", n, start-floor)})
		return
	}
	z := start
	for i := 1; i <= levels; i++ {
		next := holeTop - (holeTop-floor)*float64(i)/float64(levels)
		if i == levels {
			next = floor // to the last digit
		}
		c.levels = append(c.levels, level{next, ceilRatio(z-next, pitch)})
		z = next
	}
}

// ratioSlack forgives the rounding of a quotient that is a whole number, so that
// 6 mm in steps of 0.2 mm are 30 turns and not 31.
const ratioSlack = 1e-9

func ceilRatio(a, b float64) int {
	q := a / b
	if q > maxTurns {
		return maxTurns + 1
	}
	return max(1, int(math.Ceil(q-ratioSlack)))
}

// ring returns roughing ring i of c.rings; the last is the outermost.
func (c *clearing) ring(i int) track {
	k := c.outer
	k.r = c.rough * float64(i) / float64(c.rings)
	return k
}

// cut writes the moves. The tool stands over the hub at the start of the helix.
func (c *clearing) cut(w *writer, t Tool) (turns int, perTurn float64) {
	first := c.ring(1)
	for i, l := range c.levels {
		w.feed(at(first.start(), w.here.Z), w.s.FeedXYMMmin)
		from := w.here.Z
		for n := 1; n <= l.turns; n++ {
			z := from - (from-l.z)*float64(n)/float64(l.turns)
			if n == l.turns {
				z = l.z
			}
			first.around(w, t, z)
		}
		turns += l.turns
		perTurn = math.Max(perTurn, (from-l.z)/float64(l.turns))
		if c.rings == 1 && i < len(c.levels)-1 {
			continue
		}
		for n := 1; n <= c.rings; n++ {
			k := c.ring(n)
			w.feed(at(k.start(), l.z), w.s.FeedXYMMmin)
			k.around(w, t, l.z)
			turns++
		}
	}
	if c.finish {
		c.outer.finish(w, t)
		turns++
	}
	w.feed(at(c.outer.hub(), w.here.Z), w.s.FeedXYMMmin)
	w.lift()
	return turns, perTurn
}
