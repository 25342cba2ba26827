package setupsheet

import (
	"fmt"
	"math"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

// Measures of the pages at true size, mm. Common practice, no source.
const (
	overlapMM = 10.0 // of neighbouring tiles
	offSeamMM = 5.0  // least free space between a pin's hole and an overlap, where it can be had
	barMM     = 100.0
	barStrip  = 9.0  // left of a tile and below it, for the bars
	wordStrip = 24.0 // below a tile, for the bar across and how to measure
	crossMM   = 4.0  // half the length of a cross in an overlap
	flatMM    = 0.01 // arcs are drawn as chords that are off by no more
)

// lineTrue is the pen of all that is at true size: thin, so that its edge is where its middle is.
var lineTrue = picture.Pen{WidthMM: 0.18}

// tiles divides a box into columns and rows of tiles of one size that overlap.
type tiles struct {
	size       geom.Vec
	low        geom.Vec // lower left corner of the first
	cols, rows int
}

// tile is the part of the design on the page of a column and row, both from 0.
func (t tiles) tile(col, row int) box {
	low := t.low.Add(at(float64(float64(col)*(t.size.X-overlapMM)), float64(float64(row)*(t.size.Y-overlapMM))))
	return box{Min: low, Max: low.Add(t.size)}
}

// tiled covers a box with as few tiles as do, moved so that the overlaps keep off the holes.
func tiled(all box, size geom.Vec, holes []box) tiles {
	count := func(long, tile float64) int {
		return max(1, int(math.Ceil((long-overlapMM)/(tile-overlapMM)-1e-9)))
	}
	t := tiles{size: size, cols: count(all.Size().X, size.X), rows: count(all.Size().Y, size.Y)}
	// place finds the start along one axis: from the middle outwards, the first that is free of
	// holes, or the one that comes nearest to it.
	place := func(n int, tile, from, to float64, span func(box) (lo, hi float64)) float64 {
		spare := float64(float64(n)*(tile-overlapMM)) + overlapMM - (to - from)
		best, most := from-spare/2, math.Inf(-1)
		for k := 0; float64(k) <= spare; k++ {
			shift := float64((k + 1) / 2)
			if k%2 == 1 {
				shift = -shift
			}
			start, least := from-spare/2+shift, offSeamMM
			for i := 1; i < n; i++ {
				lo := start + float64(float64(i)*(tile-overlapMM))
				for _, h := range holes {
					a, b := span(h)
					least = min(least, max(a-(lo+overlapMM), lo-b))
				}
			}
			if least > most {
				most, best = least, start
			}
		}
		return best
	}
	t.low = at(
		place(t.cols, size.X, all.Min.X, all.Max.X, func(b box) (lo, hi float64) { return b.Min.X, b.Max.X }),
		place(t.rows, size.Y, all.Min.Y, all.Max.Y, func(b box) (lo, hi float64) { return b.Min.Y, b.Max.Y }))
	return t
}

// trueSize draws the plate, or the blank that the board is seated by, at 1:1 on as many pages as it
// takes, with a bar in either direction on each: for checking, never for locating. All lengths are drawn
// so many times as long, across and down.
func trueSize(d *jig.Design, paper block.Paper, times geom.Vec) []*picture.Picture {
	shapes := []geom.Loop{d.Template.Outline, d.Template.Window, d.Board.Outline}
	shapes = append(shapes, d.Board.Holes...)
	if len(d.Template.Window) == 0 && d.Blank != nil {
		shapes = append(shapes[1:], d.Blank.Outline)
	}
	first := len(shapes)
	for _, p := range d.Pins {
		shapes = append(shapes, geom.Slot(p.At, p.Template.SlotAngleUV, p.Template.SlotMM, p.Template.MinMM))
	}
	for _, x := range d.Board.Features {
		if x.BoreMM > 0 {
			shapes = append(shapes, geom.Slot(x.At, 0, 0, x.BoreMM))
		}
	}
	all := geom.EmptyBox()
	if times != at(1, 1) {
		for i, l := range shapes {
			shapes[i] = l.Stretch(times.X, times.Y)
		}
	}
	for _, l := range shapes {
		all = all.Union(l.Bounds())
	}
	var holes []box
	for _, l := range shapes[first : first+len(d.Pins)] {
		holes = append(holes, l.Bounds())
	}
	frame := paper.Frame(true)
	room := frame
	room.Min = room.Min.Add(at(barStrip, wordStrip))
	t := tiled(all, room.Size(), holes)
	var out []*picture.Picture
	for row := t.rows - 1; row >= 0; row-- {
		for col := range t.cols {
			f := &block.Figure{}
			b := t.tile(col, row)
			to := room.Min.Sub(b.Min)
			f.Box(lineTrue, room)
			for _, l := range shapes {
				clipped(f, room, geom.Rigid{Shift: to}.Loop(l))
			}
			for _, c := range t.crosses(col, row) {
				c = c.Add(to)
				f.Line(lineTrue, c.Sub(at(crossMM, 0)), c.Add(at(crossMM, 0)))
				f.Line(lineTrue, c.Sub(at(0, crossMM)), c.Add(at(0, crossMM)))
			}
			for _, p := range d.Pins {
				c := at(float64(p.At.X*times.X), float64(p.At.Y*times.Y)).Add(to)
				r := (p.Template.MinMM + p.Template.SlotMM) / 2
				arm := r + 2
				cross := []geom.Vec{c.Sub(at(arm, 0)), c.Add(at(arm, 0)), c.Sub(at(0, arm)), c.Add(at(0, arm))}
				if block.Within(room, boxOf(c.X-arm, c.Y-arm, c.X+arm, c.Y+arm)) {
					f.Line(lineTrue, cross[:2]...)
					f.Line(lineTrue, cross[2:]...)
					near(f, c, arm, room, picture.Plain(p.ID))
				}
			}
			t.foot(f, frame, times, col, row)
			p := paper.Page(d.Title, true)
			p.Figure = f.Figure
			out = append(out, p)
		}
	}
	return out
}

// crosses lie in the middle of the overlaps with the neighbours, two in each, at the same places on
// both pages.
func (t tiles) crosses(col, row int) []geom.Vec {
	var out []geom.Vec
	b := t.tile(col, row)
	for _, k := range [2]float64{0.2, 0.8} {
		across, along := b.Min.Y+float64(k*b.Size().Y), b.Min.X+float64(k*b.Size().X)
		if col > 0 {
			out = append(out, at(b.Min.X+overlapMM/2, across))
		}
		if col < t.cols-1 {
			out = append(out, at(b.Max.X-overlapMM/2, across))
		}
		if row > 0 {
			out = append(out, at(along, b.Min.Y+overlapMM/2))
		}
		if row < t.rows-1 {
			out = append(out, at(along, b.Max.Y-overlapMM/2))
		}
	}
	return out
}

// clipped draws what of a contour lies in a box.
func clipped(f *block.Figure, b box, l geom.Loop) {
	if len(l) == 0 {
		return
	}
	pts := l.Flatten(flatMM)
	var run []geom.Vec
	end := func() {
		if len(run) > 1 {
			f.Line(lineTrue, run...)
		}
		run = nil
	}
	for i, p := range pts {
		q := pts[(i+1)%len(pts)]
		s := block.ClipSegment(b, p, q)
		if s.Lo >= s.Hi {
			end()
			continue
		}
		if s.Lo > 0 || len(run) == 0 {
			end()
			run = append(run, p.Lerp(q, s.Lo))
		}
		run = append(run, p.Lerp(q, s.Hi))
		if s.Hi < 1 {
			end()
		}
	}
	end()
}

// foot draws the two bars, how to measure them, which tile this is, and where it lies.
func (t tiles) foot(f *block.Figure, frame box, times geom.Vec, col, row int) {
	const tick = 3.0
	c := frame.Min.Add(at(barStrip, wordStrip-5)) // the bars' corner
	long := times.Scale(barMM)
	f.Line(lineTrue, c, c.Add(at(long.X, 0)))
	down := at(frame.Min.X+tick+1, frame.Min.Y+wordStrip)
	f.Line(lineTrue, down, down.Add(at(0, long.Y)))
	for k := range 11 {
		x, y, high := float64(k)*long.X/10, float64(k)*long.Y/10, tick
		if k%10 != 0 {
			high = tick / 2
		}
		f.Line(lineTrue, c.Add(at(x, 0)), c.Add(at(x, -high)))
		f.Line(lineTrue, down.Add(at(0, y)), down.Add(at(-high, y)))
	}
	f.Text(c.Add(at(barMM/2, -tick-block.Small)), block.Small, picture.Middle, "100 mm across")
	f.Add(picture.Text{At: down.Add(at(block.Small+1.2, barMM/2)), Height: block.Small, Anchor: picture.Middle,
		Angle: math.Pi / 2, S: "100 mm down"})
	// The map: all tiles, this one crossed.
	cell := at(min(7, 40/float64(t.cols)), min(5, 20/float64(t.rows)))
	low := at(frame.Max.X-float64(cell.X*float64(t.cols)), frame.Min.Y)
	for i := range t.cols {
		for j := range t.rows {
			b := boxOf(0, 0, cell.X, cell.Y)
			to := low.Add(at(float64(cell.X*float64(i)), float64(cell.Y*float64(j))))
			b.Min, b.Max = b.Min.Add(to), b.Max.Add(to)
			f.Box(lineTrue, b)
			if i == col && j == row {
				f.Line(lineTrue, b.Min, b.Max)
				f.Line(lineTrue, at(b.Min.X, b.Max.Y), at(b.Max.X, b.Min.Y))
			}
		}
	}
	x := c.X + barMM + 4
	wide := low.X - 4 - x
	y := frame.Min.Y + wordStrip - 1
	says := fmt.Sprintf("1:1, row %d of %d, column %d of %d. ", t.rows-row, t.rows, col+1, t.cols)
	if t.cols*t.rows > 1 {
		says += "Pages overlap by 10: lay cross on cross. "
	}
	says += "Print at actual size. Measure both bars from the first end line's left (lower) edge to the last one's: " +
		"100.0, +-0.2; "
	if times == at(1, 1) {
		says += "if not, design --bars ACROSSxDOWN. "
	} else {
		says += fmt.Sprintf("drawn %.4f x %.4f as long. ", times.X, times.Y)
	}
	says += "The paper checks, it never locates."
	for _, l := range picture.Wrap(says, block.Small, wide) {
		y -= linePitch
		f.Text(at(x, y), block.Small, picture.Start, l)
	}
}
