package solid

import (
	"math"
	"slices"

	"reseat/export/solid/cdt"
	"reseat/export/solid/plan"
	"reseat/jig"
	"reseat/jig/geom"
)

// overlaps finds parts that cover the same ground though they should not. Holes
// must be whole: one that meets another void or the plate's edge is an error, as
// is a contour that crosses itself, and a mark that cuts into anything or beyond
// the plate. What rails cover is returned.
func (d *drawing) overlaps(pl *plan.Plan, p *jig.Print) ([]Overlap, error) {
	n := len(d.parts)
	shared := make([]float64, n*n) // mm2 covered by both, at i*n+j with i < j; beyond the outline at i*n+i
	twisted := make([]bool, n)
	marks := map[int][]string{} // by the same place: the marks that are there
	outline := slices.IndexFunc(d.parts, func(p part) bool { return p.role == outlinePart })
	note := func(t *plan.Triangle, i, j int, area float64) {
		shared[i*n+j] += area
		if d.parts[i].role == markPart || d.parts[j].role == markPart {
			a, b, c := d.grid.mm(pl.Points[t.V[0]]), d.grid.mm(pl.Points[t.V[1]]), d.grid.mm(pl.Points[t.V[2]])
			name := markAt(p, a.Add(b).Add(c).Scale(1./3))
			if !slices.Contains(marks[i*n+j], name) {
				marks[i*n+j] = append(marks[i*n+j], name)
			}
		}
	}
	for k := range pl.Triangles {
		t := &pl.Triangles[k]
		w := pl.Faces[t.Face].Winding
		area := float64(cdt.Orient(pl.Points[t.V[0]], pl.Points[t.V[1]], pl.Points[t.V[2]])) / 2 * d.grid.unitMM * d.grid.unitMM
		for i := range n {
			if w[i] == 0 {
				continue
			}
			twisted[i] = twisted[i] || w[i] != 1
			if w[outline] == 0 {
				note(t, i, i, area)
			}
			for j := i + 1; j < n; j++ {
				if w[j] != 0 && d.apart(i, j) {
					note(t, i, j, area)
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
		for j := i; j < n; j++ {
			q, at := d.parts[j], i*n+j
			switch {
			case shared[at] == 0 || i == j && (p.role == footPart || p.role == entryPart):
			case i == j && p.role == railPart:
				over = append(over, Overlap{p.name, "the plate's edge", shared[at]})
			case i == j && p.role == markPart:
				bad.blame(marks[at], "reaches beyond the plate's outline")
			case i == j:
				bad.Problems = append(bad.Problems, Problem{p.name, "reaches beyond the plate's outline"})
			case p.role == markPart:
				bad.blame(marks[at], "cuts into "+q.name)
			case q.role == markPart:
				bad.blame(marks[at], "cuts into "+p.name)
			case q.role == railPart:
				over = append(over, Overlap{q.name, p.name, shared[at]})
			case p.role == railPart:
				over = append(over, Overlap{p.name, q.name, shared[at]})
			default:
				bad.Problems = append(bad.Problems, Problem{p.name, "overlaps " + q.name})
			}
		}
	}
	if bad.Problems != nil {
		return nil, &bad
	}
	return over, nil
}

// blame says the same of several parts.
func (e *InputError) blame(parts []string, says string) {
	for _, p := range parts {
		e.Problems = append(e.Problems, Problem{p, says})
	}
}

// markAt names the mark that covers a place, or comes nearest to it.
func markAt(p *jig.Print, at geom.Vec) string {
	name, least := "", math.Inf(1)
	for _, m := range p.Marks {
		for _, c := range capsules(m) {
			if d := c.distance(at); d < least {
				name, least = "mark "+m.Says, d
			}
		}
	}
	return name
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
		return p == railPart || q == railPart || p == markPart || q == markPart
	case p == markPart && q == markPart:
		return false
	}
	return true
}
