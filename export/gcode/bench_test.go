package gcode

import (
	"io"
	"testing"

	"reseat/jig/toolpath"
)

// BenchmarkWrite writes the sample with its read-back: some two hundred moves.
func BenchmarkWrite(b *testing.B) {
	p := sample(b, toolpath.Settings{})
	for b.Loop() {
		if err := Write(io.Discard, p, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
