package dxf

import (
	"reseat/jig"
	"reseat/jig/geom"
)

// entity reads one entity and judges it as Write would.
func (r *reader) entity(rec []tag) error {
	var (
		s   jig.Shape
		err error
	)
	switch rec[0].value {
	case "CIRCLE":
		s, err = circle(rec)
	case "LWPOLYLINE":
		s, err = polyline(rec)
	default:
		return bad(rec[0], "%.40s: only CIRCLE and LWPOLYLINE are written", rec[0].value)
	}
	if err != nil {
		return err
	}
	s.Layer = first(rec, 8)
	if !r.layers[s.Layer] {
		return bad(rec[0], "layer %.40q has no table entry", s.Layer)
	}
	c := checker{edges: map[string]int{}}
	if c.shape(len(r.d.Shapes), s, !isGuide(s.Layer)); len(c.faults) > 0 {
		return bad(rec[0], "%s", c.faults[0].Reason)
	}
	r.d.Shapes = append(r.d.Shapes, s)
	return nil
}

// common reports whether the group belongs to every entity: handle, owner, class
// markers and layer.
func common(t tag) bool {
	return t.code == 5 || t.code == 330 || t.code == 100 || t.code == 8
}

func circle(rec []tag) (s jig.Shape, err error) {
	seen := map[int]bool{}
	for _, t := range rec[1:] {
		if common(t) {
			continue
		}
		if seen[t.code] {
			return s, bad(t, "group %d stands twice", t.code)
		}
		seen[t.code] = true
		x, err := number(t)
		if err != nil {
			return s, err
		}
		want := x // anything
		switch t.code {
		case 10:
			s.Center.X = x
		case 20:
			s.Center.Y = x
		case 40:
			s.R = x
		case 30, 210, 220:
			want = 0
		case 230:
			want = 1
		default:
			return s, bad(t, "group %d on a CIRCLE", t.code)
		}
		if x != want {
			return s, bad(t, "group %d is %g, want %g: flat and facing up", t.code, x, want)
		}
	}
	if !seen[10] || !seen[20] || !seen[40] || s.R == 0 {
		return s, bad(rec[0], "CIRCLE without centre or radius")
	}
	return s, nil
}

func polyline(rec []tag) (s jig.Shape, err error) {
	count, closed := -1, -1
	for _, t := range rec[1:] {
		n := len(s.Loop)
		switch {
		case common(t):
		case t.code == 90:
			if count, err = whole(t); err != nil {
				return s, err
			}
		case t.code == 70:
			if closed, err = whole(t); err != nil {
				return s, err
			}
		case t.code == 10:
			x, err := number(t)
			if err != nil {
				return s, err
			}
			s.Loop = append(s.Loop, geom.Vertex{Vec: geom.Vec{X: x}})
		case t.code == 20 && n > 0:
			if s.Loop[n-1].Y, err = number(t); err != nil {
				return s, err
			}
		case t.code == bulgeCode && n > 0:
			if s.Loop[n-1].Bulge, err = number(t); err != nil {
				return s, err
			}
		default:
			return s, bad(t, "group %d on an LWPOLYLINE", t.code)
		}
	}
	if count != len(s.Loop) {
		return s, bad(rec[0], "LWPOLYLINE says %d vertices and has %d", count, len(s.Loop))
	}
	if closed != 0 && closed != 1 {
		return s, bad(rec[0], "LWPOLYLINE with flags %d, want 1 (closed) or 0", closed)
	}
	s.Open = closed == 0
	return s, nil
}
