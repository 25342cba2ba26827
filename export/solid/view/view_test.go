package view

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"reseat/export/solid"
	"reseat/export/solid/internal/boxtest"
)

// cuboid stands with a corner in the origin.
func cuboid(x, y, z float32) *solid.Mesh {
	v, f := boxtest.Box(x, y, z)
	return &solid.Mesh{Vertices: v, Facets: f}
}

// prism stands on z = 0 over a counter-clockwise polygon that is star-shaped from
// its first corner.
func prism(h float32, xy ...[2]float32) *solid.Mesh {
	m := &solid.Mesh{}
	n := int32(len(xy))
	for _, p := range xy {
		m.Vertices = append(m.Vertices, [3]float32{p[0], p[1], 0})
	}
	for _, p := range xy {
		m.Vertices = append(m.Vertices, [3]float32{p[0], p[1], h})
	}
	for i := range n {
		j := (i + 1) % n
		m.Facets = append(m.Facets, [3]int32{i, j, n + j}, [3]int32{i, n + j, n + i})
		if i > 0 && j > 0 {
			m.Facets = append(m.Facets, [3]int32{0, j, i}, [3]int32{n, n + i, n + j})
		}
	}
	return m
}

// step has an inner corner whose far side faces away.
func step() *solid.Mesh {
	return prism(10, [2]float32{10, 10}, [2]float32{0, 10}, [2]float32{0, 0}, [2]float32{30, 0}, [2]float32{30, 25}, [2]float32{10, 25})
}

// page is an SVG as encoding/xml reads it.
type page struct {
	width, height float64
	lines         []line   // stroked black, y down
	widths        []string // stroke width of each line
	fills         int
	text          string
	size          float64 // of the text
}

// read parses a picture and refuses what is not well formed, and any path that is
// not plain M, numbers and Z.
func read(t testing.TB, svg []byte) page {
	t.Helper()
	var p page
	dec := xml.NewDecoder(bytes.NewReader(svg))
	inText := false
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			return p
		}
		if err != nil {
			t.Fatal(err)
		}
		switch tok := tok.(type) {
		case xml.EndElement:
			inText = false
		case xml.CharData:
			if inText {
				p.text += string(tok)
			}
		case xml.StartElement:
			attr := map[string]string{}
			for _, a := range tok.Attr {
				attr[a.Name.Local] = a.Value
			}
			switch tok.Name.Local {
			case "svg":
				p.width, p.height = number(t, strings.TrimSuffix(attr["width"], "mm")), number(t, strings.TrimSuffix(attr["height"], "mm"))
				if !strings.HasSuffix(attr["width"], "mm") || !strings.HasSuffix(attr["height"], "mm") ||
					attr["viewBox"] != "0 0 "+strings.TrimSuffix(attr["width"], "mm")+" "+strings.TrimSuffix(attr["height"], "mm") {
					t.Errorf("page %v", attr)
				}
			case "path":
				if attr["fill"] != "" {
					p.fills++
				}
				for _, l := range strings.Split(attr["d"], "M")[1:] {
					closed := strings.HasSuffix(l, "Z")
					f := strings.Fields(strings.TrimSuffix(l, "Z"))
					var pts line
					for i := 0; i+1 < len(f); i += 2 {
						pts = append(pts, point{number(t, f[i]), number(t, f[i+1])})
					}
					if len(f)%2 != 0 || len(pts) < 2 {
						t.Fatalf("path %q", l)
					}
					for _, q := range pts {
						if !(q.x >= 0 && q.x <= p.width && q.y >= 0 && q.y <= p.height) {
							t.Errorf("(%g, %g) is off the page, %g x %g", q.x, q.y, p.width, p.height)
						}
					}
					if attr["fill"] == "" {
						if closed {
							t.Errorf("closed line %q", l)
						}
						p.lines, p.widths = append(p.lines, pts), append(p.widths, attr["stroke-width"])
					}
				}
			case "text":
				inText = true
				p.size = number(t, attr["font-size"])
				if attr["font-family"] != "sans-serif" {
					t.Errorf("font %q", attr["font-family"])
				}
			}
		}
	}
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// segments counts straight pieces after polylines are joined: what a person would
// count as edges.
func (p page) segments() int {
	n := 0
	for _, l := range p.lines {
		n += len(l) - 1
	}
	return n
}

func (p page) length() float64 {
	var sum float64
	for _, l := range p.lines {
		for i := 1; i < len(l); i++ {
			sum += l[i].dist(l[i-1])
		}
	}
	return sum
}

// A cube has twelve edges; from outside its three main planes nine show, six of
// them round the outside.
func TestCubeHasNineEdges(t *testing.T) {
	p := read(t, draw(t, "cube", Options{WidthMM: 60}, PlacedMesh{Mesh: cuboid(10, 10, 10)}))
	if p.segments() != 9 {
		t.Errorf("%d edges drawn", p.segments())
	}
	thick := 0
	for i, l := range p.lines {
		if p.widths[i] == "0.35" {
			thick += len(l) - 1
		}
	}
	if thick != 6 {
		t.Errorf("%d thick edges", thick)
	}
	if p.fills != 3 {
		t.Errorf("%d faces filled", p.fills)
	}
	// All edges of a cube are as long as the projection makes them: sqrt(1 - (axis . toward)^2).
	cam, want := look(), 0.0
	for k := range 3 {
		want += 3 * math.Sqrt(1-cam.toward[k]*cam.toward[k])
	}
	s, err := newScene([]PlacedMesh{{Mesh: cuboid(10, 10, 10)}}, Options{WidthMM: 60})
	if err != nil {
		t.Fatal(err)
	}
	if got := p.length() / (10 * s.scale); math.Abs(got-want) > 0.01 {
		t.Errorf("edges are %.4f sides long in all, wanted %.4f", got, want)
	}
}

// Behind here means away from the eye along the line of sight.
func TestHiddenBodies(t *testing.T) {
	cam := look()
	away := func(d float64) [3]float64 {
		return [3]float64{-d * cam.toward[0], -d * cam.toward[1], -d * cam.toward[2]}
	}
	big := PlacedMesh{Mesh: cuboid(20, 20, 20)}
	// Before the middle of the long side, so that it cuts none of the big cube's edges.
	inFront := func(d float64) [3]float64 { v := away(-d); return [3]float64{v[0] + 8, v[1] - 2, v[2] + 8} }
	behind := func(d float64) [3]float64 { v := away(d); return [3]float64{v[0] + 8, v[1] + 8, v[2] + 8} }
	alone := read(t, draw(t, "big", Options{}, big))
	for name, c := range map[string]struct {
		at    [3]float64
		edges int
	}{
		"behind":        {behind(60), 9},
		"in front":      {inFront(60), 18},
		"far in front":  {inFront(900), 18},
		"far behind":    {behind(900), 9},
		"to one side":   {[3]float64{40, 0, 0}, 18},
		"under, unseen": {[3]float64{8, 8, -5}, 9},
	} {
		t.Run(name, func(t *testing.T) {
			p := read(t, draw(t, name, Options{}, big, PlacedMesh{cuboid(4, 4, 4), c.at}))
			if p.segments() != c.edges {
				t.Errorf("%d edges, wanted %d", p.segments(), c.edges)
			}
			if c.edges == 9 && math.Abs(p.length()-alone.length()) > 0.05 {
				t.Errorf("%.2f mm of line, the big cube alone has %.2f", p.length(), alone.length())
			}
		})
	}
}

// An edge that runs exactly along the line where two facets of one plane meet is
// hidden by the two together.
func TestEdgeAlongASeam(t *testing.T) {
	toward := look().toward
	away := [3]float64{-50 * toward[0], -50 * toward[1], -50 * toward[2]}
	plate := PlacedMesh{Mesh: cuboid(40, 40, 2)} // its top is parted from (0, 0) to (40, 40)
	wedge := PlacedMesh{prism(2, [2]float32{10, 10}, [2]float32{30, 10}, [2]float32{30, 30}), away}
	a, b := read(t, draw(t, "no wedge", Options{}, plate)), read(t, draw(t, "wedge", Options{}, plate, wedge))
	if a.segments() != b.segments() || a.height != b.height {
		t.Errorf("%d edges with a wedge under the plate, %d without", b.segments(), a.segments())
	}
}

// A body under the plate's back margin adds no line; one that sticks out under its
// front edge does.
func TestUnderThePlate(t *testing.T) {
	plate := built(t, referencePrint())
	under := PlacedMesh{cuboid(60, 12, 4), [3]float64{200, 4, -30}} // low enough to be seen past the front edge
	hidden := PlacedMesh{cuboid(20, 4, 2), [3]float64{60, 100, -2.5}}
	a := read(t, draw(t, "plate", Options{}, PlacedMesh{Mesh: plate}))
	b := read(t, draw(t, "plate over", Options{}, PlacedMesh{Mesh: plate}, hidden))
	if a.segments() != b.segments() || a.height != b.height {
		t.Errorf("%d pieces with a body under the plate, %d without", b.segments(), a.segments())
	}
	c := read(t, draw(t, "plate peep", Options{}, PlacedMesh{Mesh: plate}, under))
	if c.length() <= a.length()*0.9 || c.segments() <= a.segments() {
		t.Errorf("a body that sticks out under the front edge does not show: %d pieces, %d without", c.segments(), a.segments())
	}
}

// Round walls show no facets: with six holes of 56 chords each and four round
// corners, the only upright lines are the plate's two outermost contours and what
// the rails and the window show of their ends.
func TestHolesShowNoFacets(t *testing.T) {
	p := read(t, draw(t, "reference plain", Options{}, PlacedMesh{Mesh: built(t, referencePrint())}))
	up := 0
	for _, l := range p.lines {
		for i := 1; i < len(l); i++ {
			if math.Abs(l[i].x-l[i-1].x) < 0.011 && math.Abs(l[i].y-l[i-1].y) > 0.3 {
				up++
			}
		}
	}
	if up < 8 || up > 10 {
		t.Errorf("%d upright lines", up)
	}
}

func TestSameBytes(t *testing.T) {
	for name, parts := range scenes(t) {
		if !bytes.Equal(draw(t, name, Options{Caption: "c"}, parts...), draw(t, name, Options{Caption: "c"}, parts...)) {
			t.Errorf("%s: two runs differ", name)
		}
	}
}

func TestScale(t *testing.T) {
	m := cuboid(100, 20, 5)
	for _, width := range []float64{20, 60, 180, 400, 2000} {
		p := read(t, draw(t, "w", Options{WidthMM: width}, PlacedMesh{Mesh: m}))
		if p.width != width {
			t.Errorf("%g mm wide, wanted %g", p.width, width)
		}
		left, right := math.Inf(1), math.Inf(-1)
		for _, l := range p.lines {
			for _, q := range l {
				left, right = min(left, q.x), max(right, q.x)
			}
		}
		if math.Abs(left-marginMM) > 0.02 || math.Abs(right-(width-marginMM)) > 0.02 {
			t.Errorf("width %g: drawn from %g to %g", width, left, right)
		}
	}
	if p := read(t, draw(t, "w", Options{}, PlacedMesh{Mesh: m})); p.width != 180 {
		t.Errorf("default width %g", p.width)
	}
}

func TestCaption(t *testing.T) {
	m := cuboid(520, 110, 14)
	if c := SizeCaption(m); c != "520.0 x 110.0 x 14.0 mm" {
		t.Errorf("caption %q", c)
	}
	p := read(t, draw(t, "caption", Options{Caption: "a < b & \"c\"\x00\nd"}, PlacedMesh{Mesh: m}))
	if p.text != "a < b & \"c\"  d" {
		t.Errorf("text %q", p.text)
	}
	p = read(t, draw(t, "long caption", Options{Caption: strings.Repeat("W", 150)}, PlacedMesh{Mesh: m}))
	if p.size*0.6*150 > 180 {
		t.Errorf("150 characters at %g mm run off the page", p.size)
	}
	if p = read(t, draw(t, "none", Options{}, PlacedMesh{Mesh: m})); p.text != "" {
		t.Errorf("text %q", p.text)
	}
}

func TestRefused(t *testing.T) {
	with := func(change func(*solid.Mesh)) []PlacedMesh {
		m := cuboid(1, 2, 3)
		change(m)
		return []PlacedMesh{{Mesh: m}}
	}
	ok := []PlacedMesh{{Mesh: cuboid(1, 2, 3)}}
	open := "part 1: " + errOpen.Error()
	for name, c := range map[string]struct {
		parts []PlacedMesh
		o     Options
		says  string
	}{
		"no parts":      {nil, Options{}, "picture: no parts to draw"},
		"no mesh":       {make([]PlacedMesh, 1), Options{}, "part 1: mesh is empty"},
		"NaN":           {with(func(m *solid.Mesh) { m.Vertices[1][0] = float32(math.NaN()) }), Options{}, "part 1: vertex 1 is at (NaN, 0, 0)"},
		"huge":          {with(func(m *solid.Mesh) { m.Vertices[1][0] = 1e9 }), Options{}, "part 1: vertex 1 is at (1e+09, 0, 0)"},
		"no vertex":     {with(func(m *solid.Mesh) { m.Facets[3][1] = 8 }), Options{}, "part 1: facet 3 names vertex 8 of 8"},
		"a facet gone":  {with(func(m *solid.Mesh) { m.Facets = m.Facets[1:] }), Options{}, open},
		"a facet twice": {with(func(m *solid.Mesh) { m.Facets = append(m.Facets, m.Facets[0]) }), Options{}, open},
		"one turned":    {with(func(m *solid.Mesh) { m.Facets[0] = [3]int32{0, 1, 2} }), Options{}, open},
		"inside out": {with(func(m *solid.Mesh) {
			for i, f := range m.Facets {
				m.Facets[i] = [3]int32{f[0], f[2], f[1]}
			}
		}), Options{}, "part 1: encloses -6 mm3; facets must face outward"},
		"a point":   {with(func(m *solid.Mesh) { m.Facets[0] = [3]int32{1, 1, 1} }), Options{}, open},
		"no width":  {ok, Options{WidthMM: -1}, "width: -1 mm, wanted 20 to 2000"},
		"NaN width": {ok, Options{WidthMM: math.NaN()}, "width: NaN mm, wanted 20 to 2000"},
		"caption":   {ok, Options{Caption: strings.Repeat("x", 201)}, "caption: 201 characters, at most 200 wanted"},
		"offset":    {[]PlacedMesh{{cuboid(1, 2, 3), [3]float64{0, math.Inf(1), 0}}}, Options{}, "part 1: offset +Inf mm, at most 100000 wanted"},
		"flat": {with(func(m *solid.Mesh) {
			for i := range m.Vertices {
				m.Vertices[i] = [3]float32{}
			}
		}), Options{}, "picture: all parts together have no size"},
	} {
		t.Run(name, func(t *testing.T) {
			var b bytes.Buffer
			err := WriteParts(&b, c.parts, c.o)
			var bad *InputError
			if !errors.As(err, &bad) {
				t.Fatalf("got %v", err)
			}
			if got := bad.Problems[0].Part + ": " + bad.Problems[0].Says; got != c.says {
				t.Errorf("says %q, wanted %q", got, c.says)
			}
			if b.Len() > 0 {
				t.Errorf("%d bytes written", b.Len())
			}
		})
	}
	err := WriteParts(io.Discard, make([]PlacedMesh, 2), Options{WidthMM: 1})
	if err == nil || strings.Count(err.Error(), ";") != 2 {
		t.Errorf("wanted three faults at once, got %v", err)
	}
}

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

func TestWriterFails(t *testing.T) {
	if err := Write(brokenWriter{}, cuboid(1, 2, 3), Options{}); !errors.Is(err, io.ErrShortWrite) {
		t.Errorf("got %v", err)
	}
}
