package solid

import (
	"bytes"
	"errors"
	"fmt"
	"math"

	"reseat/export/solid/plan"
	"reseat/jig"
)

// VolumeTol is the largest share by which the volume of a file may differ from
// the formula's: the 0.01 % that a printed plate is asked to hold.
const VolumeTol = 1e-4

// ReadBack reads a written STL again and holds it against the print that it was
// made from, as a reader would who knows nothing of how the mesh came about. The
// report tells what is there: facets, bodies, faults of edges, volume and its
// formula, bounds, the free diameter of each hole.
//
// Errors, joined where there are several: a *FileError when the bytes are no
// binary STL, an *InputError when p is no print that Build takes, a *MeshError
// when the surface is not closed, oriented and in one piece, a *HoleError for
// each hole of a wrong free diameter, a *VolumeError, a *BoundsError for each
// axis, a *DeviationError when a facet strays from the field.
func ReadBack(data []byte, p *jig.Print) (Report, error) {
	m, err := ReadSTL(bytes.NewReader(data))
	if err != nil {
		return Report{}, err
	}
	if err := validate(p); err != nil {
		return Report{}, err
	}
	r := m.Check(p.Holes)
	if r.FormulaMM3, err = formulaIfApart(p); err != nil {
		return r, err
	}
	faults := []error{r.Err(), r.tight()}
	if d := math.Abs(r.VolumeMM3 - r.FormulaMM3); r.FormulaMM3 > 0 && !(d <= VolumeTol*r.FormulaMM3) {
		faults = append(faults, &VolumeError{r.VolumeMM3, r.FormulaMM3, VolumeTol * r.FormulaMM3})
	}
	faults = append(faults, r.reaches(p)...)
	if err := errors.Join(faults...); err != nil {
		return r, err
	}
	f, err := Field(p)
	if err != nil {
		return r, err
	}
	if _, err := verify(m, f, SurfaceTolMM); err != nil {
		return r, err
	}
	return r, nil
}

// tight returns a HoleError for each hole that is not free for its drawn
// diameter, or for more than FreeOverMM above.
func (r Report) tight() error {
	var faults []error
	for _, h := range r.Holes {
		if !(h.FreeMM >= h.DrawnMM && h.FreeMM <= h.DrawnMM+FreeOverMM) {
			faults = append(faults, &HoleError{h.ID, h.FreeMM, h.DrawnMM, h.DrawnMM + FreeOverMM})
		}
	}
	return errors.Join(faults...)
}

// reaches returns a BoundsError for each axis in which the mesh does not reach
// as far as the print. A rail over an edge may be cut away so far that less than
// its height is left.
func (r Report) reaches(p *jig.Print) []error {
	box, top := p.Outline.Bounds(), p.ThicknessMM
	for _, l := range p.Rails {
		top = math.Max(top, l.TopMM)
	}
	for _, m := range p.Marks {
		top = math.Max(top, m.LevelMM)
	}
	want := [3][2]float64{{box.Min.X, box.Max.X}, {box.Min.Y, box.Max.Y}, {0, top}}
	var faults []error
	for k, axis := range []string{"x", "y", "z"} {
		got := [2]float64{r.Min[k], r.Max[k]}
		if k == 2 && r.FormulaMM3 == 0 {
			want[k][1] = math.Min(got[1], top)
		}
		if !(math.Abs(got[0]-want[k][0]) <= SurfaceTolMM && math.Abs(got[1]-want[k][1]) <= SurfaceTolMM) {
			faults = append(faults, &BoundsError{axis, got, want[k], SurfaceTolMM})
		}
	}
	return faults
}

// formulaIfApart returns the volume of a print by formula, 0 when parts overlap
// and it does not hold.
func formulaIfApart(p *jig.Print) (float64, error) {
	d, err := draw(p, false)
	if err != nil {
		return 0, err
	}
	pl, err := plan.New(d.contours, len(d.parts), d.grid.weldUnits())
	if err != nil {
		return 0, fmt.Errorf("solid: %w", err)
	}
	over, err := d.overlaps(pl, p)
	if err != nil || len(over) > 0 {
		return 0, err
	}
	return formula(p), nil
}
