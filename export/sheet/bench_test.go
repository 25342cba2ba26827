package sheet

import (
	"io"
	"testing"

	"reseat/export/picture"
)

func BenchmarkDrawing(b *testing.B) {
	d := samples()["bouzouki"]
	for b.Loop() {
		l, err := Drawing(d)
		if err != nil {
			b.Fatal(err)
		}
		if err := picture.WriteSVG(io.Discard, l); err != nil {
			b.Fatal(err)
		}
	}
}
