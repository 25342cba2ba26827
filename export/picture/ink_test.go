package picture

import (
	"image/png"
	"os"
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
