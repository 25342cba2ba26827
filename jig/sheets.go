package jig

import (
	"reseat/jig/geom"
	"reseat/jig/montecarlo"
	"reseat/jig/part"
	"reseat/jig/plate"
)

// sheetsOf makes the cut files of a design, side by side: template, blank, bed.
func sheetsOf(d *Design, of part.Parts) []CutSheet {
	t := d.Template
	k := of.Template.CutMM() / 2
	shapes := d.holes(func(p Pin) Hole { return p.Template })
	if t.Window != nil {
		shapes = append(shapes, plate.OffsetShapes(plate.Opening, t.Window, -k)...)
	}
	shapes = append(shapes, plate.OffsetShapes(plate.Edge, t.Outline, k)...)
	shapes = append(shapes, plate.Strokes(t.Marks)...)
	stock := func(p part.Part) plate.Stock { return plate.Stock{Material: p.Material, ThicknessMM: p.ThicknessMM} }
	lays := []func() CutSheet{func() CutSheet {
		return plate.Lay(templateFile, d.Frame.ToMachine, t.Outline,
			plate.Compensation{KerfMM: t.KerfMM, EdgeMM: t.EdgeMM, Drawn: of.Template.Drawn()}, stock(of.Template), shapes)
	}}
	whole := func(file string, in part.Part, hole func(Pin) Hole, edge geom.Loop, marks []Mark, guides ...plate.Shape) {
		shapes := append(d.holes(hole), plate.Shape{Layer: plate.Edge, Loop: edge})
		shapes = append(shapes, plate.Strokes(marks)...)
		for _, l := range append([]geom.Loop{d.Board.Outline}, d.Board.Holes...) {
			shapes = append(shapes, plate.Shape{Layer: plate.BoardGuide, Loop: l})
		}
		lays = append(lays, func() CutSheet {
			return plate.Lay(file, d.Frame.ToMachine, edge, plate.Compensation{Drawn: in.Drawn()}, stock(in),
				append(shapes, guides...))
		})
	}
	if r := d.Rails; r != nil && r.Sheet != nil {
		lays = append(lays, func() CutSheet { return d.railsSheet(of.Rails) })
	}
	if b := d.Blank; b != nil {
		var strips []plate.Shape
		for _, s := range b.Strips {
			strips = append(strips, plate.Shape{Layer: plate.StripGuide, Loop: s})
		}
		for _, l := range b.Bridges {
			strips = append(strips, plate.Shape{Layer: plate.BridgeGuide, Loop: l})
		}
		whole("blank.dxf", of.Blank, func(p Pin) Hole { return *p.Blank }, b.Outline, b.Marks, strips...)
	}
	whole("bed.dxf", of.Bed, func(p Pin) Hole { return p.Bed }, d.Bed.Outline, d.Bed.Marks,
		plate.Shape{Layer: plate.PlateGuide, Loop: t.Outline})
	out := make([]CutSheet, len(lays))
	montecarlo.Parallel(len(lays), 1, func(i, _ int) { out[i] = lays[i]() })
	return out
}

// railsSheet is the cut file of the plate from sheet that the board is glued in. The wedges
// lie beyond its far end.
func (d *Design) railsSheet(of part.Part) CutSheet {
	r, k := d.Rails.Sheet, of.CutMM()/2
	shapes := d.holes(func(p Pin) Hole { return *p.Rails })
	for _, l := range plate.LayWedges(r.Wedges, d.Template.Outline) {
		shapes = append(shapes, plate.OffsetShapes(plate.Edge, l, k)...)
	}
	shapes = append(shapes, plate.OffsetShapes(plate.Opening, r.Window, -k)...)
	shapes = append(shapes, plate.OffsetShapes(plate.Edge, d.Template.Outline, k)...)
	shapes = append(shapes, plate.Strokes(r.Marks)...)
	return plate.Lay(RailsFile, d.Frame.ToMachine, d.Template.Outline,
		plate.Compensation{KerfMM: r.KerfMM, EdgeMM: r.EdgeMM, Drawn: of.Drawn()},
		plate.Stock{Material: of.Material, ThicknessMM: of.ThicknessMM}, shapes)
}

// holes are the pins' holes in one part as they are drawn.
func (d *Design) holes(of func(Pin) Hole) []plate.Shape {
	var out []plate.Shape
	for _, p := range d.Pins {
		h := of(p)
		out = append(out, plate.Hole(p.At, h.DrawnMM, h.SlotMM, h.SlotAngleUV))
	}
	return out
}

// widestPlateHole is the wider of a pin's holes in the template and in its print.
func widestPlateHole(q Pin) Hole {
	if q.Print.MaxMM+q.Print.SlotMM > q.Template.MaxMM+q.Template.SlotMM {
		return q.Print
	}
	return q.Template
}

// marks are the marks of one part, clear of its holes and bars. Writing runs along the
// machine's X, as the files lie.
func (p plan) marks(part geom.Loop, of func(Pin) Hole, bars ...geom.Loop) []Mark {
	names := make([]string, len(p.pins))
	for i, q := range p.pins {
		names[i] = q.ID
	}
	m := plate.Markable{Outline: part, Holes: p.circles(of), Bars: bars, Turn: -FrameOf(p.job).ToMachine.Angle}
	return m.Mark(names)
}

// templateMarks are those of the template, clear of window, rails and seams.
func (p plan) templateMarks(cut cutting, rails *Rails) []Mark {
	var bars []geom.Loop
	if p.site.Window != nil {
		bars = append(bars, p.site.Opening)
	}
	if rails != nil {
		bars = append(bars, rails.Outlines...)
	}
	if cut.split != nil {
		box := p.site.Plate.Bounds()
		for _, u := range cut.split.SeamsMM {
			bars = append(bars, geom.Rect(geom.Box{
				Min: geom.Vec{X: u, Y: box.Min.Y}, Max: geom.Vec{X: u + plate.MostKeyMM, Y: box.Max.Y},
			}))
		}
	}
	return p.marks(p.site.Plate, widestPlateHole, bars...)
}
