package cli

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"
)

// BenchmarkMeasure is datum, locate and zero on a handful of readings, and on many: time
// and memory grow in proportion. Wanted: locate with 10 000 edge touches under 50 ms.
func BenchmarkMeasure(b *testing.B) {
	handful := map[string]string{"datum": "bouzouki-askew.csv", "locate": "bouzouki-edges.csv",
		"zero": "bouzouki-sides.csv"}
	for _, verb := range []string{"datum", "locate", "zero"} {
		b.Run(verb, func(b *testing.B) {
			benchmarkRun(b, verb, filepath.Join("..", "..", "..", "testdata", "readings", handful[verb]), "--job", exampleJob,
				"--probe-mm", "3")
		})
		for _, n := range []int{10_000, 100_000} {
			b.Run(fmt.Sprintf("%s/%d", verb, n), func(b *testing.B) {
				benchmarkRun(b, verb, manyTouches(b, verb, n), "--job", exampleJob)
			})
		}
	}
}

// BenchmarkLocatePins searches the pattern to know where the pins are.
func BenchmarkLocatePins(b *testing.B) {
	benchmarkRun(b, "locate", "../../../testdata/readings/neck-pins.csv", "--job",
		"../../../testdata/jobs/neck-second-side.yaml")
}

func benchmarkRun(b *testing.B, args ...string) {
	b.Helper()
	for b.Loop() {
		if got := Run(args, nil, io.Discard, io.Discard); got == exitInput {
			b.Fatalf("exit status %d", got)
		}
	}
}

// manyTouches writes n touches of the example board's edges, all but some of the long ones,
// with a scatter of +-0.02 mm that needs no random numbers.
func manyTouches(t testing.TB, verb string, n int) string {
	t.Helper()
	text := []byte(map[string]string{"datum": "on", "locate": "name", "zero": "kind"}[verb] + ",x_mm,y_mm\n")
	for i := range n {
		u, off := 478*float64(i)/float64(n), float64(i*7919%41-20)/1000
		half := 41.5/2 + u*(55-41.5)/2/478 + off
		switch {
		case i%100 == 0 && verb != "datum":
			text = fmt.Appendf(text, "start,%.4f,%.3f\n", 30*float64(i)/float64(n)-15, off)
		case i%2 == 0:
			text = fmt.Appendf(text, "left,%.4f,%.4f\n", -half, u)
		default:
			text = fmt.Appendf(text, "right,%.4f,%.4f\n", half, u)
		}
	}
	path := filepath.Join(t.TempDir(), verb+".csv")
	if err := os.WriteFile(path, text, 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestManyReadings: 20 000 honest readings are taken by each of the three.
func TestManyReadings(t *testing.T) {
	for _, verb := range []string{"datum", "locate", "zero"} {
		if got := Run([]string{verb, manyTouches(t, verb, 20_000), "--job", exampleJob}, nil, io.Discard,
			io.Discard); got != exitHolds {
			t.Errorf("%s: exit %d", verb, got)
		}
	}
}
