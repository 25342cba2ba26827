package outputs

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"

	"reseat/export/picture"
	"reseat/export/record"
	"reseat/export/solid"
	"reseat/export/solid/threemf"
	"reseat/export/solid/view"
	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/units"
)

// meshedPart is a part of the plate with its body.
type meshedPart struct {
	part  *jig.Print
	solid *solid.Solid
}

// prints are the plate's parts and the wedges that are printed with them.
func prints(d *jig.Design) []jig.Print { return slices.Concat(d.Parts, d.Wedges) }

// buildPrints meshes every part, side by side.
func buildPrints(d *jig.Design) ([]meshedPart, error) {
	all := prints(d)
	out := make([]meshedPart, len(all))
	errs := make([]error, len(all))
	var wg sync.WaitGroup
	for i := range all {
		wg.Go(func() {
			out[i].part = &all[i]
			if out[i].solid, errs[i] = solid.Build(out[i].part); errs[i] != nil {
				errs[i] = fmt.Errorf("%s: %w", all[i].File, errs[i])
			}
		})
	}
	wg.Wait()
	return out, errors.Join(errs...)
}

// bodies states what each part's file holds.
func bodies(all []meshedPart) map[string]record.Body {
	out := map[string]record.Body{}
	for _, p := range all {
		r := p.solid.Report
		b := record.Body{Facets: r.Facets, VolumeMM3: units.Round(r.VolumeMM3, 1)}
		for k := range b.SizeMM {
			b.SizeMM[k] = r.Max[k] - r.Min[k]
		}
		for _, h := range r.Holes {
			b.Holes = append(b.Holes, record.BodyHole(h))
		}
		out[p.part.File] = b
	}
	return out
}

// partGapMM is how far the parts of a split plate are drawn apart.
const partGapMM = 20.0

// platePicture draws the parts as they are put together, a gap at every seam.
func platePicture(d *jig.Design) *picture.Picture {
	parts := make([]view.Part, len(d.Parts))
	for i := range d.Parts {
		parts[i] = view.Part{Print: &d.Parts[i], At: explode(d, &d.Parts[i])}
	}
	caption := fmt.Sprintf("%s, %d parts", d.Title, len(parts))
	// Wedges beside the last part.
	last := parts[len(parts)-1]
	beside := last.At.Add(geom.Vec{X: last.Print.Outline.Bounds().Max.X + partGapMM})
	for i := range d.Wedges {
		parts = append(parts, view.Part{Print: &d.Wedges[i], At: beside})
		beside.Y += d.Wedges[i].Outline.Bounds().Size().Y + partGapMM/2
	}
	if len(d.Parts) == 1 {
		size := d.Parts[0].Outline.Bounds().Size()
		caption = fmt.Sprintf("%s, %.1f x %.1f x %.1f mm", d.Title, size.X, size.Y, view.HeightMM(&d.Parts[0]))
	}
	return view.Draw(parts, caption)
}

// explode places a part of the plate where it belongs, moved from the start end by a
// gap for every seam before it. All parts are laid out the same way round.
func explode(d *jig.Design, p *jig.Print) geom.Vec {
	if d.Split == nil {
		return geom.Vec{}
	}
	seams := 0
	middle := p.Place.Inverse().Apply(p.Outline.Bounds().Center())
	for _, u := range d.Split.SeamsMM {
		if u < middle.X {
			seams++
		}
	}
	// The part's origin of the datum line goes to where the first part has it.
	along := geom.Rigid{Angle: p.Place.Angle}.Apply(geom.Vec{X: partGapMM * float64(seams)})
	return d.Parts[0].Origin.Sub(p.Origin).Add(along)
}

// printRun is a run of the printer with its file.
type printRun struct {
	run  int
	name string
}

// runsOf are the runs that the parts take, or a single one, 0, when the job names no
// printer.
func runsOf(d *jig.Design) []printRun {
	if len(d.Parts) == 0 {
		return nil // glued in a plate from sheet, nothing is printed
	}
	last := 0
	for _, p := range prints(d) {
		last = max(last, p.Run)
	}
	if last <= 1 {
		return []printRun{{last, "template.3mf"}}
	}
	var out []printRun
	for r := range last {
		out = append(out, printRun{r + 1, fmt.Sprintf("template-run-%d.3mf", r+1)})
	}
	return out
}

// write3MF puts the parts of a run into one file, as they lie on the printer's bed.
func write3MF(w io.Writer, d *jig.Design, all []meshedPart, run int) error {
	var parts []threemf.Part
	copies := map[string]int{}
	for _, p := range all {
		name := strings.TrimSuffix(p.part.File, ".stl")
		if copies[name]++; copies[name] > 1 { // a wedge like another
			name = fmt.Sprintf("%s (%d)", name, copies[name])
		}
		if p.part.Run == run {
			parts = append(parts, threemf.Part{Name: name, Mesh: p.solid.Mesh, X: p.part.OnBed.X, Y: p.part.OnBed.Y})
		}
	}
	return threemf.Write(w, parts, d.Title)
}
