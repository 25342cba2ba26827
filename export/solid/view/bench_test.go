package view

import (
	"fmt"
	"testing"

	"reseat/jig"
)

// BenchmarkWrite draws the reference plate, bare and with chamfers and engraved ids.
func BenchmarkWrite(b *testing.B) {
	bevelled := referencePrint()
	bevelled.EntryMM = 0.6
	for _, p := range []*jig.Print{referencePrint(), bevelled, fullPrint(b)} {
		m := built(b, p)
		b.Run(fmt.Sprintf("facets=%d", len(m.Facets)), func(b *testing.B) {
			var c counter
			for b.Loop() {
				c = 0
				if err := Write(&c, m, Options{}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(c), "bytes")
		})
	}
}

// counter counts what is written to it.
type counter int

func (c *counter) Write(p []byte) (int, error) {
	*c += counter(len(p))
	return len(p), nil
}
