package seat

import "reseat/jig/geom"

// check refuses outlines that the half-space form of a nest does not describe.
func (n Nest) check() error {
	for _, o := range []struct {
		which string
		pts   []geom.Vec
	}{{"window", n.Window}, {"board", n.Board}} {
		if err := checkOutline(o.which, o.pts); err != nil {
			return err
		}
	}
	for _, w := range n.Push {
		if w < 0 || int(w) >= len(n.Window) {
			return &InputError{"pushed wall", float64(w), "the index of a window edge"}
		}
	}
	if len(n.Push) > 0 && n.load().Norm() < leastLoad {
		return &OutlineError{"window", -1, "is pushed against walls that face each other; push against one of them"}
	}
	return nil
}

// leastLoad is the sum of unit pushes below which they cancel: walls within half
// a degree of facing each other.
const leastLoad = 0.01

// flatEps bounds, relative to the product of two neighbouring edges, how far a
// corner may turn inward before the outline is called concave: a straight
// corner of computed points turns by rounding only.
const flatEps = 1e-9

func checkOutline(which string, pts []geom.Vec) error {
	if len(pts) < 3 {
		return &OutlineError{which, -1, "has fewer than three corners"}
	}
	for i, p := range pts {
		if !finite(p.X, p.Y) {
			return &OutlineError{which, i, "is not a finite point below 100 m"}
		}
	}
	var area float64
	n := len(pts)
	for i := range pts {
		a, b, c := pts[i], pts[(i+1)%n], pts[(i+2)%n]
		in, next := b.Sub(a), c.Sub(b)
		if in.Norm() == 0 {
			return &OutlineError{which, (i + 1) % n, "repeats the corner before it"}
		}
		if in.Cross(next) < -flatEps*in.Norm()*next.Norm() {
			return &OutlineError{which, (i + 1) % n, "turns inward; the outline must be convex and counter-clockwise"}
		}
		area += a.Sub(pts[0]).Cross(in) / 2
	}
	if area <= 0 {
		return &OutlineError{which, -1, "encloses no area, or is not counter-clockwise"}
	}
	return nil
}
