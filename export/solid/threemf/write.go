package threemf

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"

	"github.com/hpinc/go3mf"

	"reseat/export/solid"
)

// Part is one body of the file.
type Part struct {
	Name string // shown by the printing program; not empty, no two alike
	Mesh *solid.Mesh
	X, Y float64 // shift on the build plate, mm; kept to 0.001 mm, the mesh itself is not changed
}

// exactDigits makes the library write the fewest decimal digits that read back
// as the same float32: FormatFloat's precision -1 with format 'f', so never an
// exponent.
const exactDigits = -1

// Write writes the parts, in their order, as 3MF. Coordinates read back as
// exactly the mesh's float32 values; a negative zero becomes zero. Equal parts and
// titles give equal bytes. The title may be empty. Control characters in names and
// the title are written as blanks.
//
// An *InputError lists everything that is wrong with the parts.
func Write(w io.Writer, parts []Part, title string) error {
	if err := validate(parts); err != nil {
		return err
	}
	var raw bytes.Buffer
	enc := go3mf.NewEncoder(&raw)
	enc.FloatPrecision = exactDigits
	if err := enc.Encode(model(parts, title)); err != nil {
		return fmt.Errorf("threemf: encode: %w", err)
	}
	packed, err := repack(raw.Bytes())
	if err != nil {
		return err
	}
	if _, err := w.Write(packed); err != nil {
		return fmt.Errorf("threemf: write: %w", err)
	}
	return nil
}

// model states the parts in the library's terms: one object each, one build item
// each, ids counted from 1.
func model(parts []Part, title string) *go3mf.Model {
	m := &go3mf.Model{Units: go3mf.UnitMillimeter, Language: "en-US"}
	if t := plain(title); t != "" {
		m.Metadata = append(m.Metadata, go3mf.Metadata{Name: xml.Name{Local: "Title"}, Value: t})
	}
	m.Metadata = append(m.Metadata, go3mf.Metadata{Name: xml.Name{Local: "Application"}, Value: "reseat"})
	for i, p := range parts {
		id := uint32(i + 1)
		m.Resources.Objects = append(m.Resources.Objects, &go3mf.Object{ID: id, Name: plain(p.Name), Mesh: mesh(p.Mesh)})
		it := &go3mf.Item{ObjectID: id}
		if x, y := thousandths(p.X), thousandths(p.Y); x != 0 || y != 0 {
			it.Transform = go3mf.Identity().Translate(x, y, 0)
		}
		m.Build.Items = append(m.Build.Items, it)
	}
	return m
}

// thousandths rounds to the three decimals that the library gives a transform.
func thousandths(x float64) float32 { return float32(math.Round(x*1000)/1000) + 0 }

func mesh(m *solid.Mesh) *go3mf.Mesh {
	out := &go3mf.Mesh{}
	out.Vertices.Vertex = make([]go3mf.Point3D, len(m.Vertices))
	for i, v := range m.Vertices {
		out.Vertices.Vertex[i] = go3mf.Point3D{v[0] + 0, v[1] + 0, v[2] + 0} // -0 becomes 0
	}
	out.Triangles.Triangle = make([]go3mf.Triangle, len(m.Facets))
	for i, f := range m.Facets {
		out.Triangles.Triangle[i] = go3mf.Triangle{V1: uint32(f[0]), V2: uint32(f[1]), V3: uint32(f[2])}
	}
	return out
}
