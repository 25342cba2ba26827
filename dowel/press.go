package dowel

import (
	"errors"
	"fmt"
	"math"

	"reseat/fit"
	"reseat/jig/climate"
)

// A cylinder is one part of a press fit: Young's modulus, MPa, and Poisson's ratio.
type cylinder struct{ e, nu float64 }

// interferencePressure is the pressure between a hub (outer radius ro, in any unit of
// length) and a shaft (inner radius ri, 0 when solid) that meet at radius r with
// a radial interference delta:
//
//	p = (delta/r) / { [(ro^2+r^2)/(ro^2-r^2) + nu_o]/E_o + [(r^2+ri^2)/(r^2-ri^2) - nu_i]/E_i }
//
// in the unit of E. Thick-cylinder formula (Lame; standard: Budynas and Nisbett,
// Shigley's Mechanical Engineering Design); worked cases in
// testdata/reference/pressfit_cases.csv.
func interferencePressure(hub, shaft cylinder, ri, r, ro, delta float64) float64 {
	in := (r*r + ri*ri) / (r*r - ri*ri)
	return delta / r / ((hubFactor(r, ro)+hub.nu)/hub.e + (in-shaft.nu)/shaft.e)
}

// hubFactor is the tangential stress at the bore of a hub over the pressure there.
func hubFactor(r, ro float64) float64 { return (ro*ro + r*r) / (ro*ro - r*r) }

// A PressError is a press fit that would craze the plate in time.
type PressError struct {
	Material       string
	InterferenceMM float64 `json:"interference_mm"` // maximum, on the diameter, cooling included
	CoolingMM      float64 `json:"cooling_mm"`      // the part of it that comes from cooling
	StressMPa      float64 `json:"stress_mpa"`      // hoop stress at the bore
	CrazingMPa     float64 `json:"crazing_mpa"`     // long-term limit
}

func (e *PressError) Error() string {
	over := "over"
	if e.StressMPa <= e.CrazingMPa {
		over = "over half of" // a cut bore bears no more
	}
	return fmt.Sprintf("no press fit in %s: an interference of %.3f mm (%.3f of it from cooling by %.0f K) puts "+
		"%.1f MPa of hoop stress at the bore, "+
		"%s the long-term crazing limit of %.1f MPa (web: one maker's design stress; which of its grades is cast is "+
		"recalled); "+
		"use a locating fit and glue the pin, or hold it in the bed",
		e.Material, e.InterferenceMM, e.CoolingMM, coolingK, e.StressMPa, over, e.CrazingMPa)
}

// Constants of the press fit in acrylic.
const (
	// The long-term design stress of two grades of one maker's acrylic against
	// crazing; that they are the cast and the extruded one is recalled
	// (testdata/reference/materials.csv).
	castMPa, extrudedMPa = 10.3, 5.2
	// Young's modulus (web: two makers of sheet) and Poisson's ratio (standard:
	// Dowling, Mechanical Behavior of Materials, table 5.2), the same file.
	castE, extrudedE = 3100, 2800
	acrylicNu        = 0.35
	// Carbon steel (web: constants of a solution manual), the same file.
	steelE, steelNu = 207000, 0.292
	// coolingK: fitted at 20 C, left overnight at 5 C. Common practice, no source.
	coolingK = 15.0
	// webDiameters is the plate left around the hole, in pin diameters: the least
	// useful web. Common practice, no source.
	webDiameters = 1.5
	// cutEdge is the share of the limit that a cut bore may carry: the limit is of
	// smooth sheet, while a bore has tool marks or the laser's own stress, and spirit
	// on a rag does the rest. Common practice, no source.
	cutEdge = 0.5
)

// pressStress gives the hoop stress at the bore of an acrylic plate around a
// steel pin, at the maximum interference (mm on the diameter) that the limits
// allow and after cooling, with the limit that it must stay below (MPa). The plate
// shrinks by the most that its sources have.
func pressStress(family fit.Family, nominal, interference float64) (stress, limit, total, cooling float64, err error) {
	plate, err1 := climate.Expansion(string(family))
	steel, err2 := climate.Expansion("steel")
	if err := errors.Join(err1, err2); err != nil {
		return 0, 0, 0, 0, err
	}
	hub, limit := cylinder{castE, acrylicNu}, castMPa
	if family == fit.ExtrudedAcrylic {
		hub.e, limit = extrudedE, extrudedMPa
	}
	cooling = nominal * (plate.Most - steel.Least) * coolingK
	total = math.Max(0, interference) + cooling
	r := nominal / 2
	ro := r + webDiameters*nominal
	p := interferencePressure(hub, cylinder{steelE, steelNu}, 0, r, ro, total/2)
	return p * hubFactor(r, ro), limit, total, cooling, nil
}
