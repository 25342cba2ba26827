package dxfread

import (
	"math"
	"regexp"
	"slices"
	"strings"

	"reseat/jig/geom"
)

// annotations are the kinds that describe a drawing and are no part of its contours.
var annotations = []string{"TEXT", "MTEXT", "ATTDEF", "DIMENSION", "ARC_DIMENSION", "LARGE_RADIAL_DIMENSION", "LEADER",
	"MULTILEADER", "TOLERANCE", "POINT", "HATCH", "VIEWPORT", "IMAGE", "WIPEOUT", "PDFUNDERLAY", "ACAD_TABLE"}

// shape gives an entity its edges, at most about the given number of them. Curves stay within tol, in the file's unit.
func (e *raw) shape(out *Entity, tol float64, most int) {
	facing := shifted(geom.Vec{})
	out.At = e.somewhere()
	switch e.kind {
	case "LINE": // its ends are in the drawing's own axes, whatever its extrusion; so are 3D polylines, ellipses, splines
		out.Edges = []geom.Edge{{P: e.point(10, "start"), Q: e.point(11, "end")}}
		e.level(tol, 30, 31)
	case "CIRCLE":
		out.Edges, facing = arc(e.point(10, "centre"), e.radius(), 0, 2*math.Pi), e.facing()
	case "ARC":
		start, end := e.need(50, "start angle"), e.need(51, "end angle")
		sweep := math.Mod(end-start, 360)
		if sweep <= 0 {
			sweep += 360
		}
		c, r := e.point(10, "centre"), e.radius()
		out.Edges, facing = arc(c, r, start*math.Pi/180, sweep*math.Pi/180), e.facing()
	case "LWPOLYLINE":
		out.Edges, facing = e.polyline(e.tags), e.facing()
	case "POLYLINE":
		out.Edges = e.oldPolyline(tol)
		if e.whole(70)&is3D == 0 {
			facing = e.facing()
		}
	case "ELLIPSE":
		out.Edges = e.ellipse(tol, most)
	case "SPLINE":
		out.Edges = e.spline(out, tol, most)
	case "TEXT":
		e.writing(out)
		facing = e.facing()
	case "MTEXT":
		e.writing(out)
	default:
		out.Annotation = slices.Contains(annotations, e.kind)
		e.wrong("%s is none of the kinds that contours are read from", e.kind)
	}
	if out.Problem = e.fault; out.Problem != "" {
		out.Edges = nil
	}
	if len(out.Edges) > 0 {
		out.At = out.Edges[0].P
	}
	facing.place(out)
}

// somewhere returns the entity's first point, where it has one that can be read.
func (e *raw) somewhere() geom.Vec {
	p := geom.Vec{X: e.number(10, 0), Y: e.number(20, 0)}
	e.fault = ""
	return p
}

func (e *raw) point(code int, what string) geom.Vec {
	return geom.Vec{X: e.need(code, what), Y: e.need(code+10, what)}
}

func (e *raw) radius() float64 {
	r := e.need(40, "radius")
	if r <= 0 {
		e.wrong("its radius is %g", r)
	}
	return r
}

// flat is how far from upright an extrusion may point, and how far apart heights may lie as a share of the tolerance's
// size: the rounding of programs that write six decimals.
const flat = 1e-6

// facing returns how an entity lies whose coordinates are its own plane's: as drawn, or seen from behind with x turned
// about (extrusion 0, 0, -1). Any other plane is a fault.
func (e *raw) facing() affine {
	x, y, z := e.number(210, 0), e.number(220, 0), e.number(230, 1)
	if math.Hypot(x, y) > flat*math.Abs(z) || z == 0 {
		e.wrong("it lies in a tilted plane (extrusion %g, %g, %g)", x, y, z)
	}
	if z < 0 {
		return affine{a: -1, d: 1}
	}
	return affine{a: 1, d: 1}
}

// level makes heights that differ by more than tol a fault.
func (e *raw) level(tol float64, codes ...int) {
	lowest, highest := math.Inf(1), math.Inf(-1)
	for _, t := range e.tags {
		if slices.Contains(codes, t.code) {
			z := e.value(t)
			lowest, highest = min(lowest, z), max(highest, z)
		}
	}
	if highest-lowest > tol {
		e.wrong("it is not level: its Z goes from %g to %g", lowest, highest)
	}
}

// arc returns an arc as edges of half a circle at most, so that no bulge exceeds 1.
func arc(c geom.Vec, r, start, sweep float64) []geom.Edge {
	const room = 1e-12 // rad: a half circle in degrees is not cut for its last digit
	n := int(math.Ceil(math.Abs(sweep)/math.Pi - room))
	b := math.Tan(sweep / 4 / float64(n))
	at := func(i int) geom.Vec {
		if i == n && math.Abs(math.Abs(sweep)-2*math.Pi) < room {
			i = 0
		}
		return c.Add(geom.Polar(r, start+sweep*float64(i)/float64(n)))
	}
	out := make([]geom.Edge, n)
	for i := range out {
		out[i] = geom.Edge{P: at(i), Q: at(i + 1), Bulge: min(1, max(-1, b))}
	}
	return out
}

// bulged appends the edge from p to q, as two where its arc is more than half a circle.
func bulged(out []geom.Edge, p, q geom.Vec, bulge float64) []geom.Edge {
	if p == q {
		return append(out, geom.Edge{P: p, Q: q})
	}
	if math.Abs(bulge) <= 1 {
		return append(out, geom.Edge{P: p, Q: q, Bulge: bulge})
	}
	mid := geom.Edge{P: p, Q: q, Bulge: bulge}.Arc().At(0.5)
	half := math.Tan(math.Atan(bulge) / 2)
	return append(out, geom.Edge{P: p, Q: mid, Bulge: half}, geom.Edge{P: mid, Q: q, Bulge: half})
}

// The bits of a polyline's flag and of its vertices' (DXF Reference, POLYLINE and VERTEX, code 70).
const (
	isClosed     = 1
	is3D         = 8
	isMesh       = 16 | 64 // polygon mesh, polyface
	frameControl = 16      // of a vertex: control point of the curve, not on it
)

// polyline returns the edges through the vertices of the tags: codes 10, 20 and the bulge 42 of the edge that leaves.
func (e *raw) polyline(tags []tag) []geom.Edge {
	var v []geom.Vertex
	for _, t := range tags {
		switch {
		case t.code == 10:
			v = append(v, geom.Vertex{Vec: geom.Vec{X: e.value(t), Y: math.NaN()}})
		case t.code == 20 && len(v) > 0:
			v[len(v)-1].Y = e.value(t)
		case t.code == 42 && len(v) > 0:
			v[len(v)-1].Bulge = e.value(t)
		}
	}
	for i := range v {
		if math.IsNaN(v[i].Y) {
			e.wrong("vertex %d has no y (code 20)", i+1)
			return nil
		}
	}
	if len(v) < 2 {
		e.wrong("it has fewer than two vertices")
		return nil
	}
	out := make([]geom.Edge, 0, len(v))
	for i := range len(v) - 1 {
		out = bulged(out, v[i].Vec, v[i+1].Vec, v[i].Bulge)
	}
	if last := v[len(v)-1]; e.whole(70)&isClosed != 0 && last.Vec != v[0].Vec {
		out = bulged(out, last.Vec, v[0].Vec, last.Bulge)
	}
	return out
}

// oldPolyline returns the edges of a POLYLINE: after its own tags come those of each vertex, a tag 0 before them.
func (e *raw) oldPolyline(tol float64) []geom.Edge {
	if e.whole(70)&isMesh != 0 {
		e.wrong("it is a mesh, no outline")
	}
	var kept []tag // of the vertices that lie on the curve
	for rest := e.tags; ; {
		i := slices.IndexFunc(rest, func(t tag) bool { return t.code == 0 })
		if i < 0 {
			break
		}
		n := slices.IndexFunc(rest[i+1:], func(t tag) bool { return t.code == 0 })
		if n < 0 {
			n = len(rest) - i - 1
		}
		v := raw{tags: rest[i+1 : i+1+n]}
		if v.whole(70)&frameControl == 0 {
			kept = append(kept, v.tags...)
		}
		rest = rest[i+1+n:]
	}
	if e.whole(70)&is3D != 0 {
		v := raw{tags: kept}
		v.level(tol, 30)
		if v.fault != "" {
			e.wrong("%s", v.fault)
		}
	}
	return e.polyline(kept)
}

// longestText is how much of a text is read, bytes, at the least: it is to name a hole.
const longestText = 1000

// writing reads a text and where it stands: at its second point where it is aligned.
func (e *raw) writing(out *Entity) {
	var s strings.Builder
	for _, t := range e.tags {
		if (t.code == 1 || t.code == 3) && s.Len() < longestText {
			s.WriteString(t.value[:min(len(t.value), longestText)])
		}
	}
	out.Annotation = true
	out.Text = strings.TrimSpace(plain(formatting.ReplaceAllString(s.String(), "")))
	if _, ok := e.text(11); ok && e.kind == "TEXT" && (e.whole(72) != 0 || e.whole(73) != 0) {
		out.At = e.point(11, "second point")
	}
}

// formatting are the codes of a text's look: \fArial|b0;, \H2.5;, \P, \L, %%u and braces.
var formatting = regexp.MustCompile(`\\[ACFHQTWfp][^;\\]*;|\\[LlOoKkP~]|[{}]|%%[uoUO]`)
