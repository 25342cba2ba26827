package gcode

import (
	"math"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/toolpath"
)

// words takes a line apart that must hold the G word first and then exactly the
// letters of want, in order.
func (d *reader) words(g, want string) map[byte]int64 {
	w, letters := d.take()
	if d.err == nil && letters != "G"+want {
		d.fail("got %q, want %s with %s", d.line, g, want)
	}
	if d.err == nil && d.line[:strings.IndexByte(d.line, ' ')] != g {
		d.fail("got %q, want %s", d.line, g)
	}
	return w
}

// take splits the line into words and returns their values, steps of the grid for
// lengths, and their letters in order.
func (d *reader) take() (map[byte]int64, string) {
	if len(d.line) > maxCode {
		d.fail("%d characters of code; %d are allowed", len(d.line), maxCode)
		return nil, ""
	}
	w, letters := map[byte]int64{}, ""
	for i, word := range strings.Split(d.line, " ") {
		if word == "" {
			d.fail("cannot read %q", d.line)
			return nil, ""
		}
		c := word[0]
		letters += word[:1]
		switch {
		case i == 0:
			if len(word) != 2 || c != 'G' || word[1] < '0' || word[1] > '3' {
				d.fail("cannot read %q; want a move with G0 to G3", d.line)
				return nil, ""
			}
			w[c] = int64(word[1] - '0')
		case c == 'F':
			n, ok := whole(word[1:])
			if !ok || n > largestFeed {
				d.fail("cannot read feed %q", word)
			}
			w[c] = n
		default:
			w[c] = d.number(word[1:])
		}
	}
	return w, letters
}

// largestFeed is the fastest that toolpath.Program.Check allows, mm/min.
const largestFeed = 1e5

// Words that the moves may hold, beside F.
var (
	rapidWords = map[string]bool{"GXY": true, "GZ": true}
	feedWords  = map[string]bool{"GXY": true, "GZ": true, "GXYZ": true}
	arcWords   = map[string]bool{"GXYIJ": true, "GXYZIJ": true}
)

// move takes one line of the program proper.
func (d *reader) move() {
	w, letters := d.take()
	if d.idle {
		d.fail("a rapid that goes nowhere stands before this line; only M5 may follow it")
	}
	if d.err != nil {
		return
	}
	kind := [4]toolpath.Kind{toolpath.Rapid, toolpath.Feed, toolpath.ArcCW, toolpath.ArcCCW}[w['G']]
	allowed := arcWords
	switch kind {
	case toolpath.Rapid:
		allowed = rapidWords
	case toolpath.Feed:
		allowed = feedWords
	}
	plain, feeds := strings.CutSuffix(letters, "F")
	if !allowed[plain] || (feeds && kind == toolpath.Rapid) {
		d.fail("%q: these words do not make a %v", d.line, kind)
		return
	}
	to := d.target(w)
	m := toolpath.Move{Kind: kind, To: d.o.grid().point(to)}
	if kind == toolpath.Rapid {
		d.rapid(to, plain == "GZ")
	} else {
		d.feeding(&m, w, feeds)
	}
	if kind.IsArc() {
		d.arc(&m, w, to)
	}
	d.p.Moves = append(d.p.Moves, m)
	d.here = to
}

// target returns where a move goes. Words that change nothing are not written,
// but for the tool's first place and the lift at the end.
func (d *reader) target(w map[byte]int64) spot {
	to := d.here
	if z, ok := w['Z']; ok {
		to.z = z
		if z == d.here.z && w['G'] != 0 {
			d.fail("%q: Z does not change", d.line)
		}
	}
	if x, ok := w['X']; ok {
		to.x, to.y = x, w['Y']
		if w['G'] < 2 && to.over(d.here) && len(d.p.Moves) > 0 {
			d.fail("%q: X and Y do not change", d.line)
		}
	}
	return to
}

// rapid holds a rapid against the rules C04 and C05.
func (d *reader) rapid(to spot, upright bool) {
	first := len(d.p.Moves) == 0
	z := d.o.grid().mm(to.z)
	switch {
	case first && upright:
		d.fail("%q: the first move must reach the first place at the safe height", d.line)
	case !upright && z < d.p.SafeZ:
		d.fail("%q: sideways rapid below the safe height", d.line)
	}
	d.lowest = math.Min(d.lowest, z)
	d.lifted = upright && z == d.p.SafeZ
	d.idle = upright && to == d.here
}

// feeding takes the feed, which holds until the next one.
func (d *reader) feeding(m *toolpath.Move, w map[byte]int64, given bool) {
	d.lifted = false
	if len(d.p.Moves) == 0 {
		d.fail("%q: the first move must be a rapid", d.line)
	}
	if given {
		if w['F'] == d.feed {
			d.fail("%q: F does not change", d.line)
		}
		d.feed = w['F']
	}
	if d.feed == 0 {
		d.fail("%q: no feed was set", d.line)
	}
	m.FeedMMmin = float64(d.feed)
}

// arc takes the centre of an arc (rule C08b).
func (d *reader) arc(m *toolpath.Move, w map[byte]int64, to spot) {
	g := d.o.grid()
	c := spot{x: d.here.x + w['I'], y: d.here.y + w['J']}
	m.Center = geom.Vec{X: g.mm(c.x), Y: g.mm(c.y)}
	r0, r1 := g.radius(d.here, c), g.radius(to, c)
	switch {
	case math.Max(math.Abs(m.Center.X), math.Abs(m.Center.Y)) > largestMM:
		d.fail("%q: the centre is no place on a machine", d.line)
	case r0 < leastRadiusMM:
		d.fail("%q: an arc without radius", d.line)
	case math.Abs(r0-r1) > toolpath.RadiiMM:
		d.fail("%q: the radii at the two ends differ by %.4f mm; %g are allowed", d.line, math.Abs(r0-r1), toolpath.RadiiMM)
	}
}

// leastRadiusMM is the smallest radius that toolpath.Program.Check allows.
const leastRadiusMM = 1e-3
