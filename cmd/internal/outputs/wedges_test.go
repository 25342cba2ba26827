package outputs

import (
	"encoding/binary"
	"math"
	"path/filepath"
	"testing"

	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/job"
)

type corner [3]float64

// readSTL reads the triangles of a binary STL.
func readSTL(t *testing.T, b []byte) (out [][3]corner) {
	t.Helper()
	if len(b) == 0 {
		t.Fatal("no file")
	}
	const head, each = 84, 50
	for at := head; at+each <= len(b); at += each {
		var f [3]corner
		for i := range 9 {
			bits := binary.LittleEndian.Uint32(b[at+12+4*i:])
			f[i/3][i%3] = float64(math.Float32frombits(bits))
		}
		out = append(out, f)
	}
	return out
}

// cut is where triangles cross a height.
func cut(all [][3]corner, z float64) (out [][2]geom.Vec) {
	for _, f := range all {
		var ends []geom.Vec
		for i, p := range f {
			q := f[(i+1)%3]
			if (p[2] > z) != (q[2] > z) {
				s := (z - p[2]) / (q[2] - p[2])
				ends = append(ends, geom.Vec{X: p[0] + s*(q[0]-p[0]), Y: p[1] + s*(q[1]-p[1])})
			}
		}
		if len(ends) == 2 {
			out = append(out, [2]geom.Vec(ends))
		}
	}
	return out
}

// solidAt: a place is inside what a section cuts, by the crossings to its right.
func solidAt(section [][2]geom.Vec, p geom.Vec) bool {
	in := false
	for _, s := range section {
		if (s[0].Y > p.Y) != (s[1].Y > p.Y) && s[0].Lerp(s[1], (p.Y-s[0].Y)/(s[1].Y-s[0].Y)).X > p.X {
			in = !in
		}
	}
	return in
}

// The STL files are read back: a wedge has its sizes and volume, and the printed plate leaves each pair
// its pocket, with plate right behind it and a stop on the other side of the board.
func TestPrintedWedges(t *testing.T) {
	j, err := job.Read(filepath.Join("..", "..", "..", "testdata", "jobs", "ukulele-printed.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	d, err := jig.Build(j)
	if err != nil {
		t.Fatal(err)
	}
	b, err := Render(d, Options{})
	if err != nil {
		t.Fatal(err)
	}
	thick := d.Parts[0].ThicknessMM
	wedge := readSTL(t, b.Data("wedge.stl"))
	low, high, volume := corner{1e9, 1e9, 1e9}, corner{-1e9, -1e9, -1e9}, 0.0
	for _, f := range wedge {
		for _, p := range f {
			for i := range p {
				low[i], high[i] = min(low[i], p[i]), max(high[i], p[i])
			}
		}
		a, b, c := f[0], f[1], f[2]
		volume += (a[0]*(b[1]*c[2]-b[2]*c[1]) - a[1]*(b[0]*c[2]-b[2]*c[0]) + a[2]*(b[0]*c[1]-b[1]*c[0])) / 6
	}
	// 60 long, 6 at one end and 12 at the other, less the chamfer of its foot.
	for i, want := range []float64{12, 60, thick} {
		if got := high[i] - low[i]; math.Abs(got-want) > 0.005 {
			t.Errorf("axis %d: %.4f, want %.4f", i, got, want)
		}
	}
	if want := 60 * 9 * thick; volume > want || volume < want-140*0.4*0.4/2 {
		t.Errorf("volume %.1f of %.1f", volume, want)
	}
	section, to := cut(readSTL(t, b.Data("template.stl")), 0.75*thick), d.Parts[0].Place
	for _, k := range d.Rails.Pairs {
		const room = 0.02 // what facets and rounding may take
		for _, back := range []float64{room, k.NominalMM() - room} {
			for s := -20.0; s <= 20; s++ {
				along := k.Push.Left().Scale(s / 20 * (2.0/3*k.LengthMM - room))
				if solidAt(section, to.Apply(k.At.Sub(k.Push.Scale(back)).Add(along))) {
					t.Fatalf("the pair at %v has no room", k.At)
				}
			}
		}
		if !solidAt(section, to.Apply(k.At.Sub(k.Push.Scale(k.NominalMM()+0.5)))) {
			t.Errorf("nothing is behind the pair at %v", k.At)
		}
		// Across the board from it, a little beyond the edge.
		opposite := k.At
		for d.Board.Outline.Contains(opposite.Add(k.Push.Scale(0.1))) {
			opposite = opposite.Add(k.Push.Scale(0.1))
		}
		if !solidAt(section, to.Apply(opposite.Add(k.Push.Scale(0.4)))) {
			t.Errorf("no stop across from the pair at %v", k.At)
		}
	}
	if len(d.Rails.Pairs) != 2 {
		t.Errorf("%d pairs", len(d.Rails.Pairs))
	}
}
