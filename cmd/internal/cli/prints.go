package cli

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"sync"

	"reseat/export"
	"reseat/export/picture"
	"reseat/export/record"
	"reseat/export/solid"
	"reseat/export/solid/threemf"
	"reseat/export/solid/view"
	"reseat/jig"
	"reseat/jig/geom"
)

// printed is a part of the plate with its body.
type printed struct {
	part  *jig.Print
	solid *solid.Solid
}

// buildPrints meshes every part, side by side.
func buildPrints(d *jig.Design) ([]printed, error) {
	out := make([]printed, len(d.Parts))
	errs := make([]error, len(d.Parts))
	var wg sync.WaitGroup
	for i := range d.Parts {
		wg.Go(func() {
			out[i].part = &d.Parts[i]
			out[i].solid, errs[i] = solid.Build(out[i].part)
			var mesh *solid.MeshError
			if errors.As(errs[i], &mesh) && len(out[i].part.Marks) > 0 {
				// A mark is a help and no measure: a part without is better than none.
				plain := *out[i].part
				plain.Marks = nil
				out[i].part = &plain
				out[i].solid, errs[i] = solid.Build(&plain)
			}
		})
	}
	wg.Wait()
	for i, err := range errs {
		if err != nil {
			return nil, fmt.Errorf("%s: %w", d.Parts[i].File, err)
		}
	}
	return out, nil
}

// readBack reads every printed part's file again as any program would, and returns the
// design with a rule that tells what was found.
func readBack(d *jig.Design, b *export.Bundle, all []printed, bodies map[string]record.Body) *jig.Design {
	if len(all) == 0 {
		return d
	}
	reports := make([]solid.Report, len(all))
	errs := make([]error, len(all))
	var wg sync.WaitGroup
	for i, p := range all {
		wg.Go(func() { reports[i], errs[i] = solid.ReadBack(b.Data(p.part.File), p.part) })
	}
	wg.Wait()
	rule := jig.Rule{ID: "print-read-back", Level: jig.Pass, Limit: solid.FreeOverMM, Unit: "mm"}
	var says []string
	for i, p := range all {
		r := reports[i]
		bodies[p.part.File] = bodyOf(r)
		if errs[i] != nil {
			rule.Level = jig.Fail
			says = append(says, fmt.Sprintf("%s: %v", p.part.File, errs[i]))
			continue
		}
		for _, h := range r.Holes {
			rule.Value = math.Max(rule.Value, h.FreeMM-h.DrawnMM)
		}
		says = append(says, fmt.Sprintf("%s read again: closed, %d facets, %.1f cm3, every pin hole free", p.part.File, r.Facets, r.VolumeMM3/1000))
	}
	rule.Says = strings.Join(says, "; ")
	out := *d
	out.Rules = append(slices.Clone(d.Rules), rule)
	return &out
}

func bodyOf(r solid.Report) record.Body {
	b := record.Body{
		Facets: r.Facets, Shells: r.Shells, VolumeMM3: r.VolumeMM3, FormulaMM3: r.FormulaMM3,
		Closed: r.Facets > 0 && r.OpenEdges == 0 && r.CrowdedEdges == 0 && r.FlippedEdges == 0,
	}
	for k := range b.SizeMM {
		b.SizeMM[k] = r.Max[k] - r.Min[k]
	}
	for _, h := range r.Holes {
		b.Holes = append(b.Holes, record.BodyHole(h))
	}
	return b
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
	if len(parts) == 1 {
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

// write3MF puts all parts into one file, side by side as they are put together.
func write3MF(w io.Writer, d *jig.Design, all []printed) error {
	var parts []threemf.Part
	for _, p := range all {
		q := threemf.Part{Name: strings.TrimSuffix(p.part.File, ".stl"), Mesh: p.solid.Mesh}
		if len(all) > 1 {
			at := explode(d, p.part)
			q.X, q.Y = at.X, at.Y
		}
		parts = append(parts, q)
	}
	return threemf.Write(w, parts, d.Title)
}
