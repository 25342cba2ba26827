package jig

import (
	"fmt"
	"testing"

	"reseat/jig/job"
)

// TestPinRemedies: what a rule of the pins offers is written into the job, and the rule
// passes.
func TestPinRemedies(t *testing.T) {
	keys := []string{"bed.thickness", "dowel.length", "template.thickness", "blank.thickness"}
	for _, c := range []struct {
		name, rule, key string
		level           Level
		values          [4]string
	}{
		{"proud in a thin bed", "pin-proud", "dowel.length", Fail, [4]string{"18", "24", "6", "26"}},
		{"too short for the bed", "pin-in-bed", "dowel.length", Fail, [4]string{"18", "8", "6", "26"}},
		{"too short for the plate", "pin-holds-template", "dowel.length", Fail, [4]string{"18", "12", "6", "26"}},
		{"plate too thin", "pin-holds-template", "template.thickness", Warn, [4]string{"18", "14", "4", "26"}},
		{"thin floor", "pin-floor", "dowel.length", Warn, [4]string{"18", "22", "6", "26"}},
		{"bed too thin", "pin-in-bed", "bed.thickness", Fail, [4]string{"6", "14", "6", "26"}},
		{"blank too thin", "glue-pin", "blank.thickness", Fail, [4]string{"18", "14", "6", "5"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			made := func(v [4]string) *Design {
				j, err := job.Parse("job.yaml", fmt.Appendf(nil, "board: {length: 300, width: 40, thickness: 4}\n"+
					"bed: {thickness: %s, make: {by: router, cutter: 3}}\n"+
					"dowel: {diameter: 6, class: h8, standard: iso 2338, length: %s}\n"+
					"template: {seat: nest, material: cast acrylic, thickness: %s, margin: 30, make: {by: laser}}\n"+
					"blank: {length: 420, width: 120, thickness: %s, wood: maple}\n", v[0], v[1], v[2], v[3]))
				if err != nil {
					t.Fatal(err)
				}
				return build(t, j)
			}
			r := rule(t, made(c.values), c.rule)
			if r.Level != c.level || len(r.Remedies) != 1 || r.Remedies[0].Set[0].Key != c.key {
				t.Fatalf("got %+v", r)
			}
			for i, k := range keys {
				if k == c.key {
					c.values[i] = r.Remedies[0].Set[0].Value
				}
			}
			if after := rule(t, made(c.values), c.rule); after.Level != Pass || len(after.Remedies) != 0 {
				t.Errorf("with %+v it still says %s: %s", r.Remedies[0].Set[0], after.Level, after.Says)
			}
		})
	}
}
