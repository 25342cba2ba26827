package solid

import (
	"fmt"

	"github.com/deadsy/sdfx/sdf"

	"reseat/export/solid/plan"
	"reseat/jig"
)

// FreeOverMM is the most by which a hole's free diameter exceeds the drawn one.
const FreeOverMM = 0.010

// Solid is a printed template as a body: its distance field, its mesh, and what
// was measured on the mesh.
type Solid struct {
	SDF  sdf.SDF3
	Mesh *Mesh
	Report
	DeviationMM      float64 // largest distance found between mesh and field, but for walls of marks
	MarksDeviationMM float64 // the same there; the limit is MarkTolMM
	GridMM           float64 // plan coordinates are whole multiples of this
	Overlaps         []Overlap
}

// Overlap tells that two parts of the plan cover the same ground: a rail that
// reaches over the window or a hole or its entry chamfer (it is cut away there),
// over the plate's edge (likewise) or over another rail.
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
	s, err := build(p, true)
	if err != nil && len(p.Marks) > 0 {
		// Without its short edges the border of a mark can come to touch itself; with
		// them it can make needles. Seldom both.
		if fine, again := build(p, false); again == nil {
			return fine, nil
		}
	}
	return s, err
}

// build makes the solid of a valid print.
func build(p *jig.Print, coarse bool) (*Solid, error) {
	d, err := draw(p, coarse)
	if err != nil {
		return nil, err
	}
	pl, err := plan.New(d.contours, len(d.parts), d.grid.weldUnits())
	if err != nil {
		return nil, fmt.Errorf("solid: %w", err)
	}
	s := &Solid{GridMM: d.grid.unitMM}
	if s.Overlaps, err = d.overlaps(pl, p); err != nil {
		return nil, err
	}
	d.slope(pl)
	if s.Mesh, err = newRelief(pl, d.coats).raise(d.grid); err != nil {
		return nil, err
	}
	s.Report = s.Mesh.Check(p.Holes)
	if err := s.Report.Err(); err != nil {
		return nil, err
	}
	if err := s.Report.tight(); err != nil {
		return nil, err
	}
	if len(s.Overlaps) == 0 {
		s.FormulaMM3 = formula(p)
	}
	if s.SDF, err = Field(p); err != nil {
		return nil, err
	}
	off, err := verify(s.Mesh, s.SDF, SurfaceTolMM)
	if err != nil {
		return nil, err
	}
	s.DeviationMM, s.MarksDeviationMM = off.plain, off.marks
	return s, nil
}
