package dowel

import (
	"fmt"
	"slices"
	"strings"

	"reseat/fit"
)

// directSteps says how to make a hole that the process finishes itself.
func (r Request) directSteps(c candidate) []string {
	what, p := r.what(), c.direct
	var s []string
	switch p.Kind {
	case fit.Router:
		s = append(s, fmt.Sprintf("Bore the %s to %.2f mm: helical bore, one finishing pass at full depth.", what,
			c.MeanMM))
	case fit.Drill:
		name := fmt.Sprintf("%.2f mm", c.DrawnMM)
		if c.bit != nil {
			name = c.bit.String()
		}
		switch {
		case c.bit == nil:
			s = append(s, fmt.Sprintf("Bore it to %s: no drill of the series is so large.", name))
		case c.DrawnMM > r.ThereMM+sameDrillMM || r.Slot:
			s = append(s, fmt.Sprintf("Drill %s, square to the face, on scrap so that the far side does not break out.",
				name))
		}
		if r.Slot && c.bit != nil {
			s[0] = fmt.Sprintf("Drill both ends of the slot %s, saw between them and file to the line.", name)
		}
	case fit.Laser:
		s = append(s, fmt.Sprintf("Cut the %s %.2f mm true size (kerf apart); the beam's side comes out wider by "+
			"%.2f mm.", what, c.DrawnMM, p.TaperMM))
	case fit.Print:
		s = append(s, fmt.Sprintf("Print the %s %.2f mm, its axis upright, so that layers do not step the wall.", what,
			c.DrawnMM))
		if d, ok := drillFrom(r.series(), c.MinMM); ok && !r.Slot {
			s = append(s, fmt.Sprintf("Measure it; if it is under %.2f mm open it with a %s drill.", c.MinMM, d))
		}
	}
	if r.Purpose != Clear {
		s = append(s, fmt.Sprintf("Chamfer the entry %.1f mm by 45 degrees.", c.ChamferMM))
	}
	switch r.Purpose {
	case Press:
		s = append(s, "Press one pin into scrap first; drive it square, not at an angle.")
	case Locate, Slide:
		s = append(s, fmt.Sprintf("Try a pin in a %s in scrap first: it must go in by hand; correct the size by "+
			"what is measured.", what))
	}
	return s
}

// openSteps says how to make a hole that is drawn under and opened afterwards.
func (r Request) openSteps(c candidate) []string {
	var s []string
	verbs := map[fit.ProcessKind]string{fit.Laser: "Cut", fit.Print: "Print", fit.Router: "Bore"}
	if verb := verbs[r.Process.Kind]; verb != "" {
		finish := "reaming"
		if r.Slot {
			finish = "milling or filing"
		}
		s = append(s, fmt.Sprintf("%s the %s %.2f mm, under size: it leaves stock for %s.", verb, r.what(), c.DrawnMM,
			finish))
	}
	if r.Slot {
		if len(s) == 0 {
			s = append(s, fmt.Sprintf("Drill both ends of the slot %.1f mm or the next drill under, and saw between "+
				"them.", c.DrawnMM))
		}
		return append(s,
			fmt.Sprintf("Open it to %.3f to %.3f mm across: an end mill a little under size with a fence along the "+
				"slot, or a file; a slot cannot be reamed.",
				c.MinMM, c.MaxMM),
			"Stop as soon as the pin itself slides through as a go gauge without clearance across.",
			fmt.Sprintf("Break the edges %.1f mm.", c.ChamferMM))
	}
	there := r.ThereMM
	if len(s) > 0 {
		there = max(there, c.DrawnMM)
	}
	if d := c.PreDrill; d != nil && d.Drill(false) == nil && there == 0 {
		s = append(s, fmt.Sprintf("Bore it to %.2f to %.2f mm: no drill of the series leaves the %s to %s mm that the "+
			"reamer needs.", d.FromMM, d.UpToMM, short(d.LowMM), short(d.HighMM)))
	} else if d != nil {
		if names := drills(d, r.Pin.IsInch(), there); names != "" {
			s = append(s, fmt.Sprintf("Drill %s through, plate clamped on scrap, square to the face%s.", names,
				acrylicNote(r.family())))
		}
	}
	instead := ""
	if c.Stock != nil {
		instead = fmt.Sprintf(" (%s would need only the stock H7 one)", c.Stock.Pin)
	}
	s = append(s,
		fmt.Sprintf("Ream through to %.3f to %.3f mm with a reamer of %.3f to %.3f mm: %s%s.", c.MinMM, c.MaxMM,
			c.Reamer.MinMM, c.Reamer.MaxMM, c.Reamer.Buy[0], instead),
		fmt.Sprintf("Chamfer both faces %.1f mm by 45 degrees.", c.ChamferMM))
	if r.Purpose == Press {
		return append(s, "Press one pin into scrap first; drive it square.")
	}
	return append(s, "Try every pin: it must go in by hand.")
}

// drills names the drill of each series that cuts more than the hole that is there, that
// of the pin's own series first; "" where that hole is as large already.
func drills(d *PreReamSize, inch bool, there float64) string {
	series := []*DrillSize{d.Metric, d.Inch}
	if inch {
		slices.Reverse(series)
	}
	var names []string
	for _, x := range series {
		if x != nil && x.DiameterMM > there+sameDrillMM {
			names = append(names, x.String())
		}
	}
	return strings.Join(names, " or ")
}

// acrylicNote: a drill ground for metal grabs and chips acrylic; common practice,
// no source.
func acrylicNote(f fit.Family) string {
	if f == fit.CastAcrylic || f == fit.ExtrudedAcrylic {
		return ", slowly, the drill's edges stoned blunt so that it does not grab"
	}
	return ""
}
