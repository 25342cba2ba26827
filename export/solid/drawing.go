package solid

import (
	"fmt"
	"math"

	"reseat/export/solid/plan"
	"reseat/jig"
	"reseat/jig/geom"
)

// drawing is a print turned into contours on the grid. Loop k of the plan is parts[k].
type drawing struct {
	grid      grid
	thickness float64 // of the plate, mm
	outline   int     // loop of the outline
	foot      int     // loop inside of which the plate touches the bed
	parts     []part
	contours  []plan.Contour
	chamfers  []*chamfer
}

// draw lays the contours down, holes first: of two things that are welded the
// earlier stays put.
func draw(p *jig.Print) (*drawing, error) {
	box := p.Outline.Bounds()
	for _, r := range p.Rails {
		box = box.Union(r.Outline.Bounds())
	}
	reach := math.Max(math.Max(-box.Min.X, box.Max.X), math.Max(-box.Min.Y, box.Max.Y))
	d := &drawing{grid: gridFor(reach), thickness: p.ThicknessMM}
	void := func(name string, poly []geom.Vec, foot, entry float64) {
		k := d.add(part{name: name, role: voidPart}, poly)
		d.addChamfer(&chamfer{base: k, poly: poly, outward: true, foot: foot, entry: entry})
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
	d.addChamfer(&chamfer{base: d.outline, poly: poly, foot: p.FootMM})
	for i, r := range p.Rails {
		rail := part{name: fmt.Sprintf("rail %d", i+1), role: railPart, level: level(r.TopMM)}
		d.add(rail, inward(r.Outline, d.grid.edgeChordMM(), 0))
	}
	if err := d.offsetChamfers(); err != nil {
		return nil, err
	}
	d.foot = d.outline
	for _, b := range d.chamfers {
		if b.base == d.outline {
			d.foot = b.at(b.foot)
		}
	}
	return d, d.addMarks(p.Marks)
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
