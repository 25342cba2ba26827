package job

import (
	"testing"

	"reseat/jig/units"
)

func BenchmarkParse(b *testing.B) {
	data := Starter(units.MM)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, err := Parse("starter.yaml", data); err != nil {
			b.Fatal(err)
		}
	}
}
