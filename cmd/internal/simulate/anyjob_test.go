package simulate

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"reseat/cmd/internal/cli"
	"reseat/jig/job"
)

// FuzzAnyJob cuts the programs of jobs that nobody thought of: nest or pins, either axis,
// turned over or not, any thickness, routed or drilled, flat or crowned, cutters with and
// without a collet. To dig deeper: go test ./cmd/internal/simulate -run - -fuzz AnyJob.
func FuzzAnyJob(f *testing.F) {
	for seed := range uint64(4) {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, seed uint64) {
		t.Parallel()
		dir := t.TempDir()
		path, text := filepath.Join(dir, "any.yaml"), anyJob(rand.New(rand.NewPCG(seed, 0)))
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		var out, errs bytes.Buffer
		switch got := cli.Run([]string{"design", path, "-o", filepath.Join(dir, "any")}, nil, &out, &errs); {
		case got == 2:
			t.Skip(errs.String()) // two features in one place, say
		case got > 2:
			t.Fatalf("exit %d\n%s", got, errs.String())
		}
		j, err := job.Read(path)
		if err != nil {
			t.Fatal(err)
		}
		r, err := readRecord(filepath.Join(dir, "any"))
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range r.Programs {
			file := filepath.Join(dir, "any", p.File)
			if _, err := os.Stat(file); err != nil {
				continue // withheld: a rule on safety fails
			}
			s := setupOf(j, r, p.File, 1)
			s.walls()
			for _, fault := range append(s.differs(j, r, p.File), s.run(read(t, file))...) {
				t.Errorf("seed %d, %s: %s\n%s", seed, p.File, fault, text)
			}
		}
	})
}

// anyJob draws a job file.
func anyJob(rng *rand.Rand) string {
	pick := func(words ...string) string { return words[rng.IntN(len(words))] }
	mm := func(least, most float64) float64 { return math.Round(10*(least+(most-least)*rng.Float64())) / 10 }
	length, start, end, thick, cutter := mm(120, 700), mm(34, 90), mm(34, 90), mm(5, 40), mm(2, 6)
	seat, flip := pick("nest", "pins"), pick("none", "long", "short")
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("title: any")
	line("units: mm")
	line("board:")
	line("  length: %g", length)
	line("  width: {start: %g, end: %g}", start, end)
	line("  thickness: %g", thick)
	if flip == "none" && rng.IntN(2) == 0 {
		line("  crown_radius: %g", mm(250, 900))
	}
	line("  features:")
	for i := range 1 + rng.IntN(5) {
		more := fmt.Sprintf("bore: %g, depth: %g", mm(cutter+0.3, 14), mm(0.8, thick*0.8))
		if rng.IntN(4) == 0 {
			disc := mm(cutter+0.5, 12)
			more = fmt.Sprintf("bore: %g, inlay: {measured: [%g, %g], thickness: %g}", disc-0.3, disc, disc+0.02,
				mm(1.5, thick*0.7))
		}
		if flip != "none" && rng.IntN(2) == 0 {
			more += ", side: under"
		}
		line("    - {name: f%d, u: %g, v: %g, %s}", i, mm(15, length-15), mm(-9, 9), more)
	}
	by := pick("router", "router", "drill")
	made := func() string {
		if by == "drill" {
			return "{by: drill}"
		}
		return fmt.Sprintf("{by: router, cutter: %g}", mm(3, 5))
	}
	if seat == "pins" || rng.IntN(2) == 0 {
		line("blank: {length: %g, width: %g, thickness: %g, make: %s%s}", length+mm(80, 160), max(start, end)+mm(60, 120),
			thick+mm(0, 12), made(), pick("", ", bored_with_bed: false"))
	}
	line("bed: {material: mdf, thickness: %g, make: %s}", mm(12, 40), made())
	line("machine: {long_axis: %s, cutter: 6%s}", pick("x", "y"), pick("", fmt.Sprintf(
		", cutters: [{diameter: %g, reach: %g, collet: {diameter: 24, below: %g}}]", mm(1.8, 3), mm(8, 15), mm(16, 30))))
	line("dowel: {standard: iso 2338, class: h8, diameter: %s}", pick("5", "6", "8"))
	line("template: {seat: %s, flip: %s, thickness: %g, margin: %g, make: %s}", seat, flip, mm(4, 12), mm(20, 40),
		pick("{by: laser}", "{by: router, cutter: 3}", "{by: print}"))
	if seat == "nest" && rng.IntN(2) == 0 {
		line("rails: {height: %g}", mm(3, thick-0.5))
	}
	line("pockets: {cutter: %s, first_under: %s}", pick(fmt.Sprint(cutter), fmt.Sprintf(
		"{diameter: %g, collet: {diameter: 22, below: %g}}", cutter, mm(3, 25))), pick("0", "0.2"))
	line("cutting: {safe: %g, finish: %g, turn: %g, dialect: %s}", mm(2, 8), max(0.05, mm(0, 1)), mm(0.3, 4),
		pick("plain", "ngc"))
	line("accuracy: 0.5")
	return b.String()
}
