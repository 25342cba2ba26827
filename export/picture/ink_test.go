package picture

import (
	"bytes"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"testing"

	"reseat/jig/geom"
)

// inkOfPNG returns the box of what is not white on a page of the given size, in mm.
func inkOfPNG(t testing.TB, file string, size geom.Vec) geom.Box {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	b, box := img.Bounds(), geom.EmptyBox()
	k := size.X / float64(b.Dx())
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			if r, g, bl, _ := img.At(x, y).RGBA(); r+g+bl < 3*0x8000 {
				box = box.Include(geom.Vec{X: float64(x) * k, Y: size.Y - float64(y+1)*k})
				box = box.Include(geom.Vec{X: float64(x+1) * k, Y: size.Y - float64(y)*k})
			}
		}
	}
	return box
}

// What a PNG shows lies where the marks say; a text keeps within its box.
func TestPNGInk(t *testing.T) {
	size := geom.Vec{X: 60, Y: 40}
	for _, it := range everyMark() {
		it = it.Shifted(size.Scale(0.5).Sub(it.Ink().Center()))
		file := filepath.Join(t.TempDir(), "a.png")
		var b bytes.Buffer
		if err := WritePNG(&b, &Picture{Size: size, Figure: Figure{[]Item{it}}}, 127); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		got, want := inkOfPNG(t, file, size), it.Ink()
		if txt, ok := it.(Text); ok {
			if !want.Grow(0.1).Contains(got.Min) || !want.Grow(0.1).Contains(got.Max) {
				t.Errorf("text %q leaves its box: %v, want within %v", txt.S, got, want)
			}
			if high := min(got.Size().X, got.Size().Y); math.Abs(high-txt.Height) > 0.4 {
				t.Errorf("capitals of %q are %v high, want %v", txt.S, high, txt.Height)
			}
			continue
		}
		if s, ok := it.(Stroke); ok && (s.Pen == PenHidden) { // ends are not square to the axes
			want = want.Grow(-s.Pen.WidthMM / 4)
		}
		if got.Min.Dist(want.Min) > 0.4 || got.Max.Dist(want.Max) > 0.4 {
			t.Errorf("%T: ink %v, want %v", it, got, want)
		}
	}
}

// A hole is white whichever way round its contour runs, and crossing lines stay black.
func TestPNGHoles(t *testing.T) {
	rect := func(a, b float64) geom.Loop {
		return geom.Rect(geom.Box{Min: geom.Vec{X: a, Y: a}, Max: geom.Vec{X: b, Y: b}})
	}
	for _, hole := range []geom.Loop{rect(4, 6), rect(4, 6).Reverse()} {
		p := &Picture{Size: geom.Vec{X: 10, Y: 10}}
		p.Add(Fill{Loops: []geom.Loop{rect(2, 8), hole}})
		p.Line(PenOutline, geom.Vec{X: 1, Y: 9}, geom.Vec{X: 9, Y: 9}, geom.Vec{X: 1, Y: 9})
		var b bytes.Buffer
		if err := WritePNG(&b, p, 254); err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(&b)
		if err != nil {
			t.Fatal(err)
		}
		for at, dark := range map[[2]int]bool{{50, 50}: false, {30, 50}: true, {50, 10}: true, {5, 5}: false} {
			if r, _, _, _ := img.At(at[0], at[1]).RGBA(); (r < 0x8000) != dark {
				t.Errorf("at %v: %v", at, r)
			}
		}
	}
}
