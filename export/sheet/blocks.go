package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/export"
	"reseat/export/block"
	"reseat/jig"
	"reseat/jig/setup"
	"reseat/jig/units"
)

// pinName names a pin as on a parts list: standard, size, class. What the job
// leaves out is left out.
func pinName(p jig.Pin) string {
	size := block.MM(p.Dowel.NominalMM)
	if l := p.Dowel.LengthMM; l > 0 {
		size += " x " + block.MM(l)
	}
	return strings.Join(strings.Fields(p.Dowel.Title()+" "+size+" "+p.Dowel.Class), " ")
}

// pinTable lists where every pin stands.
func pinTable(d *jig.Design) block.Table {
	from := "first"
	if len(d.Pins) > 0 {
		from = block.FitText(d.Pins[0].ID, 20)
	}
	t := block.Table{Name: "Pins (mm)", Cols: slices.Concat(
		block.Words("id", "role"), block.Numbers("u", "v", "machine\nX", "machine\nY", "from\n"+from),
	)}
	for _, p := range d.Pins {
		t.Rows = append(t.Rows, []string{
			p.ID, string(p.Role), units.Fixed(p.At.X, 2), units.Fixed(p.At.Y, 2),
			units.Fixed(p.Machine.X, 2), units.Fixed(p.Machine.Y, 2), units.Fixed(p.At.Dist(d.Pins[0].At), 2),
		})
	}
	if len(d.Pins) > 0 {
		t.Foot = append(t.Foot, "Pins: "+pinName(d.Pins[0])+". Zero is the start of the datum line; "+
			"\"from\" is the distance of the centres.")
	}
	return t
}

// holeTable lists the holes of every part with the numbers to make them by, so wide.
func holeTable(d *jig.Design, wide float64) block.Table {
	t := block.Table{Name: "Holes (mm)", Cols: slices.Concat(
		block.Words("part", "pins", "hole"), block.Numbers("drawn\nØ", "finished\nmin", "finished\nmax", "deep"),
		block.Words("class", "made by"),
	)}
	for _, g := range d.HoleGroups() {
		h := g.Hole
		hole, deep := string(h.Role), "through"
		if h.SlotMM > 0 {
			hole = fmt.Sprintf("slot %s at %s°", units.Decimal(h.SlotMM, 2), units.Decimal(lineDeg(h.SlotAngleUV), 1))
		}
		if h.DepthMM > 0 {
			deep = fmt.Sprintf("%s, floor %s", units.Fixed(h.DepthMM, 2), units.Fixed(h.FloorMM, 2))
		}
		t.Rows = append(t.Rows, []string{
			partName(d, g.Part), g.Who(), hole, units.Fixed(h.DrawnMM, 3), units.Fixed(h.MinMM, 3), units.Fixed(h.MaxMM, 3),
			deep, h.Class, h.Made,
		})
	}
	t.Foot = append(t.Foot, "A slot's diameter is its width; its figure is the travel, and its direction "+
		"that from +u, counter-clockwise.", "Drawn: in the cut file, kerf taken off; holes that are opened afterwards are under size.")
	t.Limit(1, 30)
	t.Limit(2, 40)
	t.Limit(6, 24)
	t.Fit(len(t.Cols)-1, wide)
	return t
}

// partName is what the set-ups call a part.
func partName(d *jig.Design, part string) string {
	glues := slices.ContainsFunc(d.Setups, func(s setup.Setup) bool { return s.ID == setup.CutGluingPlate })
	switch {
	case part == "rails", part == "print" && glues:
		return setup.GluingPlate
	case part == "print":
		return "template, if printed"
	}
	return part
}

// lineDeg is the direction of a line, which has no head: over -90 to 90 degrees.
func lineDeg(rad float64) float64 {
	deg := math.Mod(rad*180/math.Pi, 180)
	switch {
	case deg > 90:
		deg -= 180
	case deg <= -90:
		deg += 180
	}
	return deg
}

// notes are what always holds for a paper.
func notes(d *jig.Design, drawn scaled) *block.Figure {
	var s []string
	if d.Template.ClearanceMM > 0 && len(d.Template.Window) > 0 {
		s = append(s, "Clearance of board in window: "+block.MM(d.Template.ClearanceMM)+" per side, too small to show at "+
			drawn.scale()+".")
	}
	return block.Prose("Notes and safety", append(s,
		"Paper is for checking, never for locating: cut from the cut files, and measure pin distances with calipers.",
		"Seat the pins, then check the datum line with an indicator before the first cut.",
		export.Safety))
}
