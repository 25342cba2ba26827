package sheet

import (
	"math"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

// Section measures in millimetres.
const (
	sameStation = 0.5 // pins this close along u are cut by one plane
	bedPast     = 8.0 // bed shown beyond the plate, then broken off
	hatchBed    = 3.0
	hatchPlate  = 2.0
	hatchBoard  = 4.0
)

// cross is section A-A at station u in the making. For a nest: bed, template, board
// in the window. For a board that seats on its own pins: bed and blank.
type cross struct {
	figure
	d     scaled
	u     float64
	nest  bool
	bed   float64      // top of the bed above its underside, mm
	part  string       // that lies on the bed, with its material
	thick float64      // of that part
	solid []block.Span // of that part, across
	pins  []jig.Pin    // that the plane cuts
	top   float64      // of all that is drawn
}

// at returns where a point lies on this view: v runs to the left, w up.
func at(v, w float64) geom.Vec { return geom.Vec{X: -v, Y: w} }

// section draws section A-A at station u, seen towards the far end; nil when
// there is nothing to cut.
func section(d scaled, u float64) *block.Figure {
	c := &cross{
		d: d, u: u, nest: len(d.Template.Window) > 0, bed: d.Bed.ThicknessMM,
		part: named("template", d.Template.Material), thick: d.Template.ThicknessMM,
	}
	outline := d.Template.Outline
	if !c.nest && d.Blank != nil {
		outline, c.part, c.thick = d.Blank.Outline, named("blank", d.Blank.Wood), d.Blank.ThicknessMM
	}
	if c.solid = block.Spans(outline, u); len(c.solid) == 0 {
		return nil
	}
	whole := block.Span{Lo: c.solid[0].Lo, Hi: c.solid[len(c.solid)-1].Hi}
	bedSolid := c.bore(whole)
	for _, s := range bedSolid {
		c.slab(s, 0, c.bed, block.HatchRising, hatchBed)
	}
	for _, s := range c.solid {
		c.slab(s, c.bed, c.bed+c.thick, block.HatchFalling, hatchPlate)
		c.Box(picture.PenOutline, geom.Box{Min: at(s.Hi, c.bed), Max: at(s.Lo, c.bed+c.thick)})
	}
	l, r := -whole.Hi-bedPast, bedPast-whole.Lo
	c.Line(picture.PenOutline, geom.Vec{X: l}, geom.Vec{X: r})
	c.Line(picture.PenOutline, geom.Vec{X: l, Y: c.bed}, geom.Vec{X: r, Y: c.bed})
	c.breakLine(l)
	c.breakLine(r)
	if c.nest {
		c.board()
	}
	c.top = c.bed + c.thick
	c.standingPins()
	if c.nest {
		c.rails()
	}
	edge := -whole.Lo
	row{rightOf, r}.draw(&c.figure, []dim{
		{geom.Vec{X: r}, geom.Vec{X: r, Y: c.bed}, d.text(c.bed)},
		{geom.Vec{X: edge, Y: c.bed}, geom.Vec{X: edge, Y: c.bed + c.thick}, d.text(c.thick)},
	})
	c.labels(whole)
	return &c.figure.Figure
}

// bore finds the pins that the plane cuts, takes window and holes out of the part on
// the bed, and returns what is left of the bed.
func (c *cross) bore(whole block.Span) []block.Span {
	if c.nest {
		c.solid = block.Subtract(c.solid, block.Spans(c.d.Template.Window, c.u)...)
	}
	bed := []block.Span{{Lo: whole.Lo - bedPast, Hi: whole.Hi + bedPast}}
	for _, p := range c.d.Pins {
		if math.Abs(p.At.X-c.u) >= sameStation/c.d.by {
			continue
		}
		c.pins = append(c.pins, p)
		size := p.Template.MinMM
		if !c.nest && p.Blank != nil {
			size = p.Blank.MinMM
		}
		c.solid = block.Subtract(c.solid, block.Span{Lo: p.At.Y - size/2, Hi: p.At.Y + size/2})
		if p.Bed.DepthMM <= 0 || p.Bed.DepthMM >= c.bed {
			bed = block.Subtract(bed, block.Span{Lo: p.At.Y - p.Bed.MinMM/2, Hi: p.At.Y + p.Bed.MinMM/2})
		}
	}
	return bed
}

// slab hatches a part across s between two heights.
func (c *cross) slab(s block.Span, low, high, angle, spacing float64) {
	c.Hatch(angle, spacing, at(s.Hi, low), at(s.Lo, low), at(s.Lo, high), at(s.Hi, high))
}

// board draws the board in the window, its top crowned when it is.
func (c *cross) board() {
	wood := block.Spans(c.d.Board.Outline, c.u)
	for _, l := range c.d.Board.Holes {
		wood = block.Subtract(wood, block.Spans(l, c.u)...)
	}
	for _, s := range wood {
		path := crowned(c.d, s, c.bed)
		c.Hatch(block.HatchRising, hatchBoard, path...)
		c.Loop(picture.PenOutline, geom.FromPoints(path))
	}
}

// crowned is a cut through the board that lies at a height, its top crowned when it is.
func crowned(d scaled, s block.Span, low float64) []geom.Vec {
	path := []geom.Vec{at(s.Hi, low), at(s.Lo, low)}
	const n = 24 // chords of the crown; its rise is a few tenths of a millimetre
	for k := 0; k <= n; k++ {
		v := s.Lo + (s.Hi-s.Lo)*float64(k)/n
		w := low + d.Board.ThicknessMM
		if r := d.Board.CrownRadiusMM; r > math.Abs(v) {
			w -= r - math.Sqrt(r*r-v*v)
		}
		path = append(path, at(v, w))
	}
	return path
}

// rails draws the rails of a printed plate; a plate cut from sheet has none.
func (c *cross) rails() {
	if !railed(c.d) || c.d.Rails == nil || len(c.d.Print.Rails) != len(c.d.Rails.Outlines) {
		return
	}
	for i, r := range c.d.Print.Rails {
		low, high := c.bed+c.thick, c.bed+r.TopMM
		if high <= low {
			continue
		}
		for _, s := range block.Spans(c.d.Rails.Outlines[i], c.u) {
			c.top = math.Max(c.top, high)
			c.slab(s, low, high, block.HatchFalling, hatchPlate)
			c.Line(picture.PenOutline, at(s.Hi, low), at(s.Hi, high), at(s.Lo, high), at(s.Lo, low))
		}
	}
}

// standingPins draws the pins, uncut as ISO 128-3 has it, each on the floor of its
// hole in the bed or flush with the bed's underside.
func (c *cross) standingPins() {
	face := c.bed + c.thick
	for _, p := range c.pins {
		r, foot := p.Dowel.NominalMM/2, 0.0
		if p.Bed.DepthMM > 0 && p.Bed.DepthMM < c.bed {
			foot = c.bed - p.Bed.DepthMM
		}
		top := foot + p.Dowel.LengthMM
		c.top = math.Max(c.top, top)
		c.Box(picture.PenOutline, geom.Box{Min: at(p.At.Y+r, foot), Max: at(p.At.Y-r, top)})
		c.Line(picture.PenCentre, at(p.At.Y, foot-crossOver), at(p.At.Y, top+crossOver))
		if top < face-picture.WideMM {
			// The far rim of the hole shows above a pin that ends inside it.
			c.Line(picture.PenOutline, at(p.At.Y+r, face), at(p.At.Y-r, face))
		}
	}
}

// breakLine draws the zigzag end of the bed, which is broken off at x.
func (c *cross) breakLine(x float64) {
	m, z := c.bed/2, math.Min(1.5, c.bed/6)
	c.Line(picture.PenThin, geom.Vec{X: x, Y: -2}, geom.Vec{X: x, Y: m - z}, geom.Vec{X: x - z, Y: m - z/3},
		geom.Vec{X: x + z, Y: m + z/3}, geom.Vec{X: x, Y: m + z}, geom.Vec{X: x, Y: c.bed + 2})
}

// labels writes the names of the parts beside and above the section.
func (c *cross) labels(whole block.Span) {
	ink, board := c.Ink(), c.d.Board
	x, low := ink.Max.X+3, c.bed/2-block.Small/2
	c.Text(geom.Vec{X: x, Y: low}, block.Small, picture.Start, named("bed", c.d.Bed.Material))
	c.Text(geom.Vec{X: x, Y: math.Max(c.bed+c.thick/2-block.Small/2, low+block.Small*block.LineGap)}, block.Small, picture.Start, c.part)
	if s := block.Spans(board.Outline, c.u); c.nest && len(s) > 0 {
		says := named("board "+c.d.text(board.ThicknessMM), board.Wood)
		if board.CrownRadiusMM > 0 {
			says += ", crown R" + c.d.text(board.CrownRadiusMM)
		}
		p := at((s[0].Lo+s[0].Hi)/2, c.bed+board.ThicknessMM)
		above := geom.Vec{X: p.X, Y: math.Max(c.top, p.Y) + 8}
		c.Line(picture.PenThin, above, p)
		c.Arrow(p, geom.Vec{Y: -1})
		c.Text(above.Add(geom.Vec{Y: 1.4}), block.Small, picture.Middle, says)
	}
	if len(c.pins) > 0 {
		p := c.pins[0]
		c.setLabel(label{
			lines: []string{picture.Plain(p.ID)}, height: block.Small, target: at(p.At.Y, c.top),
			radius: p.Dowel.NominalMM / 2, within: ink.Grow(30), must: true,
		})
	}
	b := c.Ink()
	c.Text(at(whole.Hi, b.Min.Y-5), block.Small, picture.Start, "left, +v")
	c.Text(at(whole.Lo, b.Min.Y-5), block.Small, picture.End, "right, -v")
	c.Add(picture.Text{
		At: at((whole.Lo+whole.Hi)/2, b.Max.Y+5), Height: block.Middle, Anchor: picture.Middle, Bold: true,
		S: "A-A (u " + c.d.text(c.u) + "), " + c.d.scale(),
	})
}

func named(part, material string) string {
	if m := picture.Plain(material); m != "" {
		return part + ", " + m
	}
	return part
}
