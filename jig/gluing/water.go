// Package gluing holds what happens while a board is glued between its rails: the water that the
// glue brings in, how long it may be moved, pressed and left, where what is squeezed out goes, what
// the rails bear, and where the board ends up on what it is glued to.
//
// Lengths are millimetres, forces newtons, stresses megapascals, times minutes.
package gluing

import (
	"fmt"
	"slices"
	"strings"

	"reseat/jig/sourced"
)

// Board is what gets wet on its underside.
type Board struct {
	LengthMM, WidthMM, ThicknessMM float64 // the width is the largest
	// AcrossPerPct and AlongPerPct are its growth per 1 % of moisture in width and length (package
	// climate).
	AcrossPerPct, AlongPerPct float64
	Density                   sourced.Value // kg/m3; the zero Value: Density of its class
}

// Density returns the density of woods of whose kind no more is known than the class. Common
// practice, no source.
func Density(conifer bool) sourced.Value {
	v := sourced.Value{Least: 550, Most: 900, Unit: "kg/m3", Mark: sourced.Practice, Source: "hardwoods for instruments"}
	if conifer {
		v.Least, v.Most, v.Source = 380, 550, "conifers"
	}
	return v
}

// Wetting is what the water does to a board that nothing presses; 0 with a glue without water.
type Wetting struct {
	Water    sourced.Value `ends:"water_g_m2,water_most_g_m2"`     // into the board
	Moisture sourced.Value `ends:"moisture_pct,moisture_most_pct"` // once it is spread through the thickness
	CupMM    sourced.Value `ends:"cup_mm,cup_most_mm"`             // hollow across the width on the dry face, before it is
	BowMM    sourced.Value `ends:"bow_mm,bow_most_mm"`             // the same along the length
	GrowsMM  sourced.Value `ends:"grows_mm,grows_most_mm"`         // in width, once the water is spread
	NeedsMPa float64       `json:"flat_mpa"`                       // pressure that keeps the cup flat
}

// solids is the share of a glue that stays when its water is gone; the zero Value: no water.
var solids = map[string]sourced.Value{
	"pva":    {Least: 0.5, Most: 0.5, Mark: sourced.Standard, Source: tradeTables},
	"hide":   {Least: 0.2, Most: 0.5, Mark: sourced.Standard, Source: tradeTables},
	"casein": {Least: 0.3, Most: 0.4, Mark: sourced.Practice, Source: "one part of powder to about two of water"},
	"epoxy":  {},
}

const tradeTables = "Formulae and Tables - Wood, Institut fuer Berufliche Entwicklung (GTZ), ch. 11"

var (
	// Half of the water goes into either wood.
	halfOfWater = sourced.One(0.5, "", sourced.Practice, "half of the water goes into either wood")
	// A layer of wood takes up no more than from 10 % to its fibre saturation.
	mostGain = sourced.One(20, "%", sourced.Standard, "Wood Handbook FPL-GTR-190, p. 4-3: fibre saturation about 30 %")
	// deepest is the wet layer, in parts of the thickness, that still counts as one face wet.
	deepest = 0.5
)

// Wet returns what a glue of a spread (g/m2) does to a board whose wood is of stiffness acrossMPa
// across the grain. The error is a glue that is not known.
//
//	W = half x spread x (1 - solids);   mean gain m = W / (rho h)
//	a layer of share f takes all:   eps = C m / f,   curvature = 6 eps f (1 - f) / h
//	cup = curvature w^2 / 8
//
// f runs from the layer that is soaked to fibre saturation, m/20 %, to half of the thickness: the
// water moves on, and when it is spread the cup is gone. Reference: Timoshenko, Analysis of Bi-Metal
// Thermostats, Journal of the Optical Society of America 11, 1925, 233, with two layers of one
// modulus (recalled). Wet wood is softer and yields, so that the cup is an upper bound.
//
//	pressure against it:  p = 32 E h^3 cup / (5 w^4), which a bar on two supports takes
func Wet(glue string, spread sourced.Value, b Board, acrossMPa float64) (Wetting, error) {
	s, ok := solids[glue]
	if !ok {
		return Wetting{}, fmt.Errorf("glue %q is not known; there are pva, epoxy, hide, casein", glue)
	}
	if !s.IsKnown() {
		return Wetting{}, nil
	}
	rho := b.Density
	if !rho.IsKnown() {
		rho = Density(false)
	}
	half := halfOfWater.Least
	var w Wetting
	w.Water = sourced.Computed(spread.Least*(1-s.Most)*half, spread.Most*(1-s.Least)*half, "g/m2",
		"half of spread x (1 - solids)", spread, s, halfOfWater)
	h := b.ThicknessMM
	// g/m2 over kg/m3 and mm: 1e-3 kg/m2 / (kg/m3 x 1e-3 m), times 100 %.
	mean := func(water, rho float64) float64 { return 100 * water / (rho * h) }
	w.Moisture = sourced.Computed(mean(w.Water.Least, rho.Most), mean(w.Water.Most, rho.Least), "%",
		"water / (density x thickness)", w.Water, rho)
	sagitta := func(m, c, f, l float64) float64 { return curl(c*m/f, f, h) * l * l / 8 }
	bend := func(c, l float64, how string) sourced.Value {
		least, most := w.Moisture.Least, w.Moisture.Most
		if most == 0 {
			return sourced.Computed(0, 0, "mm", how, w.Moisture, mostGain)
		}
		soaked := min(deepest, most/mostGain.Least)
		return sourced.Computed(sagitta(least, c, deepest, l), sagitta(most, c, soaked, l), "mm", how, w.Moisture, mostGain)
	}
	w.CupMM = bend(b.AcrossPerPct, b.WidthMM, "6 C m (1 - f)/h x w^2/8")
	w.BowMM = bend(b.AlongPerPct, b.LengthMM, "6 C m (1 - f)/h x L^2/8")
	w.GrowsMM = w.Moisture.Times(b.AcrossPerPct*b.WidthMM, "mm", "growth per % x moisture x width")
	w2 := b.WidthMM * b.WidthMM
	w.NeedsMPa = 32 * acrossMPa * h * h * h * w.CupMM.Most / (5 * w2 * w2)
	return w, nil
}

// curl is the curvature, 1/mm, of a board of which the share f of the thickness at one face would
// grow by eps.
func curl(eps, f, h float64) float64 { return 6 * eps * f * (1 - f) / h }

// oily are words of woods whose oils and resins keep glue off (web: luthierbench.com, how to glue
// oily tropical hardwoods, for cocobolo and its like; the list is common practice, no source).
var oily = strings.Fields("cocobolo rosewood kingwood tulipwood blackwood bocote teak iroko ipe lignum olive " +
	"olivewood ebony " +
	"ziricote snakewood goncalo bubinga padauk padouk purpleheart")

// IsOily reports whether a wood is wiped with a fast solvent, or planed, right before it is glued.
func IsOily(wood string) bool {
	return slices.ContainsFunc(strings.Fields(strings.ToLower(wood)), func(w string) bool {
		return slices.Contains(oily, strings.Trim(w, ",.()"))
	})
}
