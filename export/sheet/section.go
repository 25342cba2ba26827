package sheet

import (
	"math"

	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

// Section measures in millimetres and radians.
const (
	tallestMM    = 250.0 // a taller section says nothing at 1:1 and is left out
	sameStation  = 0.5   // pins this close along u are cut by one plane
	bedPast      = 8.0   // bed shown beyond the plate, then broken off
	hatchBed     = 3.0
	hatchPlate   = 2.0
	hatchBoard   = 4.0
	hatchRising  = math.Pi / 4
	hatchFalling = -math.Pi / 4
)

// section draws section A-A at station u, seen towards the far end: v to the
// left, w up, 1:1. For a nest: bed, template, board in the window. For a board
// that seats on its own pins: bed and blank.
func section(d *jig.Design, u float64) *figure {
	f := &figure{}
	bed := d.Bed.ThicknessMM
	onBed, onBedThick, onBedName := d.Template.Outline, d.Template.ThicknessMM, "template"
	material := d.Template.Material
	nest := len(d.Template.Window) > 0
	if !nest && d.Blank != nil && len(d.Blank.Outline) > 0 {
		onBed, onBedThick, onBedName, material = d.Blank.Outline, d.Blank.ThicknessMM, "blank", d.Blank.Wood
	}
	solid := spans(onBed, u)
	if len(solid) == 0 || bed <= 0 || onBedThick <= 0 {
		return nil
	}
	whole := span{solid[0].lo, solid[len(solid)-1].hi}
	if nest {
		solid = without(solid, spans(d.Template.Window, u)...)
	}
	bedSolid := []span{{whole.lo - bedPast, whole.hi + bedPast}}
	var pins []jig.Pin
	for _, p := range d.Pins {
		if math.Abs(p.At.X-u) >= sameStation {
			continue
		}
		pins = append(pins, p)
		hole := span{p.At.Y - p.Template.MinMM/2, p.At.Y + p.Template.MinMM/2}
		if !nest && p.Blank != nil {
			hole = span{p.At.Y - p.Blank.MinMM/2, p.At.Y + p.Blank.MinMM/2}
		}
		solid = without(solid, hole)
		if p.Bed.DepthMM <= 0 || p.Bed.DepthMM >= bed {
			bedSolid = without(bedSolid, span{p.At.Y - p.Bed.MinMM/2, p.At.Y + p.Bed.MinMM/2})
		}
	}
	// v runs to the left on this view.
	at := func(v, w float64) geom.Vec { return geom.Vec{X: -v, Y: w} }
	slab := func(s span, w0, w1, angle, spacing float64) {
		poly := []geom.Vec{at(s.hi, w0), at(s.lo, w0), at(s.lo, w1), at(s.hi, w1)}
		f.hatch(angle, spacing, poly)
	}
	for _, s := range bedSolid {
		slab(s, 0, bed, hatchRising, hatchBed)
	}
	for _, s := range solid {
		slab(s, bed, bed+onBedThick, hatchFalling, hatchPlate)
		f.Box(picture.PenOutline, geom.Box{Min: at(s.hi, bed), Max: at(s.lo, bed+onBedThick)})
	}
	l, r := at(bedSolid[len(bedSolid)-1].hi, 0).X, at(bedSolid[0].lo, 0).X
	f.Line(picture.PenOutline, geom.Vec{X: l}, geom.Vec{X: r})
	f.Line(picture.PenOutline, geom.Vec{X: l, Y: bed}, geom.Vec{X: r, Y: bed})
	f.breakLine(l, bed)
	f.breakLine(r, bed)
	if nest {
		f.boardSection(d, u, bed, at)
	}
	face := bed + onBedThick
	top := face
	for _, p := range pins {
		up := f.pinSection(p, bed, at)
		top = math.Max(top, up)
		if up < face-picture.WideMM {
			// The far rim of the hole shows above a pin that ends inside it.
			r := pinDiameter(p) / 2
			f.Line(picture.PenOutline, at(p.At.Y+r, face), at(p.At.Y-r, face))
		}
	}
	if nest {
		top = math.Max(top, f.railSection(d, u, bed, at))
	}
	right := row{rightOf, r}
	right.draw(f, []dim{
		{geom.Vec{X: r}, geom.Vec{X: r, Y: bed}, mm(bed)},
		{geom.Vec{X: at(whole.lo, 0).X, Y: bed}, geom.Vec{X: at(whole.lo, 0).X, Y: bed + onBedThick}, mm(onBedThick)},
	})
	if f.Ink().Size().Y > tallestMM {
		return nil
	}
	f.sectionLabels(d, u, at, sectionNames{onBedName, material, bed, onBedThick, top, whole, pins, nest})
	return f
}

// boardSection draws the board in the window, its top crowned when it is.
func (f *figure) boardSection(d *jig.Design, u, bed float64, at func(v, w float64) geom.Vec) {
	for _, s := range spans(d.Board.Outline, u) {
		top := func(v float64) float64 {
			w := bed + d.Board.ThicknessMM
			if r := d.Board.CrownRadiusMM; r > math.Abs(v) {
				w -= r - math.Sqrt(r*r-v*v)
			}
			return w
		}
		path := geom.Loop{{Vec: at(s.hi, bed)}, {Vec: at(s.lo, bed)}}
		const n = 24 // chords of the crown; its rise is a few tenths of a millimetre
		for k := 0; k <= n; k++ {
			v := s.lo + (s.hi-s.lo)*float64(k)/n
			path = append(path, geom.Vertex{Vec: at(v, top(v))})
		}
		f.hatch(hatchRising, hatchBoard, path.Corners())
		f.Loop(picture.PenOutline, path)
	}
}

// railSection draws the rails of a printed plate and returns their top; a plate
// cut from sheet has none.
func (f *figure) railSection(d *jig.Design, u, bed float64, at func(v, w float64) geom.Vec) float64 {
	if !railed(d) || d.Rails == nil || len(d.Print.Rails) != len(d.Rails.Outlines) {
		return 0
	}
	top := 0.0
	for i, r := range d.Print.Rails {
		low, high := bed+d.Template.ThicknessMM, bed+r.TopMM
		if high <= low {
			continue
		}
		for _, s := range spans(d.Rails.Outlines[i], u) {
			top = math.Max(top, high)
			f.hatch(hatchFalling, hatchPlate, []geom.Vec{at(s.hi, low), at(s.lo, low), at(s.lo, high), at(s.hi, high)})
			f.Line(picture.PenOutline, at(s.hi, low), at(s.hi, high), at(s.lo, high), at(s.lo, low))
		}
	}
	return top
}

// pinSection draws a pin, uncut as ISO 128-3 has it, standing on the floor of
// its hole in the bed or flush with the bed's underside; it returns its top.
func (f *figure) pinSection(p jig.Pin, bed float64, at func(v, w float64) geom.Vec) float64 {
	r := pinDiameter(p) / 2
	foot := 0.0
	if p.Bed.DepthMM > 0 && p.Bed.DepthMM < bed {
		foot = bed - p.Bed.DepthMM
	}
	top := foot + pinLength(p)
	f.Box(picture.PenOutline, geom.Box{Min: at(p.At.Y+r, foot), Max: at(p.At.Y-r, top)})
	f.Line(picture.PenCentre, at(p.At.Y, foot-crossOver), at(p.At.Y, top+crossOver))
	return top
}

// breakLine draws the zigzag end of a part that is broken off, at x from 0 to h.
func (f *figure) breakLine(x, h float64) {
	m, z := h/2, math.Min(1.5, h/6)
	f.Line(picture.PenThin, geom.Vec{X: x, Y: -2}, geom.Vec{X: x, Y: m - z}, geom.Vec{X: x - z, Y: m - z/3},
		geom.Vec{X: x + z, Y: m + z/3}, geom.Vec{X: x, Y: m + z}, geom.Vec{X: x, Y: h + 2})
}
