package sheet

import (
	"math"

	"reseat/jig"
	"reseat/jig/geom"
)

// Plan-view measures in millimetres.
const (
	crossOver   = 3.0  // centre cross beyond its circle
	datumOver   = 6.0  // datum line beyond the outermost outline
	smallCircle = 12.0 // below this diameter centre lines are drawn unbroken (ISO 128, recalled)
	originR     = 1.75 // mark of the datum line's start: an open circle of 3.5 mm
	stopInset   = 1.6  // stop line beside its wall: three wide lines clear of it
	mostLabels  = 60   // features named on the view; nobody reads more
	cutArrow    = 7.0  // arrow of the viewing direction
	cutStroke   = 6.0  // visible end of a cutting plane
)

// plan draws the view from above, board frame = sheet directions: u to the
// right, v up. The figure's origin is the start of the datum line. cut is the
// station of section A-A; NaN: none.
func plan(d *jig.Design, cut float64) *figure {
	f := &figure{}
	plate := d.Template.Outline.Bounds()
	all := plate.Union(d.Board.Outline.Bounds())
	if d.Blank != nil && len(d.Blank.Outline) > 0 {
		f.loop(PenAdjacent, d.Blank.Outline)
		all = all.Union(d.Blank.Outline.Bounds())
	}
	f.loop(PenAdjacent, d.Board.Outline)
	f.loop(PenOutline, d.Template.Outline)
	f.loop(PenOutline, d.Template.Window)
	if d.Blank != nil {
		for _, s := range d.Blank.Strips {
			f.loop(PenHidden, s)
		}
	}
	railPen := PenAdjacent
	if d.Print != nil && len(d.Print.Rails) > 0 {
		railPen = PenOutline
	}
	if d.Rails != nil {
		for _, r := range d.Rails.Outlines {
			f.loop(railPen, r)
			all = all.Union(r.Bounds())
		}
	}
	f.datumLine(all)
	for _, p := range d.Pins {
		f.hole(p)
	}
	for _, ft := range d.Board.Features {
		if ft.BoreMM > 0 {
			f.circle(PenThin, ft.At, ft.BoreMM/2)
		}
		f.cross(ft.At, ft.BoreMM/2)
	}
	for _, s := range d.Template.Stops {
		f.stop(s)
	}
	stand := 0.0
	if !math.IsNaN(cut) {
		f.cuttingPlane(cut, all)
		stand = cutStroke + 2
	}
	f.planDimensions(d, all, stand)
	if !math.IsNaN(cut) {
		f.cutLetters(cut, all)
	}
	f.planLabels(d, all)
	f.axes(d, all)
	return f
}

// datumLine draws the board's centreline, in line with its own dashes, and the
// mark at its start.
func (f *figure) datumLine(all geom.Box) {
	f.line(PenCentre, geom.Vec{X: math.Min(all.Min.X, 0) - datumOver}, geom.Vec{X: all.Max.X + datumOver})
	f.circle(PenThin, geom.Vec{}, originR)
	// Two opposite quarters filled: the mark of an origin, told from any hole.
	for _, a := range [2]float64{0, math.Pi} {
		pts := []geom.Vec{{}}
		const n = 8
		for k := 0; k <= n; k++ {
			pts = append(pts, geom.Polar(originR, a+math.Pi/2*float64(k)/n))
		}
		f.add(Fill{pts})
	}
}

// hole draws a pin's hole in the template in true size: a circle, or a slot
// with round ends.
func (f *figure) hole(p jig.Pin) {
	h := p.Template
	r := h.MinMM / 2
	if h.SlotMM <= 0 {
		f.circle(PenOutline, p.At, r)
		f.cross(p.At, r)
		return
	}
	along := geom.Polar(1, h.SlotAngle)
	f.loop(PenOutline, geom.Slot(p.At, h.SlotAngle, h.SlotMM, h.MinMM))
	f.crossAlong(p.At, along, r+h.SlotMM/2, r)
}

// cross draws the centre lines of a circle of radius r.
func (f *figure) cross(c geom.Vec, r float64) { f.crossAlong(c, geom.Vec{X: 1}, r, r) }

// crossAlong draws centre lines that pass a shape of half length a along dir
// and half width b across it.
func (f *figure) crossAlong(c, dir geom.Vec, a, b float64) {
	pen := PenCentre
	over := crossOver
	if 2*b < smallCircle {
		pen = PenThin
		// A dot of 3 mm does not want arms longer than itself.
		over = math.Min(crossOver, 0.5+b/2)
	}
	u, v := dir.Scale(a+over), dir.Left().Scale(b+over)
	f.line(pen, c.Sub(u), c.Add(u))
	f.line(pen, c.Sub(v), c.Add(v))
}

// stop marks a wall that the board is pushed against, on the plate's side of it.
func (f *figure) stop(s jig.Stop) {
	n := outward(s).Scale(stopInset)
	f.line(PenCut, s.A.Add(n), s.B.Add(n))
}

// outward is the unit vector from a stop's wall into the plate. A stop's ends
// may come in any order: the plate is on the side away from the datum line, or
// before its start.
func outward(s jig.Stop) geom.Vec {
	n := s.B.Sub(s.A).Left().Unit()
	away := geom.Vec{Y: s.A.Y + s.B.Y}
	if s.Wall == "start" {
		away = geom.Vec{X: -1}
	}
	if n.Dot(away) < 0 {
		return n.Scale(-1)
	}
	return n
}

// cuttingPlane draws both ends of section A-A, seen towards the far end.
func (f *figure) cuttingPlane(u float64, all geom.Box) {
	for _, e := range cutEnds(u, all) {
		f.line(PenOutline, e.from, e.to)
		tip := e.to.Add(geom.Vec{X: cutArrow})
		f.line(PenThin, e.to, tip)
		f.arrow(tip, geom.Vec{X: 1})
	}
}

// cutLetters names the cutting plane, where no projection line passes.
func (f *figure) cutLetters(u float64, all geom.Box) {
	for _, e := range cutEnds(u, all) {
		best, level := geom.Vec{}, forbidden+1
		for _, dx := range []float64{-1.2 - TextWidth("A", middle), cutArrow + 1.2, 1.2} {
			at := e.to.Add(geom.Vec{X: dx, Y: -middle / 2})
			if dx == 1.2 {
				at.Y = e.to.Y + descent*middle + 0.3
			}
			if got := hit(f.items, Text{At: at, Height: middle, S: "A"}.Ink()); got < level {
				best, level = at, got
			}
		}
		f.text(best, middle, Start, "A")
	}
}

// cutEnd is the wide stroke at one end of a cutting plane, drawn outwards.
type cutEnd struct{ from, to geom.Vec }

func cutEnds(u float64, all geom.Box) [2]cutEnd {
	return [2]cutEnd{
		{geom.Vec{X: u, Y: all.Max.Y + 1}, geom.Vec{X: u, Y: all.Max.Y + 1 + cutStroke}},
		{geom.Vec{X: u, Y: all.Min.Y - 1}, geom.Vec{X: u, Y: all.Min.Y - 1 - cutStroke}},
	}
}

// planDimensions adds the rows of dimensions around the view; those above and
// below stand off further by stand.
func (f *figure) planDimensions(d *jig.Design, all geom.Box, stand float64) {
	plate := d.Template.Outline.Bounds()
	lowerLeft := plate.Min
	upperLeft := geom.Vec{X: plate.Min.X, Y: plate.Max.Y}
	var top, bottom, left, right []dim
	top = append(top, dim{upperLeft, plate.Max, mm(plate.Size().X)})
	left = append(left, dim{lowerLeft, upperLeft, mm(plate.Size().Y)})
	if plate.Min.X < 0 {
		bottom = append(bottom, dim{lowerLeft, geom.Vec{Y: plate.Min.Y}, mm(-plate.Min.X)})
	}
	if w, ok := findWalls(d.Template.Window); ok {
		if sr, sl, fr, fl, ok := w.corners(); ok {
			top = append(top, dim{sl, fl, mm(w.length())})
			left = append(left, dim{sr, sl, mm(sl.Y - sr.Y)})
			right = append(right, dim{fr, fl, mm(fl.Y - fr.Y)})
		}
	} else if w, ok := findWalls(d.Board.Outline); ok {
		if sr, sl, fr, fl, ok := w.corners(); ok {
			top = append(top, dim{sl, fl, "(" + mm(w.length()) + ")"})
			left = append(left, dim{sr, sl, "(" + mm(sl.Y-sr.Y) + ")"})
			right = append(right, dim{fr, fl, "(" + mm(fl.Y-fr.Y) + ")"})
		}
	}
	if a, b, ok := locating(d.Pins); ok {
		bottom = append(bottom, dim{a.At, b.At, mm(math.Abs(b.At.X - a.At.X))})
		// The baseline of two pins that stand across the board is measured across.
		if dv := math.Abs(b.At.Y - a.At.Y); dv > math.Abs(b.At.X-a.At.X) {
			bottom = bottom[:len(bottom)-1]
			right = append(right, dim{a.At, b.At, mm(dv)})
		}
	}
	row{above, all.Max.Y + stand}.draw(f, top)
	row{below, all.Min.Y - stand}.draw(f, bottom)
	row{leftOf, math.Min(all.Min.X, 0) - datumOver/2}.draw(f, left)
	row{rightOf, all.Max.X + datumOver/2}.draw(f, right)
}

// length is the distance between the end walls along the datum line.
func (w walls) length() float64 {
	return w.far.P.Lerp(w.far.Q, 0.5).X - w.start.P.Lerp(w.start.Q, 0.5).X
}

// locating returns the round pin and the slot pin, or the first two round pins.
func locating(pins []jig.Pin) (a, b jig.Pin, ok bool) {
	var found []jig.Pin
	for _, want := range []jig.Role{jig.Round, jig.Slot} {
		for _, p := range pins {
			if p.Role == want {
				found = append(found, p)
			}
		}
	}
	if len(found) < 2 {
		return a, b, false
	}
	for _, p := range found[1:] {
		if p.Role == jig.Slot {
			return found[0], p, true
		}
	}
	return found[0], found[1], true
}

// planLabels names pins, features and parts; pins first, since they must be told.
func (f *figure) planLabels(d *jig.Design, all geom.Box) {
	room := all.Grow(dimFirst - 2)
	for _, p := range d.Pins {
		r := p.Template.MinMM / 2
		if p.Template.SlotMM > 0 {
			r += p.Template.SlotMM / 2
		}
		full := label{lines: []string{plain(p.ID), string(p.Role)}, heights: []float64{middle, small},
			target: p.At, radius: r, within: room}
		short := full
		short.lines, short.heights = full.lines[:1], full.heights[:1]
		short.must = true
		if !f.setLabel(full) {
			f.setLabel(short)
		}
	}
	f.areaLabels(d, all)
	for i, ft := range d.Board.Features {
		if i == mostLabels {
			break
		}
		f.setLabel(label{lines: []string{shorten(plain(ft.Name), small, 30)}, heights: []float64{small},
			target: ft.At, radius: ft.BoreMM / 2, within: room})
	}
}

// areaLabels names surfaces where there is room for it.
func (f *figure) areaLabels(d *jig.Design, all geom.Box) {
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
		if f.inArea(geom.Vec{X: e.x, Y: board.Center().Y}, e.dir, e.area, middle, e.name) {
			continue
		}
		// No room on the board: from outside, at a third of the end's width.
		at := geom.Vec{X: e.x, Y: board.Center().Y - d.Board.WidthStartMM/6}
		f.setLabel(label{lines: []string{e.name}, heights: []float64{small}, target: at, led: true, spare: true, within: all})
	}
	f.inArea(board.Center().Sub(geom.Vec{Y: 0.3 * math.Min(d.Board.WidthStartMM, d.Board.WidthEndMM)}), 0, board, small, kind)
	plate := d.Template.Outline.Bounds()
	f.inArea(geom.Vec{X: plate.Min.X + 2, Y: plate.Min.Y + 2 + descent*small}, 1, plate, small, "template")
	if d.Blank != nil {
		b := d.Blank.Outline.Bounds()
		f.inArea(geom.Vec{X: b.Max.X, Y: b.Min.Y + 2}, -1, b, small, "blank")
	}
	for _, s := range d.Template.Stops {
		f.setLabel(label{lines: []string{"stop"}, heights: []float64{small}, target: s.A.Lerp(s.B, 0.2).Add(outward(s).Scale(stopInset)),
			led: true, within: all})
	}
	if d.Rails != nil && len(d.Rails.Outlines) > 0 {
		b := d.Rails.Outlines[0].Bounds()
		u := b.Min.X + 0.6*b.Size().X
		if sp := spans(d.Rails.Outlines[0], u); len(sp) > 0 {
			f.setLabel(label{lines: []string{"rail, " + mm(d.Rails.HeightMM) + " high"}, heights: []float64{small},
				target: geom.Vec{X: u, Y: (sp[0].lo + sp[0].hi) / 2}, led: true, surface: true, within: all})
		}
	}
	if d.Blank == nil || len(d.Blank.Strips) == 0 {
		return
	}
	says := "strip, trimmed later"
	if d.Rails != nil {
		says = "strip " + mm(d.Rails.StripMM) + ", trimmed later"
	}
	b := d.Blank.Strips[0].Bounds()
	u := b.Min.X + 0.35*b.Size().X
	sp := spans(d.Blank.Strips[0], u)
	if len(sp) == 0 {
		return
	}
	f.setLabel(label{lines: []string{says}, heights: []float64{small},
		target: geom.Vec{X: u, Y: (sp[0].lo + sp[0].hi) / 2}, led: true, surface: true, within: all})
}

// inArea writes text inside a box near p: growing to the right of it for dir 1,
// to the left for -1, centred for 0. It looks for a free place above and below
// and leaves the text out when there is none.
func (f *figure) inArea(p geom.Vec, dir float64, area geom.Box, h float64, s string) bool {
	w := TextWidth(s, h)
	for _, dx := range []float64{3, 6, 9, 14, 20, 28, 40, 55, 75} {
		for _, dy := range []float64{1, -1, 4, -4, 8, -8, 12, -12, 17, -17} {
			x := p.X + dir*dx
			switch {
			case dir < 0:
				x -= w
			case dir == 0:
				x += -w/2 + math.Copysign(dx-3, dy)
			}
			y := p.Y + dy + descent*h
			if dy < 0 {
				y = p.Y + dy - ascent*h
			}
			b := geom.Box{Min: geom.Vec{X: x, Y: y - descent*h}, Max: geom.Vec{X: x + w, Y: y + ascent*h}}
			if within(area.Grow(-0.5), b) && hit(f.items, b) == free {
				f.text(geom.Vec{X: x, Y: y}, h, Start, s)
				return true
			}
		}
	}
	return false
}

// axes draws the directions of u and v and of the machine's X and Y, above the
// view's left end.
func (f *figure) axes(d *jig.Design, all geom.Box) {
	const arm = 14.0
	inv := d.Frame.ToMachine.Inverse()
	zero := inv.Apply(geom.Vec{})
	x := inv.Apply(geom.Vec{X: 1}).Sub(zero)
	y := inv.Apply(geom.Vec{Y: 1}).Sub(zero)
	g := &figure{}
	type axis struct {
		dir  geom.Vec
		name string
	}
	axes := []axis{{geom.Vec{X: 1}, "u"}, {geom.Vec{Y: 1}, "v"}}
	for _, m := range []axis{{x, "machine X"}, {y, "machine Y"}} {
		merged := false
		for i := range axes {
			if axes[i].dir.Dot(m.dir) > 1-1e-9 { // parallel to rounding: unit vectors
				axes[i].name += " = " + m.name
				merged = true
			}
		}
		if !merged {
			axes = append(axes, m)
		}
	}
	axes[0].name += ", to the far end"
	for _, a := range axes {
		tip := a.dir.Scale(arm)
		g.line(PenThin, geom.Vec{}, tip)
		g.arrow(tip, a.dir)
		switch {
		case math.Abs(a.dir.X) > math.Abs(a.dir.Y) && a.dir.X > 0:
			g.text(tip.Add(geom.Vec{X: 1, Y: -middle / 2}), middle, Start, a.name)
		case math.Abs(a.dir.X) > math.Abs(a.dir.Y):
			g.text(tip.Add(geom.Vec{X: -1, Y: -middle / 2}), middle, End, a.name)
		default:
			g.text(tip.Add(geom.Vec{X: 1.5, Y: -middle / 2}), middle, Start, a.name)
		}
	}
	g.circle(PenThin, geom.Vec{}, 1)
	ink := f.ink()
	b := g.ink()
	f.place(g, geom.Vec{X: ink.Min.X - b.Min.X, Y: ink.Max.Y + 3 - b.Min.Y})
}
