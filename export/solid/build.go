package solid

import (
	"fmt"
	"math"

	"github.com/deadsy/sdfx/sdf"

	"reseat/export/solid/plan"
	"reseat/jig"
	"reseat/jig/geom"
)

// FreeOverMM is the most by which a hole's free diameter exceeds the drawn one.
const FreeOverMM = 0.010

// Solid is a printed template as a body: its distance field, its mesh, and what
// was measured on the mesh.
type Solid struct {
	SDF  sdf.SDF3
	Mesh *Mesh
	Report
	FormulaMM3  float64 // volume by the areas of the true contours; 0 when parts overlap and it does not hold
	DeviationMM float64 // largest distance found between mesh and field
	GridMM      float64 // plan coordinates are whole multiples of this
	Overlaps    []Overlap
}

// Overlap tells that two parts of the plan cover the same ground: a rail that
// reaches over the window or a hole (it is cut away there), over the plate's edge
// (likewise) or over another rail.
type Overlap struct {
	A, B    string
	AreaMM2 float64
}

// Build makes the solid of p. It returns an *InputError for a faulty
// description, a *ShapeError where material would touch itself or slopes
// clash, a *MeshError, *DeviationError or *HoleError when the finished mesh does
// not hold what the package promises.
func Build(p *jig.Print) (*Solid, error) {
	if err := validate(p); err != nil {
		return nil, err
	}
	d := draw(p)
	pl, err := plan.New(d.contours, len(d.parts), d.grid.weldUnits())
	if err != nil {
		return nil, fmt.Errorf("solid: %w", err)
	}
	s := &Solid{GridMM: d.grid.unitMM}
	if s.Overlaps, err = d.overlaps(pl); err != nil {
		return nil, err
	}
	if s.Mesh, err = newRelief(pl, d.coats).raise(d.grid); err != nil {
		return nil, err
	}
	s.Report = s.Mesh.Check(p.Holes)
	if err := s.Report.Err(); err != nil {
		return nil, err
	}
	for _, h := range s.Holes {
		if h.FreeMM < h.DrawnMM || h.FreeMM > h.DrawnMM+FreeOverMM {
			return nil, &HoleError{h.ID, h.FreeMM, h.DrawnMM, h.DrawnMM + FreeOverMM}
		}
	}
	if len(s.Overlaps) == 0 {
		s.FormulaMM3 = formula(p)
	}
	if s.SDF, err = Field(p); err != nil {
		return nil, err
	}
	s.DeviationMM, err = verify(s.Mesh, s.SDF, SurfaceTolMM)
	if err != nil {
		return nil, err
	}
	return s, nil
}

// formula returns the volume from the areas of the true contours.
//
//	V = thickness (A outline - A window - sum A holes) + sum A rail (top - thickness)
func formula(p *jig.Print) float64 {
	area := p.Outline.Area()
	if p.Window != nil {
		area -= p.Window.Area()
	}
	for _, h := range p.Holes {
		area -= holeLoop(h, 0).Area()
	}
	v := area * p.ThicknessMM
	for _, r := range p.Rails {
		v += r.Outline.Area() * (r.TopMM - p.ThicknessMM)
	}
	return v
}

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
)

// drawing is a print turned into contours on the grid and coats of material.
// Loop k of the plan is parts[k].
type drawing struct {
	grid     grid
	parts    []part
	contours []plan.Contour
	coats    []coat
}

// draw lays the contours down, holes first: of two things that are welded the
// earlier stays put.
func draw(p *jig.Print) *drawing {
	box := p.Outline.Bounds()
	for _, r := range p.Rails {
		box = box.Union(r.Outline.Bounds())
	}
	d := &drawing{grid: gridFor(math.Max(math.Max(-box.Min.X, box.Max.X), math.Max(-box.Min.Y, box.Max.Y)))}
	var voids []coat
	for _, h := range p.Holes {
		// Grown by what snapping can take away again.
		k := d.add(part{"hole " + h.ID, holePart}, outward(holeLoop(h, d.grid.snapMM()), d.grid.holeChordMM()))
		voids = append(voids, coat{inside: k, outside: -1, clear: true})
	}
	if p.Window != nil {
		k := d.add(part{"window", windowPart}, outward(p.Window, d.grid.edgeChordMM()))
		voids = append(voids, coat{inside: k, outside: -1, clear: true})
	}
	k := d.add(part{"outline", outlinePart}, inward(p.Outline, d.grid.edgeChordMM()))
	floor, top := height{z: 0}, height{z: level(p.ThicknessMM)}
	d.coats = append(d.coats, coat{inside: k, outside: -1, fill: true, bottom: &floor, top: &top})
	for i, r := range p.Rails {
		k := d.add(part{fmt.Sprintf("rail %d", i+1), railPart}, inward(r.Outline, d.grid.edgeChordMM()))
		d.coats = append(d.coats, coat{inside: k, outside: -1, top: &height{z: level(r.TopMM)}})
	}
	d.coats = append(d.coats, voids...)
	return d
}

func (d *drawing) add(p part, poly []geom.Vec) int {
	k := len(d.parts)
	d.parts = append(d.parts, p)
	d.contours = append(d.contours, plan.Contour{Points: d.grid.snapAll(poly), Loop: k})
	return k
}
