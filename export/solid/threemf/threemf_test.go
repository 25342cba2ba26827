package threemf

import (
	"archive/zip"
	"bytes"
	"errors"
	"io"
	"testing"
	"time"

	"github.com/hpinc/go3mf"
	"pgregory.net/rapid"

	"reseat/export/solid"
	"reseat/jig"
	"reseat/jig/geom"
)

// box is a cuboid from the origin.
func box(x, y, z float32) *solid.Mesh {
	return &solid.Mesh{
		Vertices: [][3]float32{{0, 0, 0}, {x, 0, 0}, {x, y, 0}, {0, y, 0}, {0, 0, z}, {x, 0, z}, {x, y, z}, {0, y, z}},
		Facets: [][3]int32{
			{0, 2, 1},
			{0, 3, 2},
			{4, 5, 6},
			{4, 6, 7},
			{0, 1, 5},
			{0, 5, 4},
			{1, 2, 6},
			{1, 6, 5},
			{2, 3, 7},
			{2, 7, 6},
			{3, 0, 4},
			{3, 4, 7},
		},
	}
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

func written(t interface{ Fatal(...any) }, parts []Part, title string) []byte {
	var b bytes.Buffer
	if err := Write(&b, parts, title); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// read takes a file with go3mf's own strict reader.
func read(t interface{ Fatal(...any) }, file []byte) *go3mf.Model {
	var m go3mf.Model
	if err := go3mf.NewDecoder(bytes.NewReader(file), int64(len(file))).Decode(&m); err != nil {
		t.Fatal(err)
	}
	return &m
}

// sameMesh holds what was read against what was written, to the last bit.
func sameMesh(t interface{ Fatalf(string, ...any) }, got *go3mf.Mesh, want *solid.Mesh) {
	if len(got.Vertices.Vertex) != len(want.Vertices) || len(got.Triangles.Triangle) != len(want.Facets) {
		t.Fatalf("%d vertices and %d triangles, wrote %d and %d",
			len(got.Vertices.Vertex), len(got.Triangles.Triangle), len(want.Vertices), len(want.Facets))
	}
	for k, v := range want.Vertices {
		if [3]float32(got.Vertices.Vertex[k]) != v {
			t.Fatalf("vertex %d reads %v, wrote %v", k, got.Vertices.Vertex[k], v)
		}
	}
	for k, f := range want.Facets {
		if g := got.Triangles.Triangle[k]; [3]int32{int32(g.V1), int32(g.V2), int32(g.V3)} != f {
			t.Fatalf("facet %d reads %v, wrote %v", k, g, f)
		}
	}
}

// TestReadBack: the library of the format's consortium reads the file, finds it
// valid by the core specification, and has the very same bodies.
func TestReadBack(t *testing.T) {
	parts := []Part{{Name: "template-1", Mesh: plate(t)},
		{Name: "template-2 <key & lap>", Mesh: box(10, 20, 30), X: 130.25004, Y: -4.5}}
	m := read(t, written(t, parts, "Fingerboard \"A\"\x01& nest"))
	if err := m.Validate(); err != nil {
		t.Errorf("not valid: %v", err)
	}
	if err := m.ValidateCoherency(); err != nil {
		t.Errorf("not coherent: %v", err)
	}
	if m.Units != go3mf.UnitMillimeter || len(m.Metadata) != 2 || m.Metadata[0].Value != `Fingerboard "A" & nest` {
		t.Errorf("unit %v, metadata %v", m.Units, m.Metadata)
	}
	if len(m.Resources.Objects) != 2 || len(m.Build.Items) != 2 {
		t.Fatalf("%d objects, %d items", len(m.Resources.Objects), len(m.Build.Items))
	}
	for i, p := range parts {
		o := m.Resources.Objects[i]
		if o.Name != p.Name || m.Build.Items[i].ObjectID != o.ID {
			t.Errorf("object %q, item %d, wanted %q", o.Name, m.Build.Items[i].ObjectID, p.Name)
		}
		sameMesh(t, o.Mesh, p.Mesh)
	}
	if m.Build.Items[0].HasTransform() {
		t.Error("the first part is moved")
	}
	if tr := m.Build.Items[1].Transform; tr != go3mf.Identity().Translate(130.25, -4.5, 0) {
		t.Errorf("transform %v", tr)
	}
}

func TestCoordinatesAreExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		side := rapid.Float32Range(1e-6, 9999)
		in := box(side.Draw(t, "x"), side.Draw(t, "y"), side.Draw(t, "z"))
		sameMesh(t, read(t, written(t, []Part{{Name: "p", Mesh: in}}, "")).Resources.Objects[0].Mesh, in)
	})
}

// TestSameBytes: nothing in the file tells when it was written.
func TestSameBytes(t *testing.T) {
	file := written(t, []Part{{Name: "a", Mesh: box(1, 2, 3)}, {Name: "b", Mesh: box(3, 2, 1), X: 20}}, "twice")
	z, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range z.File {
		if !f.Modified.Equal(time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)) || len(f.Extra) > 0 || f.Flags&8 != 0 {
			t.Errorf("%s: modified %v, %d extra bytes, flags %x", f.Name, f.Modified, len(f.Extra), f.Flags)
		}
	}
	if !bytes.Equal(file, written(t, []Part{{Name: "a", Mesh: box(1, 2, 3)}, {Name: "b", Mesh: box(3, 2, 1), X: 20}},
		"twice")) {
		t.Error("two runs differ")
	}
}

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

func TestWriterFails(t *testing.T) {
	if err := Write(brokenWriter{}, []Part{{Name: "a", Mesh: box(1, 2, 3)}}, ""); !errors.Is(err, io.ErrShortWrite) {
		t.Errorf("got %v", err)
	}
}
