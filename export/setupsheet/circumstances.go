package setupsheet

import (
	"fmt"
	"math"
	"strings"

	"reseat/jig"
	"reseat/jig/units"
)

// oddsLines tells how likely all pins assemble, for each pair of parts, in one line.
func oddsLines(d *jig.Design) []string {
	var pairs []string
	for i, a := range d.Assembly {
		s := "onto " + a.On + " " + percent(a.Odds)
		if i == 0 || a.Part != d.Assembly[i-1].Part {
			s = a.Part + " " + s
		}
		pairs = append(pairs, s)
	}
	if len(pairs) == 0 {
		return nil
	}
	return []string{"Probability that all pins assemble: " + strings.Join(pairs, ", ") + "."}
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
		return units.Fixed(p, 1) + " %"
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
		recalled = " (coefficients recalled)"
	}
	out := []string{fmt.Sprintf("Made at %s °C and %s %% RH, now %s °C and %s %%: the board, %s, is %s and %s%s.",
		units.Decimal(c.MadeC, 1), units.Decimal(c.MadeRHPct, 1), units.Decimal(c.NowC, 1), units.Decimal(c.NowRHPct, 1),
		c.Wood, grown(c.WidthMM, "wider", "narrower"), grown(c.LengthMM, "longer", "shorter"), recalled)}
	if len(d.Template.Window) == 0 {
		return out
	}
	s := "The window is drawn for the board now"
	if c.SinceMM != 0 {
		s += fmt.Sprintf(", %s than when it was measured at %s °C and %s %%", grown(c.SinceMM, "wider", "narrower"),
			units.Decimal(c.MeasuredC, 1), units.Decimal(c.MeasuredRHPct, 1))
	}
	s += fmt.Sprintf(", clearance %s mm per side", units.Decimal(d.Template.ClearanceMM, 3))
	if c.EntersBelowRHPct > 0 {
		s += fmt.Sprintf("; the board fits up to %.0f %% RH", math.Floor(c.EntersBelowRHPct))
	}
	return append(out, s+".")
}

// grown says a change of size in words.
func grown(x float64, more, less string) string {
	s := units.Fixed(math.Abs(x), 3) + " mm "
	if units.Decimal(x, 3) == "0" {
		return "less than 0.001 mm " + more + " or " + less
	}
	if x < 0 {
		return s + less
	}
	return s + more
}
