package threemf

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/hpinc/go3mf"
	"pgregory.net/rapid"

	"reseat/export/solid"
	"reseat/export/solid/internal/boxtest"
	"reseat/jig"
	"reseat/jig/geom"
)

// box is a cuboid from the origin, the smallest closed mesh that has a size in
// each direction of its own.
func box(x, y, z float32) *solid.Mesh {
	v, f := boxtest.Box(x, y, z)
	return &solid.Mesh{Vertices: v, Facets: f}
}

// plate is a printed plate with a hole, so that coordinates are not round.
func plate(t testing.TB) *solid.Mesh {
	t.Helper()
	s, err := solid.Build(&jig.Print{
		File:        "template.stl",
		Outline:     geom.RoundCorners(geom.Rect(geom.Box{Max: geom.Vec{X: 120, Y: 60}}), 4),
		Window:      geom.Rigid{Shift: geom.Vec{X: 20, Y: 30}}.Loop(geom.Taper(80, 21.3, 25.7)),
		Holes:       []jig.PrintHole{{ID: "P1", Center: geom.Vec{X: 10, Y: 30}, Diameter: 6.1}},
		ThicknessMM: 8,
	})
	if err != nil {
		t.Fatal(err)
	}
	return s.Mesh
}

func written(t testing.TB, parts []Part, title string) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, parts, title); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestLibraryReadsBack reads with go3mf's own strict reader and runs its check
// against the core specification.
func TestLibraryReadsBack(t *testing.T) {
	parts := []Part{{Name: "template-1", Mesh: plate(t)}, {Name: "template-2 <key & lap>", Mesh: box(10, 20, 30), X: 130.25, Y: -4.5}}
	file := written(t, parts, `Fingerboard "A" & nest`)
	var m go3mf.Model
	if err := go3mf.NewDecoder(bytes.NewReader(file), int64(len(file))).Decode(&m); err != nil {
		t.Fatal(err)
	}
	if err := m.Validate(); err != nil {
		t.Errorf("not valid: %v", err)
	}
	if err := m.ValidateCoherency(); err != nil {
		t.Errorf("not coherent: %v", err)
	}
	if m.Units != go3mf.UnitMillimeter {
		t.Errorf("unit %v", m.Units)
	}
	if len(m.Metadata) != 2 || m.Metadata[0].Name.Local != "Title" || m.Metadata[0].Value != `Fingerboard "A" & nest` {
		t.Errorf("metadata %v", m.Metadata)
	}
	if len(m.Resources.Objects) != 2 || len(m.Build.Items) != 2 {
		t.Fatalf("%d objects, %d items", len(m.Resources.Objects), len(m.Build.Items))
	}
	for i, p := range parts {
		o := m.Resources.Objects[i]
		if o.Name != p.Name {
			t.Errorf("name %q, wanted %q", o.Name, p.Name)
		}
		for k, v := range p.Mesh.Vertices {
			if [3]float32(o.Mesh.Vertices.Vertex[k]) != v {
				t.Fatalf("%s: vertex %d reads %v, wrote %v", p.Name, k, o.Mesh.Vertices.Vertex[k], v)
			}
		}
		for k, f := range p.Mesh.Facets {
			if g := o.Mesh.Triangles.Triangle[k]; [3]int32{int32(g.V1), int32(g.V2), int32(g.V3)} != f {
				t.Fatalf("%s: facet %d reads %v, wrote %v", p.Name, k, g, f)
			}
		}
	}
	if tr := m.Build.Items[1].Transform; tr[12] != 130.25 || tr[13] != -4.5 || tr[14] != 0 {
		t.Errorf("transform %v", tr)
	}
}

// coreModel is the part of the core specification's schema that is used here,
// stated anew so that the library's reader is not its own judge.
type coreModel struct {
	XMLName  xml.Name `xml:"http://schemas.microsoft.com/3dmanufacturing/core/2015/02 model"`
	Unit     string   `xml:"unit,attr"`
	Metadata []struct {
		Name  string `xml:"name,attr"`
		Value string `xml:",chardata"`
	} `xml:"metadata"`
	Objects []struct {
		ID       string `xml:"id,attr"`
		Name     string `xml:"name,attr"`
		Vertices []struct {
			X string `xml:"x,attr"`
			Y string `xml:"y,attr"`
			Z string `xml:"z,attr"`
		} `xml:"mesh>vertices>vertex"`
		Triangles []struct {
			V1 int `xml:"v1,attr"`
			V2 int `xml:"v2,attr"`
			V3 int `xml:"v3,attr"`
		} `xml:"mesh>triangles>triangle"`
	} `xml:"resources>object"`
	Items []struct {
		ObjectID  string `xml:"objectid,attr"`
		Transform string `xml:"transform,attr"`
	} `xml:"build>item"`
}

type entry struct {
	name string
	data []byte
}

func entries(t testing.TB, file []byte) []entry {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		t.Fatal(err)
	}
	var out []entry
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(r) // checks the CRC
		if err != nil {
			t.Fatal(err)
		}
		if !f.Modified.Equal(time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)) || len(f.Extra) > 0 || f.Flags&8 != 0 {
			t.Errorf("%s: modified %v, %d extra bytes, flags %x", f.Name, f.Modified, len(f.Extra), f.Flags)
		}
		out = append(out, entry{f.Name, data})
	}
	return out
}

// TestStandardLibraryReadsBack reads with archive/zip and encoding/xml alone.
func TestStandardLibraryReadsBack(t *testing.T) {
	in := plate(t)
	es := entries(t, written(t, []Part{{Name: "template", Mesh: in, X: 5, Y: 7.0004}}, "Nest"))
	if len(es) != 3 || es[0].name != "[Content_Types].xml" || es[1].name != "_rels/.rels" || es[2].name != "3D/3dmodel.model" {
		t.Fatalf("entries %v", es)
	}

	var types struct {
		XMLName xml.Name `xml:"http://schemas.openxmlformats.org/package/2006/content-types Types"`
		Default []struct {
			Extension   string `xml:",attr"`
			ContentType string `xml:",attr"`
		}
	}
	if err := xml.Unmarshal(es[0].data, &types); err != nil {
		t.Fatal(err)
	}
	kinds := map[string]string{}
	for _, d := range types.Default {
		kinds[d.Extension] = d.ContentType
	}
	if kinds["model"] != go3mf.ContentType3DModel || kinds["rels"] != "application/vnd.openxmlformats-package.relationships+xml" {
		t.Errorf("content types %v", kinds)
	}

	var rels struct {
		XMLName      xml.Name `xml:"http://schemas.openxmlformats.org/package/2006/relationships Relationships"`
		Relationship []struct {
			ID     string `xml:"Id,attr"`
			Type   string `xml:",attr"`
			Target string `xml:",attr"`
		}
	}
	if err := xml.Unmarshal(es[1].data, &rels); err != nil {
		t.Fatal(err)
	}
	if len(rels.Relationship) != 1 || rels.Relationship[0].ID == "" || rels.Relationship[0].Target != "/3D/3dmodel.model" ||
		rels.Relationship[0].Type != "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel" {
		t.Errorf("relationships %v", rels.Relationship)
	}

	var m coreModel
	if err := xml.Unmarshal(es[2].data, &m); err != nil {
		t.Fatal(err)
	}
	if m.Unit != "millimeter" {
		t.Errorf("unit %q", m.Unit)
	}
	if len(m.Metadata) != 2 || m.Metadata[0].Name != "Title" || m.Metadata[0].Value != "Nest" {
		t.Errorf("metadata %v", m.Metadata)
	}
	if len(m.Objects) != 1 || m.Objects[0].Name != "template" {
		t.Fatalf("objects %v", m.Objects)
	}
	if len(m.Items) != 1 || m.Items[0].ObjectID != m.Objects[0].ID || m.Items[0].Transform != "1.000 0.000 0.000 0.000 1.000 0.000 0.000 0.000 1.000 5.000 7.000 0.000" {
		t.Errorf("build %v", m.Items)
	}
	out := &solid.Mesh{}
	for _, v := range m.Objects[0].Vertices {
		var p [3]float32
		for k, s := range []string{v.X, v.Y, v.Z} {
			if strings.ContainsAny(s, "eE,") {
				t.Fatalf("coordinate %q", s)
			}
			x, err := strconv.ParseFloat(s, 32)
			if err != nil {
				t.Fatal(err)
			}
			p[k] = float32(x)
		}
		out.Vertices = append(out.Vertices, p)
	}
	for _, f := range m.Objects[0].Triangles {
		out.Facets = append(out.Facets, [3]int32{int32(f.V1), int32(f.V2), int32(f.V3)})
	}
	if len(out.Vertices) != len(in.Vertices) || len(out.Facets) != len(in.Facets) {
		t.Fatalf("%d vertices and %d triangles, wrote %d and %d", len(out.Vertices), len(out.Facets), len(in.Vertices), len(in.Facets))
	}
	lo, hi := in.Bounds()
	if l, h := out.Bounds(); l != lo || h != hi {
		t.Errorf("bounds %v %v, wrote %v %v", l, h, lo, hi)
	}
	if v := out.VolumeMM3(); v != in.VolumeMM3() {
		t.Errorf("volume %v, wrote %v", v, in.VolumeMM3())
	}
	if err := out.Check(nil).Err(); err != nil {
		t.Error(err)
	}
}

// TestSameBytes writes often enough that the library's random order of two content
// types would show; that no clock is left in the file is seen in entries.
func TestSameBytes(t *testing.T) {
	parts := []Part{{Name: "a", Mesh: box(1, 2, 3)}, {Name: "b", Mesh: box(3, 2, 1), X: 20}}
	want := written(t, parts, "twice")
	for range 20 {
		if !bytes.Equal(want, written(t, parts, "twice")) {
			t.Fatal("two runs differ")
		}
	}
}

// TestLibraryStillNeedsRepacking fails when the library no longer stamps the
// time: then repack.go can go.
func TestLibraryStillNeedsRepacking(t *testing.T) {
	var b bytes.Buffer
	if err := go3mf.NewEncoder(&b).Encode(model([]Part{{Name: "a", Mesh: box(1, 2, 3)}}, "")); err != nil {
		t.Fatal(err)
	}
	z, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	if err != nil {
		t.Fatal(err)
	}
	if time.Since(z.File[0].Modified) > time.Hour {
		t.Errorf("stamped %v", z.File[0].Modified)
	}
}

func TestCoordinatesAreExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		side := rapid.Float32Range(1e-6, 9999)
		in := box(side.Draw(t, "x"), side.Draw(t, "y"), side.Draw(t, "z"))
		var b bytes.Buffer
		err := Write(&b, []Part{{Name: "p", Mesh: in}}, "")
		var bad *InputError
		if errors.As(err, &bad) {
			t.Skip() // volume lost to float64: not what is tested
		}
		if err != nil {
			t.Fatal(err)
		}
		var m go3mf.Model
		if err := go3mf.NewDecoder(bytes.NewReader(b.Bytes()), int64(b.Len())).Decode(&m); err != nil {
			t.Fatal(err)
		}
		for k, v := range in.Vertices {
			if [3]float32(m.Resources.Objects[0].Mesh.Vertices.Vertex[k]) != v {
				t.Fatalf("vertex %d reads %v, wrote %v", k, m.Resources.Objects[0].Mesh.Vertices.Vertex[k], v)
			}
		}
	})
}

func TestRefused(t *testing.T) {
	ok := box(1, 2, 3)
	with := func(change func(*solid.Mesh)) *solid.Mesh {
		m := box(1, 2, 3)
		change(m)
		return m
	}
	nan := float32(math.NaN())
	for name, c := range map[string]struct {
		parts []Part
		says  string
	}{
		"no parts":           {nil, "file: no parts to write"},
		"no mesh":            {[]Part{{Name: "a"}}, "a: mesh is empty"},
		"empty mesh":         {[]Part{{Name: "a", Mesh: &solid.Mesh{}}}, "a: mesh is empty"},
		"no name":            {[]Part{{Mesh: ok}}, "part 1: has no name"},
		"blank name":         {[]Part{{Name: " \x01", Mesh: ok}}, "part 1: has no name"},
		"same name":          {[]Part{{Name: "a", Mesh: ok}, {Name: "b", Mesh: ok}, {Name: "a", Mesh: ok}}, "a: parts 1 and 3 have the same name"},
		"NaN":                {[]Part{{Name: "a", Mesh: with(func(m *solid.Mesh) { m.Vertices[3][1] = nan })}}, "a: vertex 3 is at (0, NaN, 0)"},
		"infinite":           {[]Part{{Name: "a", Mesh: with(func(m *solid.Mesh) { m.Vertices[0][2] = float32(math.Inf(-1)) })}}, "a: vertex 0 is at (0, 0, -Inf)"},
		"no such vertex":     {[]Part{{Name: "a", Mesh: with(func(m *solid.Mesh) { m.Facets[2][0] = 8 })}}, "a: facet 2 names vertex 8 of 8"},
		"negative vertex":    {[]Part{{Name: "a", Mesh: with(func(m *solid.Mesh) { m.Facets[2][0] = -1 })}}, "a: facet 2 names vertex -1 of 8"},
		"corner twice":       {[]Part{{Name: "a", Mesh: with(func(m *solid.Mesh) { m.Facets[0] = [3]int32{1, 1, 2} })}}, "a: facet 0 has a corner twice"},
		"inside out":         {[]Part{{Name: "a", Mesh: with(func(m *solid.Mesh) { turn(m) })}}, "a: encloses -6 mm3; facets must face outward"},
		"shifted off":        {[]Part{{Name: "a", Mesh: ok, X: 1e5}}, "a: shifted by (100000, 0) mm, at most 10000 wanted"},
		"shifted by nothing": {[]Part{{Name: "a", Mesh: ok, Y: math.NaN()}}, "a: shifted by (0, NaN) mm, at most 10000 wanted"},
	} {
		t.Run(name, func(t *testing.T) {
			var b bytes.Buffer
			err := Write(&b, c.parts, "")
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
	err := Write(io.Discard, []Part{{Name: "a"}, {Name: "a"}}, "")
	if err == nil || strings.Count(err.Error(), ";") != 2 {
		t.Errorf("wanted three faults at once, got %v", err)
	}
}

func turn(m *solid.Mesh) {
	for i, f := range m.Facets {
		m.Facets[i] = [3]int32{f[0], f[2], f[1]}
	}
}

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

func TestWriterFails(t *testing.T) {
	if err := Write(brokenWriter{}, []Part{{Name: "a", Mesh: box(1, 2, 3)}}, ""); !errors.Is(err, io.ErrShortWrite) {
		t.Errorf("got %v", err)
	}
}

func BenchmarkWrite(b *testing.B) {
	parts := []Part{{Name: "template", Mesh: plate(b)}}
	b.ReportMetric(float64(len(parts[0].Mesh.Facets)), "facets")
	for b.Loop() {
		if err := Write(io.Discard, parts, "t"); err != nil {
			b.Fatal(err)
		}
	}
}
