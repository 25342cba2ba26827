package solid

import (
	"fmt"
	"math"

	"reseat/export/solid/plan"
	"reseat/jig"
	"reseat/jig/geom"
)

// part is one loop of the plan and what it stands for.
type part struct {
	name string
	role partRole
}

type partRole int

const (
	holePart partRole = iota
	windowPart
	outlinePart
	railPart
	footPart  // the wide end of a chamfer on the bed side
	entryPart // the wide end of a chamfer at the top, and of one on the bed side when it is as wide
	markPart
)

// drawing is a print turned into contours on the grid and coats of material.
// Loop k of the plan is parts[k].
type drawing struct {
	grid     grid
	parts    []part
	polys    [][]geom.Vec // by loop, before snapping
	contours []plan.Contour
	coats    []coat
	bevels   []*bevel
}

// draw lays the contours down, holes first: of two things that are welded the
// earlier stays put. coarse leaves out the short edges of marks.
func draw(p *jig.Print, coarse bool) (*drawing, error) {
	box := p.Outline.Bounds()
	for _, r := range p.Rails {
		box = box.Union(r.Outline.Bounds())
	}
	for _, m := range p.Marks {
		for _, c := range capsules(m) {
			box = box.Union(c.box)
		}
	}
	d := &drawing{grid: gridFor(math.Max(math.Max(-box.Min.X, box.Max.X), math.Max(-box.Min.Y, box.Max.Y)))}
	var voids []coat
	for _, h := range p.Holes {
		// Grown by what snapping can take away again.
		poly := outward(holeLoop(h, d.grid.snapMM()), d.grid.holeChordMM(), math.Max(p.FootMM, p.EntryMM))
		k := d.add(part{"hole " + h.ID, holePart}, poly)
		voids = append(voids, coat{inside: k, outside: -1, clear: true})
		d.bevel(&bevel{base: k, poly: poly, outward: true, loop: holeLoop(h, 0), foot: p.FootMM, entry: p.EntryMM})
	}
	if p.Window != nil {
		poly := outward(p.Window, d.grid.edgeChordMM(), p.WindowFootMM)
		k := d.add(part{"window", windowPart}, poly)
		voids = append(voids, coat{inside: k, outside: -1, clear: true})
		d.bevel(&bevel{base: k, poly: poly, outward: true, loop: p.Window, foot: p.WindowFootMM})
	}
	poly := inward(p.Outline, d.grid.edgeChordMM(), p.FootMM)
	k := d.add(part{"outline", outlinePart}, poly)
	floor, top := height{z: 0}, height{z: level(p.ThicknessMM)}
	d.coats = append(d.coats, coat{inside: k, outside: -1, fill: true, bottom: &floor, top: &top})
	d.bevel(&bevel{base: k, poly: poly, loop: p.Outline, foot: p.FootMM})
	for i, r := range p.Rails {
		k := d.add(part{fmt.Sprintf("rail %d", i+1), railPart}, inward(r.Outline, d.grid.edgeChordMM(), 0))
		d.coats = append(d.coats, coat{inside: k, outside: -1, top: &height{z: level(r.TopMM)}})
	}
	if err := d.chamfer(p.ThicknessMM); err != nil {
		return nil, err
	}
	if err := d.engrave(p, coarse); err != nil {
		return nil, err
	}
	d.coats = append(d.coats, voids...)
	if e := d.crowded(); e != nil {
		return nil, e
	}
	return d, nil
}

func (d *drawing) add(p part, poly []geom.Vec) int {
	k := len(d.parts)
	d.parts = append(d.parts, p)
	d.polys = append(d.polys, poly)
	d.contours = append(d.contours, plan.Contour{Points: d.grid.snapAll(poly), Loop: k})
	return k
}
