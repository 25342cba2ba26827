package cli

import (
	"io"
	"path/filepath"
	"testing"
)

const exampleJob = "../../../testdata/jobs/bouzouki-fingerboard.yaml"

// BenchmarkDesign is the whole main job with every file, on disk. Wanted: under
// one second on two cores.
func BenchmarkDesign(b *testing.B) {
	out := filepath.Join(b.TempDir(), "out")
	for b.Loop() {
		if got := Run([]string{"design", exampleJob, "-o", out}, nil, io.Discard, io.Discard); got != exitHolds {
			b.Fatalf("exit status %d", got)
		}
	}
}

// BenchmarkCheck is the rules alone. Wanted: under 50 ms.
func BenchmarkCheck(b *testing.B) {
	for b.Loop() {
		if got := Run([]string{"check", exampleJob}, nil, io.Discard, io.Discard); got != exitHolds {
			b.Fatalf("exit status %d", got)
		}
	}
}

// BenchmarkFit is one look-up with its text; the whole process is wanted under 20 ms.
func BenchmarkFit(b *testing.B) {
	for b.Loop() {
		if got := Run([]string{"fit", "6", "H7/m6"}, nil, io.Discard, io.Discard); got != exitHolds {
			b.Fatalf("exit status %d", got)
		}
	}
}
