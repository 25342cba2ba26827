package dowel

import (
	"fmt"
	"math"
	"strings"

	"reseat/fit"
	"reseat/jig/climate"
)

// A Cylinder is one part of a press fit. E is Young's modulus, Nu Poisson's ratio.
type Cylinder struct{ E, Nu float64 }

// InterferencePressure is the pressure between a hub (outer radius ro, in any unit of
// length) and a shaft (inner radius ri, 0 when solid) that meet at radius r with
// a radial interference delta:
//
//	p = (delta/r) / { [(ro^2+r^2)/(ro^2-r^2) + nu_o]/E_o + [(r^2+ri^2)/(r^2-ri^2) - nu_i]/E_i }
//
// in the unit of E. An infinite ro is a wide plate. Thick-cylinder formula (Lame),
// Shigley's and Budynas's machine design; worked cases in
// testdata/reference/pressfit_cases.csv.
func InterferencePressure(hub, shaft Cylinder, ri, r, ro, delta float64) (float64, error) {
	for _, v := range []float64{hub.E, shaft.E, r, ro} {
		if !(v > 0) {
			return 0, requestFault("press fit: radius or modulus %g; want one over 0", v)
		}
	}
	if !(ri >= 0 && ri < r && r < ro) || math.IsInf(r, 0) {
		return 0, requestFault("press fit: radii %g, %g, %g; want them rising", ri, r, ro)
	}
	if !(delta >= 0) || math.IsInf(delta, 0) {
		return 0, requestFault("press fit: interference %g; want 0 or more", delta)
	}
	in := (r*r + ri*ri) / (r*r - ri*ri)
	return delta / r / ((hubFactor(r, ro)+hub.Nu)/hub.E + (in-shaft.Nu)/shaft.E), nil
}

// HubHoopStress is the tangential stress at the bore of a hub under a pressure p:
//
//	sigma = p (ro^2 + r^2)/(ro^2 - r^2)
func HubHoopStress(p, r, ro float64) float64 { return p * hubFactor(r, ro) }

func hubFactor(r, ro float64) float64 {
	if math.IsInf(ro, 1) {
		return 1
	}
	return (ro*ro + r*r) / (ro*ro - r*r)
}

// A PressError is a press fit that would craze the plate in time.
type PressError struct {
	Material               string
	InterferenceMM         float64 // greatest, on the diameter, cooling included
	StressMPa, CrazingMPa  float64 // hoop stress at the bore, long-term limit
	HoleMinMM, HoleMaxMM   float64
	PinNominalMM, CoolByMM float64
}

func (e *PressError) Error() string {
	over := "over"
	if e.StressMPa <= e.CrazingMPa {
		over = "over half of" // a cut bore bears no more
	}
	return fmt.Sprintf("no press fit in %s: an interference of %.3f mm (%.3f of it from cooling by %.0f K) puts %.1f MPa of hoop stress at the bore, "+
		"%s the long-term crazing limit of %.1f MPa (web: one maker's design stress; which of its grades is cast is recalled); "+
		"take locate and glue the pin, or hold it in the bed",
		e.Material, e.InterferenceMM, e.CoolByMM, coolingK, e.StressMPa, over, e.CrazingMPa)
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
// steel pin, at the greatest interference (mm on the diameter) that the limits
// allow and after cooling, with the limit that it must stay below (MPa). The plate
// shrinks by the most that its sources have.
func pressStress(family fit.Family, nominal, interference float64) (stress, limit, total, cooling float64, err error) {
	plate, err := climate.Expansion(string(family))
	if err != nil {
		return 0, 0, 0, 0, err
	}
	steel, err := climate.Expansion("steel")
	if err != nil {
		return 0, 0, 0, 0, err
	}
	hub, limit := Cylinder{castE, acrylicNu}, castMPa
	if family == fit.ExtrudedAcrylic {
		hub.E, limit = extrudedE, extrudedMPa
	}
	cooling = nominal * (plate.Most - steel.Least) * coolingK
	total = math.Max(0, interference) + cooling
	r := nominal / 2
	ro := r + webDiameters*nominal
	p, err := InterferencePressure(hub, Cylinder{steelE, steelNu}, 0, r, ro, total/2)
	return HubHoopStress(p, r, ro), limit, total, cooling, err
}

func isLight(material string) bool {
	m := strings.ToLower(material)
	return strings.Contains(m, "alumin") || strings.Contains(m, "magnes")
}

func upper(s string) string { return strings.ToUpper(s) }
