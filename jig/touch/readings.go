package touch

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/probelog"
	"reseat/jig/reading"
	"reseat/jig/units"
)

const (
	// awayMM is farther from its expected place than a touch can be: a probing move begins at
	// most 3 mm before that place and goes on 2 mm, and the board may lie along the edge.
	awayMM = 8.0
	// roundMM is how far the two chords of a bore may differ from one circle: more than a touch
	// scatters and a laser's hole is out of round, less than a chip. Common practice, no source.
	roundMM = 0.15
	// slipMM is how far the fast and the slow touch of one place may differ: far over what a
	// probe repeats to. Common practice, no source.
	slipMM = 0.25
	// mostPairs of moves and probes are compared, a moment's work.
	mostPairs = 4e6
)

// Readings makes readings of what a log says about the plan's touches, in their order; of
// each touch the last probing move counts. A bore's four touches make one reading of its
// centre. A reading's line is that of the plan. The error names a probe that met nothing, a
// count that differs with the touch that is likely missing or twice there, a log of another
// work zero, a touch that slipped, and a bore whose touches lie on no circle.
func (p *Plan) Readings(log string, probes []probelog.Probe) ([]reading.Reading, error) {
	if p.InInches(probes) {
		probes = slices.Clone(probes)
		for i := range probes {
			for k := range probes[i].At {
				probes[i].At[k] *= units.MMPerInch
			}
		}
	}
	var bad []error
	for i, q := range probes {
		if k := i / ProbesATouch; !q.Met && k < len(p.Touches) {
			bad = append(bad, fmt.Errorf("%s:%d: the probe met nothing at touch %d (%s): is it seated there, and the zero "+
				"right? "+
				"run the program again", log, q.Line, p.Touches[k].Number, p.Touches[k].label()))
		}
	}
	if len(bad) > 0 {
		return nil, errors.Join(bad...)
	}
	if want := ProbesATouch * len(p.Touches); len(probes) != want {
		return nil, p.miscounted(log, probes, want)
	}
	var ends []probelog.Probe
	for i, t := range p.Touches {
		fast, slow := probes[ProbesATouch*i], probes[ProbesATouch*i+ProbesATouch-1]
		off := math.Hypot(math.Hypot(fast.At[0]-slow.At[0], fast.At[1]-slow.At[1]), fast.At[2]-slow.At[2])
		if off > slipMM {
			bad = append(bad, fmt.Errorf("%s:%d: the fast and the slow probing move of touch %d (%s) end %.2f mm apart: the "+
				"probe or "+
				"the board slipped, or lines are missing; run the program again", log, slow.Line, t.Number, t.label(), off))
		}
		ends = append(ends, slow)
	}
	if err := p.misplaced(log, ends); err != nil {
		return nil, err
	}
	var out []reading.Reading
	for i := 0; i < len(p.Touches); i++ {
		t, at := p.Touches[i], ends[i].At
		r := reading.Reading{Line: t.Line, On: t.What, At: geom.Vec{X: at[0], Y: at[1]}}
		if t.What == reading.OnTop {
			r.ZMM = at[2]
		}
		if n := p.Bore(i); n > 0 {
			c, off := centreOf(p.Touches[i:i+n], ends[i:i+n])
			if off > roundMM {
				bad = append(bad, fmt.Errorf("%s:%d: the touches of %s lie on no circle, by %.2f mm: a chip in the bore, an "+
					"inlay, or "+
					"the probe slipped; clean it and run the program again", log, ends[i].Line, t.Mark, off))
			}
			r.At = c
			i += n - 1
		}
		out = append(out, r)
	}
	return out, errors.Join(bad...)
}

// boreTouches make one reading of a feature's centre: both ways along both axes.
const boreTouches = 4

// Bore returns how many touches from i on make one reading of a feature's centre; 0: touch i
// is a reading of its own.
func (p *Plan) Bore(i int) int {
	t := p.Touches[i]
	if t.Mark == "" || t.What == reading.OnRim || i+boreTouches > len(p.Touches) ||
		t.Mark != p.Touches[i+boreTouches-1].Mark {
		return 0
	}
	return boreTouches
}

// centreOf takes the middle of opposite touches, which is the centre's coordinate whatever
// chord they lie on, and by how much the four are off one circle about it.
//
//	off = |sqrt(a^2 + e^2) - sqrt(b^2 + d^2)|, a and b half the chords, e and d their offsets
func centreOf(touches []Touch, ends []probelog.Probe) (c geom.Vec, off float64) {
	var at [boreTouches]geom.Vec
	for i, q := range ends {
		at[i] = geom.Vec{X: q.At[0], Y: q.At[1]}
	}
	c = geom.Vec{X: (at[0].X + at[1].X) / 2, Y: (at[2].Y + at[3].Y) / 2}
	return c, math.Abs((at[0].Dist(c)+at[1].Dist(c))/2 - (at[2].Dist(c)+at[3].Dist(c))/2)
}

// label names a touch for people.
func (t Touch) label() string {
	if t.Mark != "" {
		return t.What + ", rim of " + t.Mark
	}
	return fmt.Sprintf("%s, station %.1f", t.What, t.Station.X)
}

// off is how far a probe ended from where a touch is expected.
func (t Touch) off(q probelog.Probe) float64 {
	return t.At.Dist(geom.Vec{X: q.At[0], Y: q.At[1]})
}

// InInches reports whether the probes are those of the plan, told in inches.
func (p *Plan) InInches(probes []probelog.Probe) bool {
	n, off, inch := ProbesATouch*len(p.Touches), false, true
	for i, q := range probes[:min(n, len(probes))] {
		t := p.Touches[i/ProbesATouch]
		off = off || t.off(q) > awayMM
		for k := range q.At {
			q.At[k] *= units.MMPerInch
		}
		inch = inch && t.off(q) <= awayMM
	}
	return off && inch
}

// misplaced refuses ends that are not those of the plan's touches.
func (p *Plan) misplaced(log string, ends []probelog.Probe) error {
	var far []string
	first, shift := 0, geom.Vec{}
	for i, t := range p.Touches {
		q := ends[i]
		if t.off(q) > awayMM {
			far = append(far, fmt.Sprint(t.Number))
			if first == 0 {
				first = q.Line
			}
		}
		shift = shift.Add(geom.Vec{X: q.At[0], Y: q.At[1]}.Sub(t.At))
	}
	n := float64(len(p.Touches))
	const listed = 8 // touches that a reader takes in
	switch {
	case len(far) == 0:
		return nil
	case len(far) == len(p.Touches):
		return fmt.Errorf("%s: no touch lies where the plan has it; on average X %+.1f Y %+.1f mm off (is the work zero "+
			"that of "+
			"the program, and the plan the one that it was written with?)", log, shift.X/n, shift.Y/n)
	case len(far) > listed:
		far = append(far[:listed], "...")
	}
	return fmt.Errorf("%s:%d: touch %s lies more than %g mm from where the plan has it (is the log complete, in the "+
		"plan's "+
		"order, and of one run?)", log, first, strings.Join(far, ", "), awayMM)
}

// miscounted tells which touches are likely missing in a log, or which of its lines are no
// touch of the plan.
func (p *Plan) miscounted(log string, probes []probelog.Probe, want int) error {
	says := fmt.Sprintf("%s: %d probing moves where the plan makes %d of %d touches", log, len(probes), want,
		len(p.Touches))
	if len(probes) >= 2*want {
		return fmt.Errorf("%s (is it the log of several runs? the last %d begin at line %d; leave out what is before)",
			says, want,
			probes[len(probes)-want].Line)
	}
	var missing, extra []int
	if want*len(probes) <= mostPairs {
		missing, extra = p.align(probes)
	}
	switch {
	case len(missing) > 0:
		t := p.Touches[missing[0]/ProbesATouch]
		return fmt.Errorf("%s; likely missing: touch %d (%s) (run the program again)", says, t.Number, t.label())
	case len(extra) > 0:
		return fmt.Errorf("%s; line %d is likely no touch of it (take that line out)", says, probes[extra[0]].Line)
	}
	return fmt.Errorf("%s (run the program again)", says)
}

// align lays the log's probes onto the moves that the plan expects, in order, so that the sum
// of distances is least, a move or a probe without partner counting awayMM. It returns
// the indices of those without.
func (p *Plan) align(probes []probelog.Probe) (missing, extra []int) {
	n, m := ProbesATouch*len(p.Touches), len(probes)
	cost := make([][]float64, n+1)
	for i := range cost {
		cost[i] = make([]float64, m+1)
		for j := range cost[i] {
			switch {
			case i == 0 || j == 0:
				cost[i][j] = awayMM * float64(i+j)
			default:
				cost[i][j] = min(cost[i-1][j]+awayMM, cost[i][j-1]+awayMM,
					cost[i-1][j-1]+min(p.Touches[(i-1)/ProbesATouch].off(probes[j-1]), 2*awayMM))
			}
		}
	}
	for i, j := n, m; i > 0 || j > 0; {
		switch {
		case i > 0 && cost[i][j] == cost[i-1][j]+awayMM:
			i--
			missing = append(missing, i)
		case j > 0 && cost[i][j] == cost[i][j-1]+awayMM:
			j--
			extra = append(extra, j)
		default:
			i, j = i-1, j-1
		}
	}
	slices.Reverse(missing)
	slices.Reverse(extra)
	return missing, extra
}
