package solid

import (
	"bytes"
	"testing"

	"reseat/jig"
)

// BenchmarkPlates times build, verification, STL and read-back of the reference
// plate as it is, with chamfers, and with six ids and a word as well.
func BenchmarkPlates(b *testing.B) {
	for _, bc := range []struct {
		name  string
		print func() *jig.Print
	}{
		{"plain", referencePlate},
		{"chamfers", func() *jig.Print { return chamfered(referencePlate()) }},
		{"chamfers-and-marks", func() *jig.Print { return chamfered(lettered(b, referencePlate())) }},
	} {
		b.Run(bc.name, func(b *testing.B) { benchmarkThroughFile(b, bc.print) })
	}
}

// benchmarkThroughFile builds and verifies a print, writes it as STL, reads it back
// and checks what was read.
func benchmarkThroughFile(b *testing.B, print func() *jig.Print) {
	b.ReportAllocs()
	var facets int
	for b.Loop() {
		p := print()
		s, err := Build(p)
		if err != nil {
			b.Fatal(err)
		}
		var buf bytes.Buffer
		if err := WriteSTL(&buf, s.Mesh, p.File); err != nil {
			b.Fatal(err)
		}
		if err := readSTL(b, buf.Bytes()).check(); err != nil {
			b.Fatal(err)
		}
		facets = s.Facets
	}
	b.ReportMetric(float64(facets), "facets")
}
