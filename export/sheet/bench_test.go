package sheet

import (
	"io"
	"testing"
)

func BenchmarkDrawing(b *testing.B) {
	d := samples()["bouzouki"]
	for b.Loop() {
		l, err := Drawing(d)
		if err != nil {
			b.Fatal(err)
		}
		if err := WriteSVG(io.Discard, l); err != nil {
			b.Fatal(err)
		}
	}
}
