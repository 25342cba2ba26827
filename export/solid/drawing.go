package solid

import (
	"fmt"
	"math"

	"reseat/export/solid/plan"
	"reseat/jig"
	"reseat/jig/geom"
)

// drawing is a print turned into contours on the grid and coats of material.
// Loop k of the plan is parts[k].
type drawing struct {
	grid     grid
	outline  int // loop of the outline
	foot     int // loop inside of which the plate touches the bed
	parts    []part
	contours []plan.Contour
	coats    []coat
	bevels   []*bevel
}

// draw lays the contours down, holes first: of two things that are welded the
// earlier stays put.
func draw(p *jig.Print) (*drawing, error) {
	box := p.Outline.Bounds()
	for _, r := range p.Rails {
		box = box.Union(r.Outline.Bounds())
	}
	d := &drawing{grid: gridFor(math.Max(math.Max(-box.Min.X, box.Max.X), math.Max(-box.Min.Y, box.Max.Y)))}
	var voids []coat
	void := func(name string, poly []geom.Vec, foot, entry float64) {
		k := d.add(part{name: name, role: voidPart}, poly)
		voids = append(voids, coat{inside: k, outside: -1, clear: true})
		d.bevel(&bevel{base: k, poly: poly, outward: true, foot: foot, entry: entry})
	}
	for _, h := range p.Holes {
		// Grown by what snapping can take away again.
		poly := outward(holeLoop(h, d.grid.snapMM()), d.grid.holeChordMM(), math.Max(p.FootMM, p.EntryMM))
		void("hole "+h.ID, poly, p.FootMM, p.EntryMM)
	}
	if p.Window != nil {
		void("window", outward(p.Window, d.grid.edgeChordMM(), p.WindowFootMM), p.WindowFootMM, 0)
	}
	poly := inward(p.Outline, d.grid.edgeChordMM(), p.FootMM)
	d.outline = d.add(part{name: "outline", role: outlinePart}, poly)
	floor, top := height{z: 0}, height{z: level(p.ThicknessMM)}
	d.coats = append(d.coats, coat{inside: d.outline, outside: -1, fill: true, bottom: &floor, top: &top})
	d.bevel(&bevel{base: d.outline, poly: poly, foot: p.FootMM})
	for i, r := range p.Rails {
		k := d.add(part{name: fmt.Sprintf("rail %d", i+1), role: railPart}, inward(r.Outline, d.grid.edgeChordMM(), 0))
		d.coats = append(d.coats, coat{inside: k, outside: -1, top: &height{z: level(r.TopMM)}})
	}
	if err := d.chamfer(p.ThicknessMM); err != nil {
		return nil, err
	}
	d.foot = d.outline
	for _, b := range d.bevels {
		if b.base == d.outline {
			d.foot = b.at(b.foot)
		}
	}
	if err := d.raiseMarks(p.Marks); err != nil {
		return nil, err
	}
	d.coats = append(d.coats, voids...)
	return d, nil
}

// add lays down one loop and returns its number.
func (d *drawing) add(p part, poly []geom.Vec) int {
	k := len(d.parts)
	if p.role != chamferPart {
		p.base = k
	}
	d.parts = append(d.parts, p)
	d.contours = append(d.contours, plan.Contour{Points: d.grid.snapAll(poly), Loop: k})
	return k
}
