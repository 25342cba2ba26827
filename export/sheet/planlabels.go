package sheet

import (
	"math"
	"slices"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig/geom"
)

// planLabels names pins, features and parts, what matters most first. keepOuts are the keep-outs as
// drawn.
func (f *figure) planLabels(d scaled, all geom.Box, keepOuts []geom.Box) {
	room := all.Grow(dimFirst - 2)
	for _, p := range d.Pins {
		l := label{
			lines:  []string{picture.Plain(p.ID), string(p.Role)},
			target: p.At, radius: (p.Template.MinMM + p.Template.SlotMM) / 2, within: room,
		}
		for _, l.height = range []float64{block.Middle, block.Small} {
			if f.setLabel(l) {
				break
			}
			l.lines, l.must = l.lines[:1], l.height == block.Small
		}
	}
	for _, ft := range d.Board.Features[:min(len(d.Board.Features), mostLabels)] {
		lines := []string{block.FitText(ft.Name, 30)}
		if ft.Side == underside {
			lines = append(lines, "(underside)")
		}
		f.setLabel(label{
			lines: lines, height: block.Small,
			target: ft.At, radius: ft.BoreMM / 2, within: room,
		})
	}
	f.areaLabels(d, all, keepOuts)
	f.keepOutLabels(d, keepOuts, all)
}

// areaLabels names surfaces where there is room for it. Names of whole parts
// stay off the keep-outs, which they would seem to name.
func (f *figure) areaLabels(d scaled, all geom.Box, keepOuts []geom.Box) {
	board := d.Board.Outline.Bounds()
	kind := "board"
	if d.Board.Wood != "" {
		kind += ", " + d.Board.Wood
	}
	// Each end's name stays in its own half, or is left out.
	first, second := board, board
	first.Max.X, second.Min.X = board.Center().X, board.Center().X
	for _, e := range []struct {
		x, dir float64
		area   geom.Box
		name   string
	}{{board.Min.X, 1, first, "start end"}, {board.Max.X, -1, second, "far end"}} {
		at := geom.Vec{X: e.x, Y: board.Center().Y}
		if f.inArea(at, e.dir, e.area, block.Middle, e.name, keepOuts...) ||
			f.inArea(at, e.dir, e.area, block.Small, e.name, keepOuts...) {
			continue
		}
		// No room on the board: from outside, at a third of the end's width.
		at.Y -= d.Board.WidthStartMM / 6
		f.setLabel(label{lines: []string{e.name}, height: block.Small, target: at, led: true, spare: true,
			within: all.Grow(dimFirst - 2)})
	}
	low := board.Center().Sub(geom.Vec{Y: 0.3 * math.Min(d.Board.WidthStartMM, d.Board.WidthEndMM)})
	f.inArea(low, 0, board, block.Small, kind, keepOuts...)
	plate := d.Template.Outline.Bounds()
	corner := plate.Min.Add(geom.Vec{X: 2, Y: 2 + picture.Descent*block.Small})
	hole := board // in it the name would be the board's
	if len(d.Template.Window) > 0 {
		hole = d.Template.Window.Bounds()
	}
	f.inArea(corner, 1, plate, block.Small, "template", append(slices.Clip(keepOuts), hole)...)
	if d.Blank != nil {
		b := d.Blank.Outline.Bounds()
		f.inArea(geom.Vec{X: b.Max.X, Y: b.Min.Y + 2}, -1, b, block.Small, "blank", append(slices.Clip(keepOuts), plate)...)
	}
	for _, s := range d.Template.Stops {
		f.setLabel(label{
			lines: []string{"stop"}, height: block.Small, target: s.A.Lerp(s.B, 0.2).Add(outward(s).Scale(stopInset)),
			led: true, within: all,
		})
	}
	f.railLabel(d, all)
	if d.Split != nil && d.Template.MakeBy == "print" {
		for _, u := range d.Split.SeamsMM {
			at := geom.Vec{X: u, Y: plate.Max.Y - 0.25}
			f.setLabel(label{lines: []string{"seam"}, height: block.Small, target: at, led: true, within: all.Grow(dimFirst - 2)})
		}
	}
	if d.Blank != nil && len(d.Blank.Strips) > 0 {
		says := "strip, trimmed later"
		if d.Rails != nil {
			says = "strip " + block.MM(d.Rails.StripMM) + ", trimmed later"
		}
		f.pointAt(label{lines: []string{says}, within: all}, along(d.Blank.Strips[0], 0.35), false)
	}
}

// railLabel names one rail, and the plate that it stands on when that is not
// the drawn one; on two lines where one finds no place.
func (f *figure) railLabel(d scaled, all geom.Box) {
	if r := d.Rails; r != nil && r.Sheet != nil {
		corner := r.Sheet.Window[len(r.Sheet.Window)/2].Vec
		f.pointAt(label{lines: []string{"window of the gluing plate"}, within: all}, []geom.Vec{corner}, false)
		return
	}
	if d.Rails == nil || len(d.Rails.Outlines) == 0 {
		return
	}
	on, high := along(d.Rails.Outlines[0], 0.6, 0.7, 0.45, 0.8), block.MM(d.Rails.HeightMM)+" high"
	if railed(d) || !printsRails(d) {
		f.pointAt(label{lines: []string{"rail, " + high}, within: all}, on, false)
		return
	}
	l := label{lines: []string{"rail of the printed plate, " + high}, within: all}
	if !f.pointAt(l, on, true) {
		l.lines = []string{"rail of the printed plate,", high}
		f.pointAt(l, on, false)
	}
}

// along returns the middles of a narrow contour at shares of its length.
func along(l geom.Loop, shares ...float64) []geom.Vec {
	b := l.Bounds()
	var out []geom.Vec
	for _, k := range shares {
		u := b.Min.X + k*b.Size().X
		if sp := block.Spans(l, u); len(sp) > 0 {
			out = append(out, geom.Vec{X: u, Y: (sp[0].Lo + sp[0].Hi) / 2})
		}
	}
	return out
}

// inArea writes text inside a box near p: growing to the right of it for dir 1,
// to the left for -1, centred for 0. It looks for a free place above and below
// and leaves the text out when there is none. It keeps off the boxes in off.
func (f *figure) inArea(p geom.Vec, dir float64, area geom.Box, h float64, s string, off ...geom.Box) bool {
	w := picture.TextWidth(s, h)
	for _, dx := range []float64{3, 6, 9, 14, 20, 28, 40, 55, 75} {
		for _, dy := range []float64{1, -1, 4, -4, 8, -8, 12, -12, 17, -17} {
			x := p.X + dir*dx
			switch {
			case dir < 0:
				x -= w
			case dir == 0:
				x += -w/2 + math.Copysign(dx-3, dy)
			}
			y := p.Y + dy + picture.Descent*h
			if dy < 0 {
				y = p.Y + dy - picture.Ascent*h
			}
			b := geom.Box{Min: geom.Vec{X: x, Y: y - picture.Descent*h}, Max: geom.Vec{X: x + w, Y: y + picture.Ascent*h}}
			onOthers := slices.ContainsFunc(off, func(o geom.Box) bool { return block.Overlap(o, b) })
			if block.Within(area.Grow(-0.5), b) && !onOthers && f.WorstClash(b) == block.Free {
				f.Text(geom.Vec{X: x, Y: y}, h, picture.Start, s)
				return true
			}
		}
	}
	return false
}
