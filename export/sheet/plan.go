package sheet

import (
	"maps"
	"math"
	"slices"

	"reseat/export/block"
	"reseat/export/picture"
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
	cutCorner   = 4.0  // arm of its corner, where it steps aside
)

// plan draws the view from above, board frame = sheet directions: u to the
// right, v up. The figure's origin is the start of the datum line. cut is the
// station of section A-A; NaN: none.
func plan(d scaled, cut float64) *block.Figure {
	f := &figure{}
	plate := d.Template.Outline.Bounds()
	all := plate.Union(d.Board.Outline.Bounds())
	if d.Blank != nil {
		f.Loop(picture.PenAdjacent, d.Blank.Outline)
		all = all.Union(d.Blank.Outline.Bounds())
	}
	for _, l := range append([]geom.Loop{d.Board.Outline}, d.Board.Holes...) {
		f.Loop(picture.PenAdjacent, l)
	}
	f.Loop(picture.PenOutline, d.Template.Outline)
	f.Loop(picture.PenOutline, d.Template.Window)
	f.seams(d)
	if d.Blank != nil {
		for _, s := range append(slices.Clip(d.Blank.Strips), d.Blank.Bridges...) {
			f.Loop(picture.PenHidden, s)
		}
	}
	railPen := picture.PenAdjacent // not on this plate but on its printed twin
	if railed(d) {
		railPen = picture.PenOutline
	}
	for _, k := range pairs(d) {
		f.Loop(railPen, k.Pair())
	}
	if r := d.Rails; r != nil && r.Sheet != nil {
		f.Loop(railPen, r.Sheet.Window)
	} else if r != nil {
		for _, r := range r.Outlines {
			f.Loop(railPen, r)
			all = all.Union(r.Bounds())
		}
	}
	shown := shownKeepOuts(d, all)
	for i, k := range d.Board.KeepOut {
		f.keepOut(k.Box, shown[i])
	}
	f.datumLine(all)
	for _, p := range d.Pins {
		f.hole(p)
	}
	for _, ft := range d.Board.Features {
		pen := picture.PenThin
		if ft.Side == underside {
			pen = picture.PenHidden
		}
		if ft.BoreMM > 0 {
			f.Circle(pen, ft.At, ft.BoreMM/2)
		}
		f.cross(ft.At, ft.BoreMM/2)
	}
	for _, s := range d.Template.Stops {
		n := outward(s).Scale(stopInset) // on the plate's side of the wall
		f.Line(picture.PenCut, s.A.Add(n), s.B.Add(n))
	}
	planes := map[string][2]float64{}
	if !math.IsNaN(cut) {
		planes["A"] = [2]float64{cut, cut}
	}
	if _, ok := gluedStack(d); ok {
		planes["B"] = gluingStations(d)
	}
	letters, stand := slices.Sorted(maps.Keys(planes)), 0.0
	for _, name := range letters {
		f.cuttingPlane(name, planes[name], all, false)
		stand = cutStroke + 2
	}
	f.planDimensions(d, all, stand)
	for _, name := range letters {
		f.cuttingPlane(name, planes[name], all, true)
	}
	f.planLabels(d, all, shown)
	f.hatchKeepOuts(shown)
	return &f.Figure
}

// seams draws where a printed plate is cut into parts, with the keys that hold them together.
func (f *figure) seams(d scaled) {
	if d.Split == nil || d.Template.MakeBy != "print" {
		return
	}
	for _, p := range d.Parts {
		f.Loop(picture.PenThin, p.Place.Inverse().Loop(p.Outline.Scale(1/p.Scale)).Scale(1/d.by))
	}
}

// datumLine draws the board's centreline, in line with its own dashes, and the
// mark at its start.
func (f *figure) datumLine(all geom.Box) {
	f.Line(picture.PenCentre, geom.Vec{X: math.Min(all.Min.X, 0) - datumOver}, geom.Vec{X: all.Max.X + datumOver})
	f.Circle(picture.PenThin, geom.Vec{}, originR)
	// Two opposite quarters filled: the mark of an origin, unlike any hole.
	for _, a := range [2]float64{0, math.Pi} {
		pts := []geom.Vec{{}}
		const n = 8
		for k := 0; k <= n; k++ {
			pts = append(pts, geom.Polar(originR, a+math.Pi/2*float64(k)/n))
		}
		f.Fill(pts...)
	}
}

// underside is the side of features that are hidden in the plan, which is seen on the top.
const underside = "under"

// hole draws a pin's hole in the template in true size: a circle, or a slot
// with round ends.
func (f *figure) hole(p jig.Pin) {
	h := p.Template
	r := h.MinMM / 2
	if h.SlotMM <= 0 {
		f.Circle(picture.PenOutline, p.At, r)
		f.cross(p.At, r)
		return
	}
	along := geom.Polar(1, h.SlotAngleUV)
	f.Loop(picture.PenOutline, geom.Slot(p.At, h.SlotAngleUV, h.SlotMM, h.MinMM))
	f.crossAlong(p.At, along, r+h.SlotMM/2, r)
}

// cross draws the centre lines of a circle of radius r.
func (f *figure) cross(c geom.Vec, r float64) { f.crossAlong(c, geom.Vec{X: 1}, r, r) }

// crossAlong draws centre lines that pass a shape of half length a along dir
// and half width b across it.
func (f *figure) crossAlong(c, dir geom.Vec, a, b float64) {
	pen := picture.PenCentre
	over := crossOver
	if 2*b < smallCircle {
		pen = picture.PenThin
		// A dot of 3 mm does not want arms longer than itself.
		over = math.Min(crossOver, 0.5+b/2)
	}
	u, v := dir.Scale(a+over), dir.Left().Scale(b+over)
	f.Line(pen, c.Sub(u), c.Add(u))
	f.Line(pen, c.Sub(v), c.Add(v))
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

// railed reports whether the drawn plate itself carries the rails. A plate that
// is cut from sheet does not: they stand on its printed twin only.
func railed(d scaled) bool { return d.Template.MakeBy == "print" && printsRails(d) }

func printsRails(d scaled) bool { return d.Print != nil && len(d.Print.Rails) > 0 }
