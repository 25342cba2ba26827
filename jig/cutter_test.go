package jig

import (
	"fmt"
	"strings"
	"testing"

	"reseat/jig/job"
)

// TestCutterRemedies: what a rule on a cutter offers is written into the job, and the rule
// passes; a program that the rule kept back is there then.
func TestCutterRemedies(t *testing.T) {
	const text = "board: {length: 300, width: 40, thickness: 6, features: [{name: dot, u: 150, v: 10, bore: 6, depth: 4}]}\n" +
		"bed: {material: mdf, thickness: 18, make: {by: router, cutter: %s}}\n" +
		"dowel: {diameter: 6, class: h8, standard: iso 2338}\n" +
		"template: {seat: nest, material: cast acrylic, thickness: %d, margin: 30, clearance: 0.2, make: {by: laser}}\n" +
		"pockets: {cutter: %s}\naccuracy: 1\nmachine: {cutters: %s}\n"
	const good = "{diameter: 4, reach: 30}"
	for _, c := range []struct {
		name, bed, pockets, cutters string
		plate                       int
		rule, key                   string
		level                       Level
		kept                        string // the program that is not written
	}{
		{"does not reach", good, "{diameter: 3, reach: 3.5}", "[]", 6, "reach-board", "pockets.cutter", Fail, "pockets.nc"},
		{"stands out too little", good, "{diameter: 3, collet: {diameter: 16, below: 3}}", "[]", 6, "reach-board",
			"pockets.cutter", Fail, "pockets.nc"},
		{"reach not stated", "2", "3", "[]", 6, "reach-bed", "bed.make.cutter", Warn, ""},
		{"plate beside it", good, "{diameter: 3, reach: 5}", "[]", 12, "reach-board", "pockets.cutter", Warn, ""},
		{"collet on the plate", good, "{diameter: 3, reach: 6, collet: {diameter: 30, below: 9}}", "[]", 12, "cutter-clear",
			"pockets.cutter", Fail, "pockets.nc"},
		{"nearly as thick as the hole", "5.6", good, "[]", 6, "cutter-in-bed", "bed.make.cutter", Warn, ""},
		{"a better one is there", "5.6", good, "[3.175, {diameter: 4.5, reach: 20, teeth: 1}]", 6, "cutter-in-bed",
			"bed.make.cutter", Warn, ""},
		{"as thick as the hole", "6.5", good, "[]", 6, "cutter-in-bed", "bed.make.cutter", Fail, "bores.nc"},
	} {
		t.Run(c.name, func(t *testing.T) {
			made := func(bed, pockets string) *Design {
				j, err := job.Parse("job.yaml", fmt.Appendf(nil, text, bed, c.plate, pockets, c.cutters))
				if err != nil {
					t.Fatal(err)
				}
				d, err := Build(j)
				if err != nil {
					t.Fatal(err)
				}
				return d
			}
			d := made(c.bed, c.pockets)
			r := rule(t, d, c.rule)
			if r.Level != c.level || len(r.Remedies) != 1 || r.Remedies[0].Set[0].Key != c.key {
				t.Fatalf("got %+v", r)
			}
			value := r.Remedies[0].Set[0].Value
			if !strings.Contains(r.Says, c.key+": "+value) {
				t.Errorf("what to write is not told: %s", r.Says)
			}
			if c.kept != "" && (d.program(c.kept) != nil || d.Unwritten[0].File != c.kept) {
				t.Errorf("%s is written: %+v", c.kept, d.Unwritten)
			}
			bed, pockets := c.bed, c.pockets
			if c.key == "bed.make.cutter" {
				bed = value
			} else {
				pockets = value
			}
			after := made(bed, pockets)
			if r := rule(t, after, c.rule); r.Level != Pass || len(r.Remedies) != 0 {
				t.Errorf("with %s: %s it still says %s: %s", c.key, value, r.Level, r.Says)
			}
			if len(after.Unwritten) != 0 {
				t.Errorf("not written: %+v", after.Unwritten)
			}
		})
	}
}
