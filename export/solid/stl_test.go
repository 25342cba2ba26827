package solid

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"reseat/jig/geom"
)

// cube is a box of side s with one corner at the origin.
func cube(s float32) *Mesh {
	return &Mesh{
		Vertices: [][3]float32{{0, 0, 0}, {s, 0, 0}, {s, s, 0}, {0, s, 0}, {0, 0, s}, {s, 0, s}, {s, s, s}, {0, s, s}},
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

func stlOf(t testing.TB, m *Mesh) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := WriteSTL(&b, m, "cube"); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestBytes reads a written file by the layout of the format alone: 80 bytes of
// text, a count, then normal and corners as float32, little endian.
func TestBytes(t *testing.T) {
	b := stlOf(t, cube(2))
	if len(b) != 84+50*12 {
		t.Fatalf("%d bytes, want 84 + 50 for each of 12 facets", len(b))
	}
	if bytes.HasPrefix(bytes.ToLower(b), []byte("solid")) {
		t.Error("starts like a text STL")
	}
	if n := binary.LittleEndian.Uint32(b[80:]); n != 12 {
		t.Errorf("counts %d facets", n)
	}
	var f [12]float32
	if err := binary.Read(bytes.NewReader(b[84+50*4:]), binary.LittleEndian, &f); err != nil {
		t.Fatal(err)
	}
	want := [12]float32{0, -1, 0, 0, 0, 0, 2, 0, 0, 2, 0, 2}
	if f != want {
		t.Errorf("facet 5 is %v, want %v", f, want)
	}
	for i := 84; i+4 <= len(b); i += 2 {
		if (i-84)%50 < 48 && (i-84)%50%4 == 0 && binary.LittleEndian.Uint32(b[i:]) == 1<<31 {
			t.Fatalf("a negative zero at byte %d", i)
		}
	}
}

// readSTL reads a binary STL and welds corners with equal coordinates.
func readSTL(t testing.TB, b []byte) *Mesh {
	t.Helper()
	n := int(binary.LittleEndian.Uint32(b[80:]))
	if len(b) != 84+50*n {
		t.Fatalf("%d bytes for %d facets", len(b), n)
	}
	m, ids := &Mesh{}, make(map[[3]float32]int32, n/2) // as many vertices as half the facets
	for i := range n {
		var f [3]int32
		for k := range f {
			var p [3]float32
			for x := range p {
				p[x] = math.Float32frombits(binary.LittleEndian.Uint32(b[84+50*i+12+12*k+4*x:]))
			}
			id, ok := ids[p]
			if !ok {
				id = int32(len(m.Vertices))
				ids[p] = id
				m.Vertices = append(m.Vertices, p)
			}
			f[k] = id
		}
		m.Facets = append(m.Facets, f)
	}
	return m
}

func TestReadBack(t *testing.T) {
	b := stlOf(t, cube(2))
	m := readSTL(t, b)
	if len(m.Vertices) != 8 || len(m.Facets) != 12 || m.volumeMM3() != 8 {
		t.Errorf("%d vertices, %d facets, volume %g", len(m.Vertices), len(m.Facets), m.volumeMM3())
	}
	if err := m.check(); err != nil {
		t.Error(err)
	}
	if !bytes.Equal(b, stlOf(t, m)) {
		t.Error("written again it has other bytes")
	}
}

type brokenPipe struct{}

func (brokenPipe) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }

func TestWriteRefuses(t *testing.T) {
	if err := WriteSTL(brokenPipe{}, cube(2), ""); !errors.Is(err, io.ErrClosedPipe) {
		t.Errorf("a failed write gives %v", err)
	}
	if err := WriteSTL(io.Discard, &Mesh{}, ""); err == nil {
		t.Error("an empty mesh was written")
	}
	flat := cube(2)
	flat.Facets[0] = [3]int32{0, 1, 1}
	if err := WriteSTL(io.Discard, flat, ""); err == nil {
		t.Error("a facet without area was written")
	}
}

func TestHeaderIsPlain(t *testing.T) {
	var b bytes.Buffer
	if err := WriteSTL(&b, cube(1), "Griffbrett für "+strings.Repeat("x", 200)); err != nil {
		t.Fatal(err)
	}
	for i, c := range b.Bytes()[:80] {
		if c >= 0x80 {
			t.Fatalf("header byte %d is %#x, wanted ASCII", i, c)
		}
	}
}

// TestCheckFindsFaults breaks a clean cube in one way each.
func TestCheckFindsFaults(t *testing.T) {
	for _, tc := range []struct {
		name  string
		spoil func(m *Mesh)
		says  string
	}{
		{"a facet missing", func(m *Mesh) { m.Facets = m.Facets[1:] }, "3 edges with one facet only"},
		{"a facet turned over", func(m *Mesh) { f := &m.Facets[3]; f[0], f[1] = f[1], f[0] },
			"3 edges between facets that face opposite ways"},
		{"inside out", func(m *Mesh) {
			for i := range m.Facets {
				f := &m.Facets[i]
				f[0], f[1] = f[1], f[0]
			}
		}, "volume -8"},
		{"a second body", func(m *Mesh) { join(m, cube(2), 5, 0, 0) }, "2 separate bodies"},
		{"a body that shares an edge", func(m *Mesh) { join(m, cube(2), 2, 2, 0) },
			"1 edges shared by more than two facets"},
		{"a body that shares a point", func(m *Mesh) { join(m, cube(2), 2, 2, 2) },
			"1 points where the surface touches itself"},
		{"a crack too fine to see", func(m *Mesh) {
			m.Vertices = append(m.Vertices, [3]float32{2, 2, 2.0004})
			m.Facets[2][2] = 8
		}, "1 pairs of vertices nearer than 0.001 mm"},
		{"a needle", func(m *Mesh) { m.Vertices[0] = [3]float32{2, 0, 0.00005} }, "thinner than 0.0001 mm"},
		{"off the bed", func(m *Mesh) {
			for i := range m.Vertices {
				m.Vertices[i][2] += 3
			}
		}, "not on the bed"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			m := cube(2)
			tc.spoil(m)
			if err := m.check(); err == nil || !strings.Contains(err.Error(), tc.says) {
				t.Errorf("error %v, want one that says %q", err, tc.says)
			}
		})
	}
}

// join adds another mesh, shifted; corners that coincide become one.
func join(m, other *Mesh, x, y, z float32) {
	ids := make([]int32, len(other.Vertices))
	for i, v := range other.Vertices {
		v[0], v[1], v[2] = v[0]+x, v[1]+y, v[2]+z
		ids[i] = int32(len(m.Vertices))
		for k, w := range m.Vertices {
			if v == w {
				ids[i] = int32(k)
			}
		}
		if int(ids[i]) == len(m.Vertices) {
			m.Vertices = append(m.Vertices, v)
		}
	}
	for _, f := range other.Facets {
		m.Facets = append(m.Facets, [3]int32{ids[f[0]], ids[f[1]], ids[f[2]]})
	}
}

func TestSegmentToTriangle(t *testing.T) {
	tri := facet2{a: geom.Vec{X: 0, Y: 0}, b: geom.Vec{X: 4, Y: 0}, c: geom.Vec{X: 0, Y: 4}}
	for _, tc := range []struct {
		name string
		p, q geom.Vec
		want float64
	}{
		{"inside", geom.Vec{X: 1, Y: 1}, geom.Vec{X: 1, Y: 1}, 0},
		{"beside an edge", geom.Vec{X: 2, Y: -3}, geom.Vec{X: 2, Y: -3}, 3},
		{"off a corner", geom.Vec{X: 7, Y: -4}, geom.Vec{X: 7, Y: -4}, 5},
		{"segment through", geom.Vec{X: -1, Y: 1}, geom.Vec{X: 9, Y: 1}, 0},
		{"segment past", geom.Vec{X: 4, Y: 4}, geom.Vec{X: 8, Y: 0}, math.Sqrt(8)},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := tri.distance(tc.p, tc.q); math.Abs(got-tc.want) > 1e-12 { // rounding of a few units
				t.Errorf("got %g, want %g", got, tc.want)
			}
		})
	}
}
