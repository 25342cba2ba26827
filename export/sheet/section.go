package sheet

import (
	"math"

	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

// Section measures in millimetres.
const (
	tallestMM   = 250.0 // a taller section says nothing at 1:1 and is left out
	sameStation = 0.5   // pins this close along u are cut by one plane
	bedPast     = 8.0   // bed shown beyond the plate, then broken off
	hatchBed    = 3.0
	hatchPlate  = 2.0
	hatchBoard  = 4.0
)

// cross is section A-A at station u in the making. For a nest: bed, template, board
// in the window. For a board that seats on its own pins: bed and blank.
type cross struct {
	figure
	d     *jig.Design
	u     float64
	nest  bool
	bed   float64   // top of the bed above its underside, mm
	part  string    // that lies on the bed, with its material
	thick float64   // of that part
	solid []span    // of that part, across
	pins  []jig.Pin // that the plane cuts
	top   float64   // of all that is drawn
}

// at returns where a point lies on this view: v runs to the left, w up.
func at(v, w float64) geom.Vec { return geom.Vec{X: -v, Y: w} }

// section draws section A-A at station u, seen towards the far end, 1:1; nil when
// there is nothing to cut.
func section(d *jig.Design, u float64) *figure {
	c := &cross{
		d: d, u: u, nest: len(d.Template.Window) > 0, bed: d.Bed.ThicknessMM,
		part: named("template", d.Template.Material), thick: d.Template.ThicknessMM,
	}
	outline := d.Template.Outline
	if !c.nest && d.Blank != nil {
		outline, c.part, c.thick = d.Blank.Outline, named("blank", d.Blank.Wood), d.Blank.ThicknessMM
	}
	if c.solid = spans(outline, u); len(c.solid) == 0 {
		return nil
	}
	whole := span{c.solid[0].lo, c.solid[len(c.solid)-1].hi}
	bedSolid := c.bore(whole)
	for _, s := range bedSolid {
		c.slab(s, 0, c.bed, hatchRising, hatchBed)
	}
	for _, s := range c.solid {
		c.slab(s, c.bed, c.bed+c.thick, hatchFalling, hatchPlate)
		c.Box(picture.PenOutline, geom.Box{Min: at(s.hi, c.bed), Max: at(s.lo, c.bed+c.thick)})
	}
	l, r := -whole.hi-bedPast, bedPast-whole.lo
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
	edge := -whole.lo
	row{rightOf, r}.draw(&c.figure, []dim{
		{geom.Vec{X: r}, geom.Vec{X: r, Y: c.bed}, mm(c.bed)},
		{geom.Vec{X: edge, Y: c.bed}, geom.Vec{X: edge, Y: c.bed + c.thick}, mm(c.thick)},
	})
	if c.ink().Size().Y > tallestMM {
		return nil
	}
	c.labels(whole)
	return &c.figure
}

// bore finds the pins that the plane cuts, takes window and holes out of the part on
// the bed, and returns what is left of the bed.
func (c *cross) bore(whole span) []span {
	if c.nest {
		c.solid = without(c.solid, spans(c.d.Template.Window, c.u)...)
	}
	bed := []span{{whole.lo - bedPast, whole.hi + bedPast}}
	for _, p := range c.d.Pins {
		if math.Abs(p.At.X-c.u) >= sameStation {
			continue
		}
		c.pins = append(c.pins, p)
		size := p.Template.MinMM
		if !c.nest && p.Blank != nil {
			size = p.Blank.MinMM
		}
		c.solid = without(c.solid, span{p.At.Y - size/2, p.At.Y + size/2})
		if p.Bed.DepthMM <= 0 || p.Bed.DepthMM >= c.bed {
			bed = without(bed, span{p.At.Y - p.Bed.MinMM/2, p.At.Y + p.Bed.MinMM/2})
		}
	}
	return bed
}

// slab hatches a part across s between two heights.
func (c *cross) slab(s span, low, high, angle, spacing float64) {
	c.hatch(angle, spacing, at(s.hi, low), at(s.lo, low), at(s.lo, high), at(s.hi, high))
}

// board draws the board in the window, its top crowned when it is.
func (c *cross) board() {
	wood := spans(c.d.Board.Outline, c.u)
	for _, l := range c.d.Board.Holes {
		wood = without(wood, spans(l, c.u)...)
	}
	for _, s := range wood {
		path := crowned(c.d, s, c.bed)
		c.hatch(hatchRising, hatchBoard, path...)
		c.Loop(picture.PenOutline, geom.FromPoints(path))
	}
}

// crowned is a cut through the board that lies at a height, its top crowned when it is.
func crowned(d *jig.Design, s span, low float64) []geom.Vec {
	path := []geom.Vec{at(s.hi, low), at(s.lo, low)}
	const n = 24 // chords of the crown; its rise is a few tenths of a millimetre
	for k := 0; k <= n; k++ {
		v := s.lo + (s.hi-s.lo)*float64(k)/n
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
		for _, s := range spans(c.d.Rails.Outlines[i], c.u) {
			c.top = math.Max(c.top, high)
			c.slab(s, low, high, hatchFalling, hatchPlate)
			c.Line(picture.PenOutline, at(s.hi, low), at(s.hi, high), at(s.lo, high), at(s.lo, low))
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
func (c *cross) labels(whole span) {
	ink, board := c.ink(), c.d.Board
	x, low := ink.Max.X+3, c.bed/2-small/2
	c.Text(geom.Vec{X: x, Y: low}, small, picture.Start, named("bed", c.d.Bed.Material))
	c.Text(geom.Vec{X: x, Y: math.Max(c.bed+c.thick/2-small/2, low+small*lineGap)}, small, picture.Start, c.part)
	if s := spans(board.Outline, c.u); c.nest && len(s) > 0 {
		says := named("board "+mm(board.ThicknessMM), board.Wood)
		if board.CrownRadiusMM > 0 {
			says += ", crown R" + mm(board.CrownRadiusMM)
		}
		p := at((s[0].lo+s[0].hi)/2, c.bed+board.ThicknessMM)
		above := geom.Vec{X: p.X, Y: math.Max(c.top, p.Y) + 8}
		c.Line(picture.PenThin, above, p)
		c.arrow(p, geom.Vec{Y: -1})
		c.Text(above.Add(geom.Vec{Y: 1.4}), small, picture.Middle, says)
	}
	if len(c.pins) > 0 {
		p := c.pins[0]
		c.setLabel(label{
			lines: []string{picture.Plain(p.ID)}, height: small, target: at(p.At.Y, c.top),
			radius: p.Dowel.NominalMM / 2, within: ink.Grow(30), must: true,
		})
	}
	b := c.ink()
	c.Text(at(whole.hi, b.Min.Y-5), small, picture.Start, "left, +v")
	c.Text(at(whole.lo, b.Min.Y-5), small, picture.End, "right, -v")
	c.Add(picture.Text{
		At: at((whole.lo+whole.hi)/2, b.Max.Y+5), Height: middle, Anchor: picture.Middle, Bold: true,
		S: "A-A (u " + mm(c.u) + ")",
	})
}

func named(part, material string) string {
	if m := picture.Plain(material); m != "" {
		return part + ", " + m
	}
	return part
}
