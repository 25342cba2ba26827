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
	labelRoom  = 72.0 // right of it, for the layers' names and heights
	tallest    = 60.0
	hatchApart = 2.2
	leastLayer = 0.3 // thinner on the paper, a layer is a line
	tablePast  = 4.0
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
func stackView(d *jig.Design, s setup.Setup, wide float64) *block.Figure {
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
	by := scaleFor(all.Size(), at(wide-labelRoom-2*tablePast, tallest))
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
	stackNames(f, s, right, by)
	if z := s.Zero; z != nil {
		y := z.ZMM / by
		f.Line(picture.PenThin, at(left-9, y), at(left+tablePast-0.5, y))
		f.Arrow(at(left-2.5, y), at(0, -1))
		f.Text(at(left-4.5, y+0.9), block.Small, picture.End, "Z0")
	}
	ink := f.Ink()
	f.Text(at(left, ink.Max.Y+2), block.Small, picture.Start, fmt.Sprintf("Section at u %s, seen along +%s; 1:%s",
		block.MM(u), strings.ToUpper(d.Frame.LongAxis), units.Decimal(by, 1)))
	return f
}

// named is one line to the right of a stack.
type named struct {
	high float64 // of what it names, mm on the paper
	says string
}

// stackNames writes the layers' names and heights to the right, from below, none on another, and
// what the pins are.
func stackNames(f *block.Figure, s setup.Setup, x, by float64) {
	base := "table"
	if s.Place == "bench" {
		base = "bench"
	}
	names := []named{{0, base + ", 0"}}
	for i, l := range s.Stack {
		says, listed := l.Name, false
		for j, o := range s.Stack {
			if same := o.Material == l.Material && o.FromMM == l.FromMM && o.ToMM == l.ToMM; same && j < i {
				listed = true
			} else if same && j > i && !strings.Contains(says, o.Name) {
				says += ", " + o.Name
			}
		}
		if listed {
			continue
		}
		if l.Material != "" {
			says += ", " + l.Material
		}
		names = append(names, named{(l.FromMM + l.ToMM) / 2 / by,
			fmt.Sprintf("%s, %s to %s", says, block.MM(l.FromMM), block.MM(l.ToMM))})
	}
	for _, q := range alike(s.Pins) {
		says := fmt.Sprintf("%s, %s long, %s to %s", q.ID, block.MM(q.LengthMM), block.MM(q.FromMM), block.MM(q.ToMM))
		if q.After {
			says += ", put in after cutting"
		}
		names = append(names, named{q.ToMM / by, says})
	}
	slices.SortStableFunc(names, func(a, b named) int { return cmp.Compare(a.high, b.high) })
	last := math.Inf(-1)
	for _, n := range names {
		const pitch = block.Small * block.LineGap
		lines := picture.Wrap(picture.Plain(n.says), block.Small, labelRoom-9)
		low := max(n.high-block.Small/2, last+pitch)
		last = low + pitch*float64(len(lines)-1)
		f.Line(picture.PenThin, at(x+0.5, n.high), at(x+2.5, n.high), at(x+6, last+block.Small/2), at(x+7.5, last+block.Small/2))
		for i, l := range lines {
			f.Text(at(x+8.5, last-float64(pitch*float64(i))), block.Small, picture.Start, l)
		}
	}
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
