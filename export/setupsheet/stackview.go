package setupsheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/setup"
	"reseat/jig/units"
)

// Measures of the picture of a stack, mm.
const (
	labelRoom  = 57.0 // right of it, for the layers' names and heights
	labelOff   = 12.0 // of that, for the leaders
	labelPitch = block.Small * block.LineGap
	leaderIn   = 2.0 // how far within its layer a leader begins
	hatchApart = 2.2
	leastLayer = 0.3 // thinner on the paper, a layer is a line
	tablePast  = 3.0
)

// scales are those that pictures are drawn to, 1 to each.
var scales = []float64{1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200}

// scaleFor is the first scale at which a size fits; the last where none is small enough.
func scaleFor(size, room geom.Vec) float64 {
	for _, k := range scales {
		if size.X/k <= room.X && size.Y/k <= room.Y {
			return k
		}
	}
	return scales[len(scales)-1]
}

// slab is a piece of a layer that the section cuts.
type slab struct {
	layer int
	at    block.Span
}

// openingOf is what a layer is open in; the window of a blank is the board, which is still in it.
func openingOf(l setup.Layer) geom.Loop {
	if l.Name == "blank" {
		return nil
	}
	return l.Window
}

// cutThrough returns what of a stack a plane at station u cuts.
func cutThrough(stack []setup.Layer, toBoard geom.Rigid, u float64) []slab {
	var out []slab
	for i, l := range stack {
		all := block.Spans(toBoard.Loop(l.Outline), u)
		if opening := openingOf(l); opening != nil {
			all = block.Subtract(all, block.Spans(toBoard.Loop(opening), u)...)
		}
		for _, s := range all {
			out = append(out, slab{i, s})
		}
	}
	return out
}

// stackStation is where a section shows most of the layers, and of those places where it shows most
// pins.
func stackStation(s setup.Setup, toBoard geom.Rigid) (u float64) {
	all := geom.EmptyBox()
	for _, l := range s.Stack {
		all = all.Union(toBoard.Loop(l.Outline).Bounds())
	}
	places := []float64{}
	for _, q := range s.Pins {
		places = append(places, toBoard.Apply(q.At).X)
	}
	for _, k := range []float64{0.25, 0.3, 0.4, 0.6, 0.75} {
		places = append(places, all.Min.X+float64(k*all.Size().X))
	}
	most := -1
	for _, p := range places {
		seen := map[int]bool{}
		for _, c := range cutThrough(s.Stack, toBoard, p) {
			seen[c.layer] = true
		}
		n := 10 * len(seen)
		for _, q := range s.Pins {
			if math.Abs(toBoard.Apply(q.At).X-p) < q.RadiusMM {
				n++
			}
		}
		if n > most {
			most, u = n, p
		}
	}
	return u
}

// stackView draws a section through what lies on what, to a scale, with every layer's height above
// the table; nil where the stack is empty or its outlines are not known.
func stackView(d *jig.Design, s setup.Setup, wide, tall float64) *block.Figure {
	toBoard := d.Frame.ToMachine.Inverse()
	u := stackStation(s, toBoard)
	cut := cutThrough(s.Stack, toBoard, u)
	all := geom.EmptyBox()
	for _, c := range cut {
		l := s.Stack[c.layer]
		all = all.Union(boxOf(-c.at.Hi, l.FromMM, -c.at.Lo, l.ToMM))
	}
	var pins []setup.Pin
	for _, q := range s.Pins {
		all.Max.Y = max(all.Max.Y, q.ToMM)
		if math.Abs(toBoard.Apply(q.At).X-u) < q.RadiusMM {
			pins = append(pins, q)
		}
	}
	if len(cut) == 0 || all.Size().Y <= 0 {
		return nil
	}
	by := scaleFor(all.Size(), at(wide-labelRoom-2*tablePast, tall))
	paper := func(v, w float64) geom.Vec { return at(-v, w).Scale(1 / by) } // left of the datum line is left
	f := &block.Figure{}
	for _, c := range cut {
		l := s.Stack[c.layer]
		low, high := paper(c.at.Hi, l.FromMM), paper(c.at.Lo, l.ToMM)
		if high.Y-low.Y < leastLayer {
			f.Line(picture.PenThin, low, at(high.X, low.Y))
			continue
		}
		angle := block.HatchRising
		if c.layer%2 == 1 {
			angle = block.HatchFalling
		}
		b := box{Min: low, Max: high}
		f.Hatch(angle, hatchApart+0.4*float64(c.layer%3), geom.Rect(b).Corners()...)
		f.Box(picture.PenOutline, b)
	}
	for _, q := range pins {
		v := toBoard.Apply(q.At).Y
		b := box{Min: paper(v+q.RadiusMM, q.FromMM), Max: paper(v-q.RadiusMM, q.ToMM)}
		f.Add(picture.Fill{Loops: []geom.Loop{geom.Rect(b)}, Colour: picture.Colour{255, 255, 255}})
		f.Box(picture.PenOutline, b)
		if b.Size().Y > 2 {
			f.Line(picture.PenCentre, at(b.Center().X, b.Min.Y), at(b.Center().X, b.Max.Y))
		}
	}
	left, right := all.Min.X/by-tablePast, all.Max.X/by+tablePast
	f.Line(picture.PenOutline, at(left, 0), at(right, 0))
	table := at(right-leaderIn, 0)
	beside := []label{{says: baseOf(s), from: &table}}
	var above []label // pins whose leaders would cross all others
	for _, l := range stackLabels(s, cut, pins, toBoard, paper) {
		if l.pin && l.from != nil && l.from.X < (left+right)/2 {
			above = append(above, l)
		} else {
			beside = append(beside, l)
		}
	}
	stackNames(f, right, beside)
	for _, l := range above {
		t := picture.Text{Height: block.Small, S: picture.Plain(l.says + ", " + l.heights)}
		t.At = at(l.from.X+2, all.Max.Y/by+1.5)
		for f.WorstClash(t.Ink()) != block.Free {
			t.At.Y++
		}
		y := t.At.Y + block.Small/2
		f.Line(picture.PenThin, *l.from, at(l.from.X, y-1), at(l.from.X+1, y))
		f.Dot(*l.from)
		f.Add(t)
	}
	if z := s.Zero; z != nil {
		y := z.ZMM / by
		f.Line(picture.PenThin, at(left-9, y), at(left+tablePast-0.5, y))
		f.Arrow(at(left-2.5, y), at(0, -1))
		f.Text(at(left-4.5, y+0.9), block.Small, picture.End, "Z0")
	}
	ink := f.Ink()
	f.Text(at(left, ink.Max.Y+2), block.Small, picture.Start, fmt.Sprintf(
		"Section at u %s, seen along +%s; 1:%s; heights above the %s",
		block.MM(u), strings.ToUpper(d.Frame.LongAxis), units.Decimal(by, 1), baseOf(s)))
	return f
}

// baseOf is what a stack lies on.
func baseOf(s setup.Setup) string {
	if s.Place == "bench" {
		return "bench"
	}
	return "table"
}

// label names a layer or pins to the right of a stack.
type label struct {
	says, heights string
	pin           bool
	high          float64   // of what it names, mm on the paper
	from          *geom.Vec // where its leader begins; nil: the section does not show it
}

// lines are a label's as they stand in the column.
func (l label) lines() []string {
	says := l.says
	if l.from == nil {
		says += ", not cut here"
	}
	const wide = labelRoom - labelOff
	if both := picture.Plain(says + ", " + l.heights); l.heights != "" && picture.TextWidth(both, block.Small) <= wide {
		return []string{both}
	}
	return append(picture.Wrap(picture.Plain(says), block.Small, wide), picture.Wrap(l.heights, block.Small, wide)...)
}

// kind is a layer's name without its number.
func kind(l setup.Layer) string { return strings.TrimRight(l.Name, " 0123456789") }

// stackLabels are the labels of layers and pins, from below. Layers of one kind at one height have one.
func stackLabels(s setup.Setup, cut []slab, pins []setup.Pin, toBoard geom.Rigid,
	paper func(v, w float64) geom.Vec,
) []label {
	heights := func(from, to float64) string { return block.MM(from) + " to " + block.MM(to) }
	var out []label
	for i, l := range s.Stack {
		same := func(o setup.Layer) bool {
			return kind(o) == kind(l) && o.Material == l.Material && o.FromMM == l.FromMM
		}
		if slices.ContainsFunc(s.Stack[:i], same) {
			continue
		}
		says := l.Name
		for _, o := range s.Stack[i+1:] {
			if same(o) && !strings.Contains(says, o.Name) {
				says += ", " + o.Name
			}
		}
		if l.Material != "" {
			says += ", " + l.Material
		}
		middle := (l.FromMM + l.ToMM) / 2
		var from *geom.Vec // in the piece that lies farthest to the right
		for _, c := range cut {
			p, left := paper(c.at.Lo, middle), paper(c.at.Hi, middle)
			if p.X = max(p.X-leaderIn, (p.X+left.X)/2); same(s.Stack[c.layer]) && (from == nil || p.X > from.X) {
				from = &p
			}
		}
		out = append(out, label{says, heights(l.FromMM, l.ToMM), false, paper(0, middle).Y, from})
	}
	for _, q := range alike(s.Pins) {
		says := fmt.Sprintf("%s, %s long", q.ID, block.MM(q.LengthMM))
		if q.After {
			says += ", put in after cutting"
		}
		var from *geom.Vec
		for _, o := range pins {
			p := paper(toBoard.Apply(o.At).Y, o.ToMM-(o.ToMM-o.FromMM)/6)
			if o.FromMM == q.FromMM && o.After == q.After && (from == nil || p.X > from.X) {
				from = &p
			}
		}
		out = append(out, label{says, heights(q.FromMM, q.ToMM), true, paper(0, q.ToMM).Y, from})
	}
	slices.SortStableFunc(out, func(a, b label) int { return cmp.Compare(a.high, b.high) })
	return out
}

// stackNames writes labels in a column right of x, none on another, with leaders that do not cross.
func stackNames(f *block.Figure, x float64, all []label) {
	x += labelOff
	ys := columnOf(all)
	for range all { // exchanging neighbours whose leaders cross makes all leaders shorter together: it ends
		for i := range all[1:] {
			if a, b := all[i], all[i+1]; a.from != nil && b.from != nil &&
				crossing(*a.from, at(x-4, ys[i]), *b.from, at(x-4, ys[i+1])) {
				all[i], all[i+1] = b, a
				ys = columnOf(all)
			}
		}
	}
	for i, l := range all {
		if l.from != nil {
			f.Line(picture.PenThin, *l.from, at(x-4, ys[i]), at(x-1, ys[i]))
			f.Dot(*l.from)
		}
		for k, s := range l.lines() {
			f.Text(at(x, ys[i]-block.Small/2-float64(labelPitch*float64(k))), block.Small, picture.Start, s)
		}
	}
}

// columnOf returns how high the first lines of labels stand, as near to what they name as their
// neighbours leave them.
func columnOf(all []label) []float64 {
	ys := make([]float64, len(all))
	low := math.Inf(-1)
	for i, l := range all {
		deep := labelPitch * float64(len(l.lines())-1)
		ys[i] = max(l.high, low+deep)
		low = ys[i] + 1.15*labelPitch
	}
	return ys
}

// crossing reports whether two segments cross, their ends apart.
func crossing(a, b, c, d geom.Vec) bool {
	side := func(p, q, r geom.Vec) float64 { return q.Sub(p).Cross(r.Sub(p)) }
	const slack = 1e-6
	return side(a, b, c)*side(a, b, d) < -slack && side(c, d, a)*side(c, d, b) < -slack
}

// alike joins pins that stand alike under their names.
func alike(pins []setup.Pin) []setup.Pin {
	var out []setup.Pin
	for _, q := range pins {
		i := slices.IndexFunc(out, func(p setup.Pin) bool {
			return p.FromMM == q.FromMM && p.ToMM == q.ToMM && p.After == q.After
		})
		if i < 0 {
			q.ID = "pin " + q.ID
			out = append(out, q)
			continue
		}
		out[i].ID = strings.Replace(out[i].ID, "pin ", "pins ", 1) + " " + q.ID
	}
	return out
}
