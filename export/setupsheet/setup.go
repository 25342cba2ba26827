package setupsheet

import (
	"fmt"
	"strings"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/setup"
	"reseat/jig/units"
)

type box = geom.Box

func at(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }

func boxOf(x0, y0, x1, y1 float64) box { return box{Min: at(x0, y0), Max: at(x1, y1)} }

// setup is the page of one set-up; it may run on.
func (f *flow) setup(d *jig.Design, s setup.Setup, high tallest) {
	f.heading(block.Large, fmt.Sprintf("%d  %s", s.Number, s.Title), 0)
	f.labelled("place", s.Place)
	part := s.Part
	if s.FaceUp != "" {
		part += ", " + s.FaceUp.Name() + " up"
	}
	f.labelled("part", part)
	f.labelled("lies", s.Lies)
	f.labelled("held by", s.LocatedBy)
	if z := s.Zero; z != nil {
		f.labelled("zero", fmt.Sprintf("%s (Z0 is %s above the table)", z.Says, units.Fixed(z.ZMM, 2)))
	}
	if t := s.Tool; t != nil {
		f.labelled("tool", fmt.Sprintf("%s %s, reach at least %s", t.Name, units.Decimal(t.DiameterMM, 3),
			units.Fixed(t.ReachNeededMM, 1)))
	}
	files := s.Files
	if s.Program != "" {
		files = append(files[:len(files):len(files)], s.Program)
	}
	f.labelled("file", strings.Join(files, ", "))
	f.y -= 1.5
	f.put(stackView(d, s, f.wide(), high.stack), true)
	f.put(planView(d, s, f.wide(), high.plan), true)
	f.heading(block.Middle, "Do", 3*linePitch)
	for i, step := range s.Steps {
		f.tick(fmt.Sprintf("%d. %s", i+1, step))
	}
	f.y -= gap / 2
	if len(s.Checks) > 0 {
		f.table(checks(s.Checks, f.wide()))
	}
	if len(s.Cautions) > 0 {
		f.heading(block.Middle, "Mind", 3*linePitch)
		for _, c := range s.Cautions {
			f.lines(0, c)
		}
	}
}

// boxHigh is how high a box is to write into by hand, mm.
const boxHigh = 8.0

// checks are the figures to take before going on, each with its limits and a box for what is read.
func checks(all []setup.Check, wide float64) block.Table {
	t := block.Table{Name: "Check before going on (mm)", Cols: append(
		block.Words("what", "with"), block.Numbers("wanted", "from", "to")...)}
	t.Cols = append(t.Cols, block.Column{Head: []string{"measured"}, Wide: 26},
		tickColumn(func(int) bool { return true }))
	for _, c := range all {
		row := []string{c.What, c.With, "yes", "", "", "", ""}
		if c.Unit != "" {
			places := 2
			if c.Unit != "mm" {
				row[0] += ", " + c.Unit
			}
			row[2], row[3], row[4] = units.Fixed(c.Expected, places), units.Fixed(c.Low, places), units.Fixed(c.High, places)
		}
		t.Rows = append(t.Rows, row)
	}
	t.Limit(1, 36)
	t.Fill(0, wide)
	t.LeastMM = boxHigh
	return t
}

// near writes a text beside a place, where it lies on nothing within a box; it is left out where
// every place is taken by a text or a wide line.
func near(f *block.Figure, p geom.Vec, radius float64, within box, says string) {
	const high = block.Small
	w := picture.TextWidth(says, high)
	for _, allow := range []block.Clash{block.Free, block.OnNarrow} {
		for _, r := range []float64{1, 2.5, 4.5, 7} {
			r += radius
			for _, low := range []geom.Vec{
				at(r, -high/2), at(-r-w, -high/2), at(-w/2, r), at(-w/2, -r-high), at(r, r), at(-r-w, r), at(r, -r-high),
				at(-r-w, -r-high),
			} {
				t := picture.Text{At: p.Add(low), Height: high, S: says}
				if block.Within(within, t.Ink()) && f.WorstClash(t.Ink()) <= allow {
					f.Add(t)
					return
				}
			}
		}
	}
}
