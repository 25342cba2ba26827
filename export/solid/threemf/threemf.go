// Package threemf writes meshes as one 3MF file in millimetres, with a name for
// every part, for printing programs that would otherwise have to guess the unit
// of an STL.
//
// References: 3MF Core Specification (3MF Consortium) for units, names and the
// build; ISO/IEC 29500-2, Open Packaging Conventions, for the zip (both recalled).
package threemf

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"encoding/xml"
	"fmt"
	"hash/crc32"
	"io"
	"strconv"

	"reseat/export/picture"
	"reseat/export/solid"
	"reseat/jig/units"
)

// Part is one body of the file.
type Part struct {
	Name string // shown by the printing program; no two alike
	Mesh *solid.Mesh
	X, Y float64 // shift on the build plate, mm; kept to 0.001 mm, the mesh itself is not changed
}

const (
	contentTypes = `<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
    <Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"></Default>
    <Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"></Default>
</Types>
`
	relations = `<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
    <Relationship Id="rId0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel" Target="/3D/3dmodel.model"></Relationship>
</Relationships>`
)

// Write writes the parts, in their order, as 3MF. Coordinates read back as
// exactly the mesh's float32 values. Equal parts and titles give equal bytes.
func Write(w io.Writer, parts []Part, title string) error {
	zw := zip.NewWriter(w)
	for _, e := range []struct {
		name string
		data []byte
	}{
		{"[Content_Types].xml", []byte(contentTypes)}, {"_rels/.rels", []byte(relations)},
		{"3D/3dmodel.model", model(parts, title)},
	} {
		if err := pack(zw, e.name, e.data); err != nil {
			return fmt.Errorf("write 3MF: %s: %w", e.name, err)
		}
	}
	if err := zw.Close(); err != nil {
		return fmt.Errorf("write 3MF: %w", err)
	}
	return nil
}

// model states the parts in the words of the core specification: one object and
// one build item each, ids counted from 1.
func model(parts []Part, title string) []byte {
	var b bytes.Buffer
	b.WriteString(xml.Header + `<model xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02" unit="millimeter" xml:lang="en-US">`)
	fmt.Fprintf(&b, `<metadata name="Title">%s</metadata><metadata name="Application">reseat</metadata><resources>`,
		text(title))
	for i, p := range parts {
		fmt.Fprintf(&b, `<object id="%d" name="%s"><mesh><vertices>`, i+1, text(p.Name))
		for _, v := range p.Mesh.Vertices {
			for k, open := range [3]string{`<vertex x="`, `" y="`, `" z="`} {
				b.WriteString(open)
				b.Write(strconv.AppendFloat(b.AvailableBuffer(), float64(v[k]), 'f', -1, 32))
			}
			b.WriteString(`"/>`)
		}
		b.WriteString(`</vertices><triangles>`)
		for _, f := range p.Mesh.Facets {
			for k, open := range [3]string{`<triangle v1="`, `" v2="`, `" v3="`} {
				b.WriteString(open)
				b.Write(strconv.AppendInt(b.AvailableBuffer(), int64(f[k]), 10))
			}
			b.WriteString(`"/>`)
		}
		b.WriteString(`</triangles></mesh></object>`)
	}
	b.WriteString(`</resources><build>`)
	for i, p := range parts {
		fmt.Fprintf(&b, `<item objectid="%d"`, i+1)
		if p.X != 0 || p.Y != 0 {
			fmt.Fprintf(&b, ` transform="1 0 0 0 1 0 0 0 1 %s %s 0"`, units.Decimal(p.X, 3), units.Decimal(p.Y, 3))
		}
		b.WriteString(`/>`)
	}
	b.WriteString(`</build></model>`)
	return b.Bytes()
}

// text makes s safe in XML, between tags and in quotes.
func text(s string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(picture.Plain(s))) // a buffer takes everything
	return b.String()
}

// firstDOSDate is 1980-01-01, the earliest date that a zip entry can bear. Zero
// would be month 0, day 0, which some readers refuse.
const firstDOSDate = 1<<5 | 1

// pack adds one entry with its sizes and checksum in the local header: a reader
// that streams then needs no trailing descriptor.
func pack(zw *zip.Writer, name string, data []byte) error {
	var packed bytes.Buffer
	// The quickest compression: a third larger than the usual one, in a fraction of the time.
	fw, err := flate.NewWriter(&packed, flate.BestSpeed)
	if err != nil {
		return err
	}
	_, _ = fw.Write(data) // a buffer takes everything
	if err := fw.Close(); err != nil {
		return err
	}
	h := &zip.FileHeader{
		Name: name, Method: zip.Deflate, CRC32: crc32.ChecksumIEEE(data),
		CompressedSize64: uint64(packed.Len()), UncompressedSize64: uint64(len(data)),
	}
	//lint:ignore SA1019 CreateRaw writes this field and does not look at Modified
	h.ModifiedDate = firstDOSDate
	w, err := zw.CreateRaw(h)
	if err != nil {
		return err
	}
	_, err = w.Write(packed.Bytes())
	return err
}
