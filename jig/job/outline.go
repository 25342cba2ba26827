package job

import (
	"fmt"
	"math"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/units"
)

// Center is the middle of the board's bounds, which the middle of its blank lies under.
func (b Board) Center() geom.Vec {
	if b.Outline == nil {
		return geom.Vec{X: b.LengthMM / 2}
	}
	return b.Outline.Bounds().Center()
}

// HalfWidthMM is half the width of a straight-sided board at station u.
func (b Board) HalfWidthMM(u float64) float64 {
	return (b.WidthStartMM + (b.WidthEndMM-b.WidthStartMM)*u/b.LengthMM) / 2
}

// SidesMM are the least and the largest v of the board at station u; both 0 off the board.
func (b Board) SidesMM(u float64) (right, left float64) {
	if b.Outline == nil {
		half := b.HalfWidthMM(u)
		return -half, half
	}
	box := b.Outline.Bounds()
	line := geom.Edge{P: geom.Vec{X: u, Y: box.Min.Y - 1}, Q: geom.Vec{X: u, Y: box.Max.Y + 1}}
	on := geom.EmptyBox()
	for i := range b.Outline {
		for _, p := range geom.Intersect(b.Outline.Edge(i), line) {
			on = on.Include(p)
		}
	}
	if on.Min.Y > on.Max.Y {
		return 0, 0
	}
	return on.Min.Y, on.Max.Y
}

// across are the least and the largest v of the board.
func (b Board) across() (right, left float64) {
	if b.Outline == nil {
		half := math.Max(b.WidthStartMM, b.WidthEndMM) / 2
		return -half, half
	}
	box := b.Outline.Bounds()
	return box.Min.Y, box.Max.Y
}

// ReachMM is how far the board reaches from the datum line, to either side at most.
func (b Board) ReachMM() float64 {
	right, left := b.across()
	return math.Max(-right, left)
}

// Contains reports whether a place lies on the board, by at least room from its edge.
func (b Board) Contains(at geom.Vec, room float64) bool {
	if b.Outline != nil {
		return b.Outline.Depth(at) >= room
	}
	return at.X >= room && at.X <= b.LengthMM-room && math.Abs(at.Y) <= b.HalfWidthMM(at.X)-room
}

const outlineKey = "board.outline"

// outline takes the board's contour, and the size that follows from it. A contour that is no
// board is a fault at the entry that makes it one.
func (r *reader) outline(b *Board) {
	defer func() {
		for _, size := range []string{outlineKey, "board.length", "board.width"} {
			r.bad[size] = r.bad[size] || b.Outline == nil // which follow from it
		}
	}()
	for bad := range r.bad {
		if strings.HasPrefix(bad, outlineKey) {
			return
		}
	}
	if r.has(outlineKey + ".file") {
		r.drawn(b)
		return
	}
	n := r.whole(outlineKey)
	loop := make(geom.Loop, n)
	ends, through, arcs := make([]string, n), make([]string, n), 0 // where each entry's places stand
	for i := range loop {
		ends[i] = entry(outlineKey, i)
		if arc := join(ends[i], "arc"); r.has(arc) {
			ends[i], through[i] = arc, join(ends[i], "through")
			arcs++
		}
		loop[i].Vec = r.place(ends[i])
	}
	if n > 2 && through[0] == "" && loop[n-1].Dist(loop[0].Vec) < geom.LeastEdgeMM { // the last edge, written out
		n--
		loop, ends[0], through[0] = loop[:n], ends[n], through[n]
	}
	if n < 3 && (n < 2 || arcs == 0) {
		r.faultKey(outlineKey, fmt.Sprintf("%d places enclose nothing", n), "three at least, or two with an arc")
		return
	}
	for i := range loop {
		from := &loop[(i+n-1)%n]
		if from.Dist(loop[i].Vec) < geom.LeastEdgeMM {
			r.faultKey(ends[i], "the place is that of the entry before", "remove one")
			return
		}
		if through[i] == "" {
			continue
		}
		bulge, ok := geom.ThroughArc(from.Vec, r.place(through[i]), loop[i].Vec)
		if !ok {
			r.faultKey(through[i], "the arc's two ends and the place that it passes through lie on a line",
				"a place off the line between the ends; or write the end alone, [u, v], for a straight edge")
			return
		}
		from.Bulge = bulge
	}
	if i, k, at, crosses := loop.Crossing(); crosses {
		r.faultKey(ends[(k+1)%n], fmt.Sprintf("the edge to entry %d meets that to entry %d at [%s]", (k+1)%n+1, (i+1)%n+1,
			r.placed(at)), "the places go round the board in order, and no edge touches another")
		return
	}
	if loop.Area() < 0 {
		loop = loop.Reverse()
	}
	r.shape(b, loop.SplitArcs())
}

// shape gives the board its contour, counter-clockwise and sound, and the size that follows.
func (r *reader) shape(b *Board, loop geom.Loop) {
	size := loop.Bounds().Size()
	if begins := loop.Bounds().Min.X; math.Abs(begins) > saidTwiceMM {
		r.faultKey(outlineKey, fmt.Sprintf("the outline begins at station %s; the start end is u = 0", r.len1(begins)),
			fmt.Sprintf("add %s to every u, those of features and keep-outs too", r.len1(-begins)))
		return
	}
	for _, s := range []struct {
		key, what, remedy string
		mm                float64
		stated            bool
	}{
		{"board.length", "long", "leave length out: it follows from the outline", size.X, r.has("board.length")},
		{"board.width", "wide", "leave width out: it follows from the outline", size.Y, r.has("board.width")},
	} {
		if lim := keyAt(s.key).span; !lim.holds(s.mm) {
			r.faultKey(outlineKey, fmt.Sprintf("the board would be %s %s, want %s", r.len1(s.mm), s.what, lim.in(r.unit)), "")
			return
		}
		got := []float64{r.mm(s.key)}
		if s.key == "board.width" {
			got = []float64{r.mm("board.width.start"), r.mm("board.width.end")}
		}
		for _, mm := range got {
			if s.stated && r.isFaultless(s.key) && math.Abs(mm-s.mm) > saidTwiceMM {
				r.faultKey(s.key, fmt.Sprintf("%s, but the outline is %s %s", r.len1(mm), r.len1(s.mm), s.what), s.remedy)
				break
			}
		}
	}
	b.Outline, b.LengthMM, b.WidthStartMM, b.WidthEndMM = loop, size.X, size.Y, size.Y
}

const (
	// saidTwiceMM is how far a stated length may lie from that of the outline: a rounded
	// digit. Common practice, no source.
	saidTwiceMM = 0.01
)

// holeChordMM is how closely a hole's rim is followed: far below any bore.
const holeChordMM = 1e-3

// overHoles notes the bores that meet a hole of the drawing; one that opens a hole all round is
// what it should be.
func (r *reader) overHoles(b *Board) {
	for _, f := range b.AllFeatures() {
		at := geom.Vec{X: f.UMM, Y: f.VMM}
		for _, l := range b.Holes {
			far := 0.0
			for _, p := range l.Flatten(holeChordMM) {
				far = math.Max(far, p.Dist(at))
			}
			if l.Depth(at) > -f.BoreMM/2 && (f.BoreMM == 0 || far > f.BoreMM/2) {
				b.OutlineNotes = append(b.OutlineNotes, fmt.Sprintf("%s lies over the drawing's hole at [%s]: there is "+
					"no wood under all of it; move one of them, or leave the hole out of the outline's layer.", f.Name,
					r.placed(l.Bounds().Center())))
			}
		}
	}
}

// placed writes a place in the file's unit, u first.
func (r *reader) placed(at geom.Vec) string {
	in := func(mm float64) string { return units.Significant(mm/r.unit.MM(), 4) }
	return in(at.X) + ", " + in(at.Y)
}

// checkOutline notes what goes with straight-sided boards alone.
func (r *reader) checkOutline(j *Job) {
	if j.Board.Outline == nil {
		return
	}
	r.overHoles(&j.Board)
	t := j.Template
	type check struct {
		key          string
		is           bool
		says, remedy string
	}
	all := []check{
		{"board.corner_radius", j.Board.CornerRadiusMM > 0, "the outline has its own corners",
			"remove it, and write the roundings into the outline as arcs"},
		{"template.key", t.Key != "none", "only a straight-sided board has a corner cut off for the window",
			"leave key out: the report tells whether the outline goes in one way only"},
	}
	if k := j.Rails; k != nil {
		all = append(all, check{"rails.plate", k.Plate == "print", "printed rails stand along straight sides",
			"rails.plate: sheet, whose window touches the board at lands along its outline, or rails.plate: template"},
			check{"rails.push", k.Push != "none" && k.Push != "", "wedges press on a straight-sided board alone",
				"leave push out: the board lies free between its lands"},
			check{"rails.plate", k.Plate == "template" && t.Push != "none",
				"the template's window is drawn for a board that is pushed home in it, and none is while it is glued",
				"rails.plate: sheet, or template.push: none"})
	}
	for _, c := range all {
		if c.is && r.isFaultless(c.key) {
			r.faultKey(c.key, c.says, c.remedy)
		}
	}
}
