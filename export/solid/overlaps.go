package solid

import (
	"fmt"

	"reseat/export/solid/cdt"
	"reseat/export/solid/plan"
)

// overlaps finds parts that cover the same ground though they should not. Holes
// must be whole: one that meets another void or the plate's edge is an error, as
// is a contour that crosses itself. What rails cover is returned.
func (d *drawing) overlaps(pl *plan.Plan) ([]Overlap, error) {
	n := len(d.parts)
	shared := make([]float64, n*n) // mm2 covered by both, at i*n+j with i < j
	outside := make([]float64, n)  // mm2 beyond the outline
	twisted := make([]bool, n)
	outline := -1
	for i, p := range d.parts {
		if p.role == outlinePart {
			outline = i
		}
	}
	for _, t := range pl.Triangles {
		w := pl.Faces[t.Face].Winding
		area := float64(cdt.Orient(pl.Points[t.V[0]], pl.Points[t.V[1]], pl.Points[t.V[2]])) / 2 * d.grid.unitMM * d.grid.unitMM
		for i := range n {
			if w[i] == 0 {
				continue
			}
			twisted[i] = twisted[i] || w[i] != 1
			if w[outline] == 0 {
				outside[i] += area
			}
			for j := i + 1; j < n; j++ {
				if w[j] != 0 && d.apart(i, j) {
					shared[i*n+j] += area
				}
			}
		}
	}
	var bad InputError
	var over []Overlap
	for i, p := range d.parts {
		if twisted[i] {
			bad.Problems = append(bad.Problems, Problem{p.name, "crosses itself"})
		}
		if outside[i] > 0 && p.role != footPart && p.role != entryPart {
			if p.role == railPart {
				over = append(over, Overlap{p.name, "the plate's edge", outside[i]})
			} else {
				bad.Problems = append(bad.Problems, Problem{p.name, "reaches beyond the plate's outline"})
			}
		}
		for j := i + 1; j < n; j++ {
			if shared[i*n+j] == 0 {
				continue
			}
			switch q := d.parts[j]; {
			case q.role == railPart:
				over = append(over, Overlap{q.name, p.name, shared[i*n+j]})
			case p.role == railPart:
				over = append(over, Overlap{p.name, q.name, shared[i*n+j]})
			default:
				bad.Problems = append(bad.Problems, Problem{p.name, fmt.Sprintf("overlaps %s", q.name)})
			}
		}
	}
	if bad.Problems != nil {
		return nil, &bad
	}
	return over, nil
}

// apart reports whether loops i < j should not cover the same ground, as far as
// it is not known already: chamfers have been held against each other and against other
// voids before (crowded).
func (d *drawing) apart(i, j int) bool {
	p, q := d.parts[i].role, d.parts[j].role
	switch {
	case p == outlinePart || q == outlinePart || p == footPart || q == footPart:
		return false
	case p == entryPart || q == entryPart:
		return p == railPart || q == railPart
	}
	return true
}
