package view

import (
	"fmt"
	"io"
	"testing"

	"reseat/jig"
	"reseat/jig/geom"
)

// BenchmarkWrite draws the reference plate with ever more pin holes, for want of a
// real plate with so many facets.
func BenchmarkWrite(b *testing.B) {
	for _, more := range []int{0, 12, 36, 72} {
		p := referencePrint()
		for i := range more {
			at := geom.Vec{X: 20 + 480*float64(i/2)/float64(more/2), Y: []float64{6, 104}[i%2]}
			p.Holes = append(p.Holes, jig.PrintHole{ID: "x", Center: at, Diameter: 6.1})
		}
		m := built(b, p)
		b.Run(fmt.Sprintf("facets=%d", len(m.Facets)), func(b *testing.B) {
			var n int64
			for b.Loop() {
				c := counter{}
				if err := Write(&c, m, Options{}); err != nil {
					b.Fatal(err)
				}
				n = c.n
			}
			b.ReportMetric(float64(n), "bytes")
		})
	}
}

type counter struct{ n int64 }

func (c *counter) Write(p []byte) (int, error) {
	c.n += int64(len(p))
	return io.Discard.Write(p)
}
