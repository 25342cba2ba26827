package setupsheet

import (
	"fmt"

	"reseat/export/block"
	"reseat/jig"
	"reseat/jig/units"
)

// mostAcross is how many pins a table of their distances has across; wider it leaves the page.
const mostAcross = 8

// account is where the error comes from, what is measured between the pins, and what to mind.
func (f *flow) account(d *jig.Design) {
	f.heading(block.Large, "How near it comes back", 3*linePitch)
	f.table(featureTable(d))
	f.errorBudget(d)
	f.distances(d)
	f.rules(d)
	if len(d.Notes) > 0 {
		f.heading(block.Middle, "Notes", 2*linePitch)
		for _, n := range d.Notes {
			f.lines(0, n)
			f.y -= 1
		}
	}
}

// distances are those between the pins' centres, for a caliper: paper checks, it never locates.
func (f *flow) distances(d *jig.Design) {
	if len(d.Pins) < 2 {
		return
	}
	for from := 0; from < len(d.Pins)-1; from += mostAcross {
		across := d.Pins[from:min(from+mostAcross, len(d.Pins)-1)]
		t := block.Table{Name: "Distances of the pins' centres, for the caliper (mm)", Cols: block.Words("")}
		for _, q := range across {
			t.Cols = append(t.Cols, block.Numbers(block.FitText(q.ID, 16))...)
		}
		for i, q := range d.Pins[from+1:] {
			row := []string{block.FitText(q.ID, 16)}
			for j, o := range across {
				if from+1+i <= from+j {
					row = append(row, "")
					continue
				}
				row = append(row, units.Fixed(q.At.Dist(o.At), 2))
			}
			t.Rows = append(t.Rows, row)
		}
		if p := d.Pins[0].Dowel; from == 0 {
			t.Foot = []string{fmt.Sprintf("Over two pins the caliper reads one pin more: %s to %s.",
				units.Fixed(p.MinMM, 3), units.Fixed(p.MaxMM, 3))}
		}
		f.table(t)
	}
}

// rules lists what fails or warns, the failures first.
func (f *flow) rules(d *jig.Design) {
	t := block.Table{Name: "Rules that fail or warn", Cols: block.Words("level", "rule", "finding and remedy")}
	for _, want := range []jig.Level{jig.Fail, jig.Warn} {
		for _, r := range d.Rules {
			if r.Level == want {
				t.Rows = append(t.Rows, []string{string(r.Level), r.ID, r.Says})
			}
		}
	}
	if len(t.Rows) == 0 {
		f.heading(block.Middle, "Rules", linePitch)
		f.lines(0, fmt.Sprintf("All pass (%d checked).", len(d.Rules)))
		f.y -= gap
		return
	}
	t.Fill(2, f.wide())
	f.table(t)
}
