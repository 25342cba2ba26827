package report

import (
	"path/filepath"
	"slices"
	"testing"

	"reseat/jig"
	"reseat/jig/job"
)

// What a maker must buy or fetch besides stock, pins and cutters is told; nothing that no set-up uses is.
func TestTools(t *testing.T) {
	for name, want := range map[string][]string{
		"bouzouki-fingerboard": {
			"reamer for the template: 6.03 mm",
			"reamer for the gluing plate: 6.04 mm", "double-sided tape, a thin spatula",
			"release film: packing tape, 0.05 thick", "pad: cork, 2 thick", "caul: plywood, 13 thick",
			"glue: pva; 8 clamps of 2000 N", "to measure: caliper, 0.05 mm feeler, dial indicator",
		},
		"neck-second-side": {"to measure: caliper, 0.05 mm feeler, dial indicator, depth gauge"},
		"cover-symmetric":  {"double-sided tape, a thin spatula", "to measure: caliper, 0.05 mm feeler, dial indicator"},
	} {
		j, err := job.Read(filepath.Join("..", "..", "..", "testdata", "jobs", name+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		d, err := jig.Build(j)
		if err != nil {
			t.Fatal(err)
		}
		if got := ToolList(d); !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}
