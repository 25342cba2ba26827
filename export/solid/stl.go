package solid

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"strings"

	"reseat/export/latin"
)

// A binary STL is 80 bytes of free text, a count, and 50 bytes for each facet:
// normal, three corners (12 float32) and an unused 16 bit word, little endian.
//
// Reference: 3D Systems, Stereolithography Interface Specification, 1989
// (recalled).
const (
	headerBytes = 80
	facetBytes  = 50
)

// WriteSTL writes the mesh as binary STL in millimetres. The header holds name
// and no date, so equal meshes give equal bytes; it never starts with "solid",
// which some readers take for the text form.
func WriteSTL(w io.Writer, m *Mesh, name string) error {
	if len(m.Facets) == 0 {
		return fmt.Errorf("a mesh without facets is not written")
	}
	if uint64(len(m.Facets)) > math.MaxUint32 {
		return fmt.Errorf("%d facets are more than an STL can count", len(m.Facets))
	}
	bw := bufio.NewWriterSize(w, 1<<16)
	var head [headerBytes + 4]byte
	copy(head[:headerBytes], "binary STL, millimetres: "+plain(name))
	binary.LittleEndian.PutUint32(head[headerBytes:], uint32(len(m.Facets)))
	_, _ = bw.Write(head[:]) // bufio keeps the first error for Flush
	var rec [facetBytes]byte
	for i, f := range m.Facets {
		n := m.normal(f)
		l := length(n)
		if !(l > 0) || math.IsInf(l, 0) {
			return fmt.Errorf("facet %d has no area", i)
		}
		at := rec[:0]
		for k := range 3 {
			at = binary.LittleEndian.AppendUint32(at, math.Float32bits(float32(n[k]/l)+0))
		}
		for _, v := range f {
			for _, x := range m.Vertices[v] {
				at = binary.LittleEndian.AppendUint32(at, math.Float32bits(x+0))
			}
		}
		_, _ = bw.Write(rec[:])
	}
	if err := bw.Flush(); err != nil {
		return fmt.Errorf("write STL: %w", err)
	}
	return nil
}

// plain spells letters in printable ASCII, which is all that programs agree on in a
// header, and replaces what has no such spelling.
func plain(name string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return '?'
		}
		return r
	}, latin.Spell(name))
}
