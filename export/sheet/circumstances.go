package sheet

import (
	"fmt"
	"math"
	"strings"

	"reseat/jig"
)

// oddsLines tells how likely every pin enters, for each pair of parts, in one line.
func oddsLines(d *jig.Design) []string {
	var pairs []string
	for i, a := range d.Assembly {
		s := "on " + a.On + " " + percent(a.Odds)
		if i == 0 || a.Part != d.Assembly[i-1].Part {
			s = a.Part + " " + s
		}
		pairs = append(pairs, s)
	}
	if len(pairs) == 0 {
		return nil
	}
	return []string{"Odds that every pin enters: " + strings.Join(pairs, ", ") + "."}
}

// percent writes odds with one decimal; what simulated trials leave open is not
// written as certain.
func percent(odds float64) string {
	switch p := 100 * odds; {
	case p >= 99.95:
		return "over 99.9 %"
	case p < 0.05:
		return "under 0.1 %"
	default:
		return fixed(p, 1, false) + " %"
	}
}

// climateLines tells what the air did to the board, and what that leaves of the
// window's clearance.
func climateLines(d *jig.Design) []string {
	c := d.Climate
	if c == nil {
		return nil
	}
	recalled := ""
	if c.FromMemory {
		recalled = " (coefficients recalled, not seen)"
	}
	out := []string{fmt.Sprintf("Made at %s °C and %s %% RH, now %s °C and %s %%: the board, %s, is %s and %s%s.",
		fixed(c.MadeC, 1, true), fixed(c.MadeRHPct, 1, true), fixed(c.NowC, 1, true), fixed(c.NowRHPct, 1, true),
		c.Wood, grown(c.WidthMM, "wider", "narrower"), grown(c.LengthMM, "longer", "shorter"), recalled)}
	if len(d.Template.Window) == 0 {
		return out
	}
	s := "The window is " + grown(c.WindowMM, "wider", "narrower")
	if c.ClearanceLeftMM > 0 {
		s += fmt.Sprintf("; of %s mm clearance per side %s is left", fixed(d.Template.ClearanceMM, 3, true), fixed(c.ClearanceLeftMM, 3, false))
	} else {
		s += fmt.Sprintf("; the board is %s mm per side too large for it", fixed(-c.ClearanceLeftMM, 3, false))
	}
	if c.EntersBelowRHPct > 0 {
		s += fmt.Sprintf("; the board goes in up to %.0f %% RH", math.Floor(c.EntersBelowRHPct))
	}
	return append(out, s+".")
}

// grown says a change of size in words.
func grown(x float64, more, less string) string {
	s := fixed(math.Abs(x), 3, false) + " mm "
	if fixed(x, 3, true) == "0" {
		return "less than 0.001 mm " + more + " or " + less
	}
	if x < 0 {
		return s + less
	}
	return s + more
}
