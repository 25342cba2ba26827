package dxf

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"reseat/jig"
	"reseat/jig/geom"
)

// Limits of what is written. Rule numbers are those of the project's rules for
// cut files.
const (
	// MinSegmentMM is the shortest line or arc: below it lie only strays and
	// rounding, and a laser would dwell (rule A10). Common practice, no source.
	MinSegmentMM = 0.02

	// maxCoordMM is beyond every sheet and every machine; a larger figure is a
	// slip of units. Our own.
	maxCoordMM = 1e5

	// maxKerfMM is wider than any beam or slotting saw; a larger figure is a slip.
	// Our own; published kerfs of acrylic end at 0.45 mm.
	maxKerfMM = 10

	// maxBulge is a half circle. Some readers refuse more (rule A12). The slack is
	// for tan(pi/4), which falls an ulp short of or beyond 1.
	maxBulge   = 1
	bulgeSlack = 1e-12

	// sameMM is how far apart the centres or radii of arcs may lie that together
	// make one circle: three roundings of coordinates.
	sameMM = 3e-6
)

// layerName is what every reader takes, R12 included (rule A15).
var layerName = regexp.MustCompile(`^[A-Z0-9_-]{1,31}$`)

// Prefixes of layers that are not cut; notePrefix marks layers that hold nothing
// and speak by their name.
const (
	guidePrefix = "GUIDE-"
	markPrefix  = "MARK-"
	notePrefix  = "NOTE-"
)

// isGuide reports whether a layer of that name is left uncut.
func isGuide(name string) bool {
	return strings.HasPrefix(name, guidePrefix) || strings.HasPrefix(name, markPrefix)
}

// checker collects faults.
type checker struct {
	faults []Fault
	edges  map[string]int // cut edges seen, canonical, to the shape that has them
}

func (c *checker) add(shape int, layer, format string, args ...any) {
	c.faults = append(c.faults, Fault{shape, layer, fmt.Sprintf(format, args...)})
}

// prepare checks a sheet and returns its shapes rounded as they will be written.
func prepare(s *jig.CutSheet) ([]jig.Shape, error) {
	c := checker{edges: map[string]int{}}
	c.sheet(s)
	cut := c.layers(s.Layers)
	shapes := make([]jig.Shape, len(s.Shapes))
	for i, sh := range s.Shapes {
		isCut, known := cut[sh.Layer]
		if !known {
			c.add(i, sh.Layer, "is not in the sheet's list of layers")
		}
		shapes[i] = c.shape(i, sh, isCut)
	}
	if len(c.faults) > 0 {
		return nil, &SheetError{s.File, c.faults}
	}
	return shapes, nil
}

func (c *checker) sheet(s *jig.CutSheet) {
	for _, r := range s.File {
		if r < ' ' || r > '~' {
			c.add(-1, "", "file name %q holds signs other than plain ASCII", s.File)
			break
		}
	}
	if !(s.KerfMM >= 0 && s.KerfMM <= maxKerfMM) {
		c.add(-1, "", "kerf %g mm is not between 0 and %d mm", s.KerfMM, maxKerfMM)
	}
	if len(s.Shapes) == 0 {
		c.add(-1, "", "the sheet holds no shapes")
	}
}

// layers checks the table of layers and returns which are cut.
func (c *checker) layers(layers []jig.Layer) map[string]bool {
	cut := map[string]bool{}
	colour := map[int]string{}
	for _, l := range layers {
		switch {
		case !layerName.MatchString(l.Name):
			c.add(-1, l.Name, "a name is 1 to 31 of A-Z 0-9 _ -")
		case l.Name == "0" || l.Name == "DEFPOINTS" || strings.HasPrefix(l.Name, notePrefix):
			c.add(-1, l.Name, "the name is taken for another use")
		case l.Cut && isGuide(l.Name):
			c.add(-1, l.Name, "%s and %s are for layers that are not cut", guidePrefix, markPrefix)
		case !l.Cut && !isGuide(l.Name):
			c.add(-1, l.Name, "a layer that is not cut starts with %s or %s", guidePrefix, markPrefix)
		}
		if _, twice := cut[l.Name]; twice {
			c.add(-1, l.Name, "is listed twice")
		}
		cut[l.Name] = l.Cut
		if l.Colour < 1 || l.Colour > 7 {
			c.add(-1, l.Name, "colour %d is not one of 1 to 7", l.Colour)
		} else if other, taken := colour[l.Colour]; taken && !(strings.HasPrefix(l.Name, guidePrefix) && strings.HasPrefix(other, guidePrefix)) {
			// Guides may look alike: nothing is done with any of them.
			c.add(-1, l.Name, "has the colour %d of layer %s; programs that see only colours could not tell them apart", l.Colour, other)
		}
		colour[l.Colour] = l.Name
	}
	return cut
}

func (c *checker) shape(i int, sh jig.Shape, cut bool) jig.Shape {
	if sh.R != 0 || len(sh.Loop) == 0 && !sh.Open {
		return c.circle(i, sh, cut)
	}
	return c.loop(i, sh, cut)
}

// usable reports whether a coordinate or radius can be written at all.
func usable(xs ...float64) bool {
	for _, x := range xs {
		if !(math.Abs(x) <= maxCoordMM) { // catches NaN too
			return false
		}
	}
	return true
}

func (c *checker) circle(i int, sh jig.Shape, cut bool) jig.Shape {
	out := jig.Shape{Layer: sh.Layer, Center: coords(sh.Center), R: coord(sh.R)}
	switch {
	case !usable(sh.Center.X, sh.Center.Y, sh.R):
		c.add(i, sh.Layer, "circle at (%g, %g) of radius %g mm: not a number, or beyond %g mm", sh.Center.X, sh.Center.Y, sh.R, float64(maxCoordMM))
		return out
	case len(sh.Loop) > 0 || sh.Open:
		c.add(i, sh.Layer, "is a circle and a loop at once")
	case out.R < MinSegmentMM:
		c.add(i, sh.Layer, "circle of radius %g mm is below %g mm", sh.R, MinSegmentMM)
	}
	if cut {
		c.once(i, sh.Layer, fmt.Sprintf("circle %f %f %f", out.Center.X, out.Center.Y, out.R))
	}
	return out
}

func (c *checker) loop(i int, sh jig.Shape, cut bool) jig.Shape {
	out := jig.Shape{Layer: sh.Layer, Open: sh.Open, Loop: make(geom.Loop, len(sh.Loop))}
	for k, v := range sh.Loop {
		if !usable(v.X, v.Y) || math.IsNaN(v.Bulge) || math.IsInf(v.Bulge, 0) {
			c.add(i, sh.Layer, "vertex %d at (%g, %g), bulge %g: not a number, or beyond %g mm", k, v.X, v.Y, v.Bulge, float64(maxCoordMM))
			return out
		}
		out.Loop[k] = geom.Vertex{Vec: coords(v.Vec), Bulge: roundTo(v.Bulge, bulgeDecimals)}
	}
	n := len(out.Loop)
	edges := n
	if sh.Open {
		edges = n - 1
		if cut {
			c.add(i, sh.Layer, "an open stroke on a layer that is cut")
		}
		if n > 0 {
			out.Loop[n-1].Bulge = 0 // no edge leaves the last vertex
		}
	}
	if n < 2 {
		c.add(i, sh.Layer, "has %d vertices", n)
		return out
	}
	sound := true
	for k := range edges {
		e := out.Loop.Edge(k)
		switch length := e.P.Dist(e.Q); {
		case math.Abs(e.Bulge) > maxBulge+bulgeSlack:
			c.add(i, sh.Layer, "bulge %g at vertex %d is more than a half circle", e.Bulge, k)
			sound = false
		case length == 0, e.Length() < MinSegmentMM:
			c.add(i, sh.Layer, "segment at vertex %d (%.6f, %.6f) is %.6f mm long, below %g mm", k, e.P.X, e.P.Y, length, MinSegmentMM)
			sound = false
		case cut:
			c.once(i, sh.Layer, edgeKey(e))
		}
	}
	if !sh.Open && sound {
		if math.Abs(out.Loop.Area()) < MinSegmentMM*MinSegmentMM {
			c.add(i, sh.Layer, "encloses nothing")
		} else if isCircle(out.Loop) {
			c.add(i, sh.Layer, "is a full circle: give its centre and radius (rule A12)")
		}
	}
	return out
}

// once reports an edge that was seen before: it would be cut twice (rule A09).
func (c *checker) once(i int, layer, key string) {
	if first, twice := c.edges[key]; twice {
		c.add(i, layer, "repeats a line, arc or circle of shape %d", first)
		return
	}
	c.edges[key] = i
}

// edgeKey is the same for an edge and for the same edge run backwards.
func edgeKey(e geom.Edge) string {
	if e.P.X > e.Q.X || e.P.X == e.Q.X && e.P.Y > e.Q.Y {
		e.P, e.Q, e.Bulge = e.Q, e.P, 0-e.Bulge // not -e.Bulge, which makes -0 of 0
	}
	return fmt.Sprintf("edge %f %f %f %f %f", e.P.X, e.P.Y, e.Q.X, e.Q.Y, e.Bulge)
}

// isCircle reports whether arcs of one centre and radius close the loop.
func isCircle(l geom.Loop) bool {
	var first geom.Arc
	for k := range l {
		e := l.Edge(k)
		if !e.IsArc() {
			return false
		}
		a := e.Arc()
		if k == 0 {
			first = a
		} else if a.C.Dist(first.C) > sameMM || math.Abs(a.R-first.R) > sameMM || a.Sweep*first.Sweep < 0 {
			return false
		}
	}
	return true
}
