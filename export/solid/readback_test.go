package solid

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"math"
	"slices"
	"testing"

	"reseat/jig"
)

func TestReadBackOfMarkedPlate(t *testing.T) {
	p := chamfered(notched(2.5, 1.6))
	p.Marks = []jig.PrintMark{word("P1", p.Holes[0].Center, 5.4)}
	for i, s := range p.Marks[0].Strokes {
		for k := range s {
			p.Marks[0].Strokes[i][k].X += 6
		}
	}
	s, err := Build(p)
	if err != nil {
		t.Fatal(err)
	}
	data := stlOf(t, s.Mesh)
	r, err := ReadBack(data, p)
	if err != nil {
		t.Fatal(err)
	}
	if r.Facets != s.Facets || r.Vertices != s.Vertices || r.Shells != 1 || r.Min != s.Min || r.Max != s.Max || r.FormulaMM3 != s.FormulaMM3 || math.Abs(r.VolumeMM3-s.VolumeMM3) > 1e-6 {
		t.Errorf("read back %+v, built %+v", r, s.Report)
	}
	if !slices.Equal(r.Holes, s.Holes) {
		t.Errorf("holes %v, built %v", r.Holes, s.Holes)
	}
}

// TestReadBackFinds spoils a file or holds it against another print; each row
// names the error that must come of it.
func TestReadBackFinds(t *testing.T) {
	base := chamfered(plate())
	base.Holes = []jig.PrintHole{hole("p1", 30, 30, 6), hole("p2", 90, 30, 6)}
	s, err := Build(base)
	if err != nil {
		t.Fatal(err)
	}
	good := stlOf(t, s.Mesh)
	if _, err := ReadBack(good, base); err != nil {
		t.Fatal(err)
	}
	other := func(edit func(p *jig.Print)) *jig.Print {
		p := *base
		p.Holes = slices.Clone(base.Holes)
		edit(&p)
		return &p
	}
	spoiled := func(edit func(b []byte) []byte) []byte { return edit(bytes.Clone(good)) }
	as := func(target any) func(error) bool { return func(err error) bool { return errors.As(err, target) } }
	for _, tc := range []struct {
		name string
		data []byte
		p    *jig.Print
		is   func(error) bool
	}{
		{"cut short", good[:len(good)-7], base, func(err error) bool {
			var bad *FileError
			return errors.As(err, &bad) && bad.Facet == uint32(s.Facets) && errors.Is(err, io.ErrUnexpectedEOF)
		}},
		{"empty", nil, base, as(new(*FileError))},
		{"a facet taken out", spoiled(func(b []byte) []byte {
			binary.LittleEndian.PutUint32(b[80:], uint32(s.Facets-1))
			return b[:len(b)-50]
		}), base, as(new(*MeshError))},
		{"a facet turned over", spoiled(func(b []byte) []byte {
			at := 84 + 50*7 + 12
			first := bytes.Clone(b[at : at+12])
			copy(b[at:], b[at+12:at+24])
			copy(b[at+12:], first)
			return b
		}), base, as(new(*MeshError))},
		{"a smaller hole was wanted", good, other(func(p *jig.Print) { p.Holes[1].Diameter = 5.98 }), func(err error) bool {
			var bad *HoleError
			return errors.As(err, &bad) && bad.ID == "p2"
		}},
		{"a larger hole was wanted", good, other(func(p *jig.Print) { p.Holes[0].Diameter = 6.02 }), as(new(*HoleError))},
		{"a hole more was wanted", good, other(func(p *jig.Print) { p.Holes = append(p.Holes, hole("p3", 60, 30, 6)) }), as(new(*HoleError))},
		{"thicker by a tenth", good, other(func(p *jig.Print) { p.ThicknessMM += 0.1 }), as(new(*BoundsError))},
		{"no chamfers were wanted", good, other(func(p *jig.Print) { p.FootMM = 0 }), as(new(*VolumeError))},
		{"a little more chamfer was wanted", good, other(func(p *jig.Print) { p.EntryMM += 0.02 }), as(new(*DeviationError))},
		{"a window was wanted", good, other(func(p *jig.Print) { p.Window = box(40, 20, 80, 40) }), as(new(*VolumeError))},
		{"no print at all", good, nil, as(new(*InputError))},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, err := ReadBack(tc.data, tc.p)
			if err == nil || !tc.is(err) {
				t.Errorf("error %v", err)
			}
		})
	}
}

func FuzzReadBack(f *testing.F) {
	p := chamfered(plate())
	p.Holes = []jig.PrintHole{hole("p1", 30, 30, 6)}
	s, err := Build(p)
	if err != nil {
		f.Fatal(err)
	}
	var b bytes.Buffer
	if err := WriteSTL(&b, s.Mesh, "part"); err != nil {
		f.Fatal(err)
	}
	f.Add(b.Bytes())
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := ReadBack(data, p)
		// Headers, normals and attributes may be anything; the surface may not.
		if err == nil && math.Abs(r.VolumeMM3-s.FormulaMM3) > VolumeTol*s.FormulaMM3 {
			t.Errorf("taken with a volume of %g", r.VolumeMM3)
		}
	})
}
