// Package wedge holds what presses a board sideways against its stop while the glue sets: folding
// wedges cut from sheet, and a printed spring finger.
//
// Lengths are millimetres, forces newtons, stresses megapascals. The two are not alike: a wedge
// that holds by friction is a wall, which bears any side load; a finger gives way to what is more
// than its own force.
package wedge

import (
	"fmt"
	"math"
	"strings"

	"reseat/jig/sourced"
)

// Pair is two wedges alike, one lying still, the other driven along it.
type Pair struct {
	Slope    float64       // rise over run
	Friction sourced.Value // of any face of theirs
}

const (
	// margin is how many times less than friction holds a wedge should rise. Common practice, no
	// source.
	margin = 2.0
	// TapN is a push by thumb or a tap of a light mallet. Common practice, no source.
	TapN = 50.0
)

// Friction returns the static coefficient of a sheet on itself, dry, and the error names what is
// known. Wax or a film on a wedge takes it away.
func Friction(sheet string) (sourced.Value, error) {
	const table = "designengineers.blogspot.com, table of static coefficients"
	sheet = strings.ToLower(sheet)
	switch {
	case strings.Contains(sheet, "acryl"), strings.Contains(sheet, "pmma"):
		return sourced.Value{Least: 0.6, Most: 0.7, Mark: sourced.Web, Source: table + ", acrylic"}, nil
	case strings.Contains(sheet, "ply"), strings.Contains(sheet, "mdf"), strings.Contains(sheet, "wood"):
		return sourced.Value{Least: 0.3, Most: 0.5, Mark: sourced.Web, Source: table + ", dry wood"}, nil
	}
	// Sliding printed plastics; at rest they hold no less. Of PETG a test says "below PLA".
	switch {
	case strings.Contains(sheet, "pla"):
		return sourced.Value{Least: 0.62, Most: 0.76, Mark: sourced.Standard,
			Source: "Materials Science-Poland 2025, doi 10.2478/msp-2025-0039, printed PLA sliding dry"}, nil
	case strings.Contains(sheet, "petg"):
		return sourced.Value{Least: 0.2, Most: 0.6, Mark: sourced.Practice, Source: "common practice, no source"}, nil
	}
	return sourced.Value{}, fmt.Errorf("friction of %q is not known; there are plywood, mdf, wood, acrylic, pla and petg", sheet)
}

func (p Pair) angle() float64 { return math.Atan(p.Slope) }

// Press returns what force apart a push along the driven wedge makes, N.
//
//	N = P / (tan(alpha + phi) + tan(phi))
//
// Reference: equilibrium of a wedge between a slope and a plane, statics of any textbook.
func (p Pair) Press(pushN float64) sourced.Value {
	press := func(mu float64) float64 { return pushN / (math.Tan(p.angle()+math.Atan(mu)) + mu) }
	return sourced.Computed(press(p.Friction.Most), press(p.Friction.Least), "N",
		"push on the wedge / (tan(alpha + phi) "+
			"+ tan(phi))", p.Friction)
}

// Loosen returns what pull along the driven wedge frees it again under a force apart, N; below
// zero it would slip by itself.
//
//	P = N (tan(phi - alpha) + tan(phi))
func (p Pair) Loosen(pressN float64) sourced.Value {
	pull := func(mu float64) float64 { return pressN * (math.Tan(math.Atan(mu)-p.angle()) + mu) }
	return sourced.Computed(pull(p.Friction.Least), pull(p.Friction.Most), "N", "force x (tan(phi - alpha) + tan(phi))",
		p.Friction)
}

// Holds reports whether the pair holds by itself.
//
//	tan(alpha) <= mu / 2
//
// A pair slips apart from where tan(alpha) = tan(2 phi), both faces of the driven wedge holding;
// here one of them may be waxed by mistake, and the other still holds with a margin of two.
func (p Pair) Holds() bool { return p.Slope <= p.MostSlope() }

// MostSlope is the steepest that Holds lets be.
func (p Pair) MostSlope() float64 { return p.Friction.Least / margin }

// Finger is a printed cantilever that is bent by the board going in.
type Finger struct {
	LengthMM, ThickMM, HeightMM float64 // along, in the bend, and of the print
	BendMM                      float64 // of its end when the board is in
	ForceN                      float64
	Strain                      float64 // largest, at its root
	Allowed                     sourced.Value
}

// Plastic is what a spring is printed of.
type Plastic struct {
	Name       string
	ModulusMPa float64
	Strain     sourced.Value // that a spring arm may take once
}

const arms = "filamentfeed.com, guide to printed snap fits, June 2026"

// Plastics that a finger may be printed of; moduli as in package beam.
var (
	PLA = Plastic{"pla", 3500, sourced.Value{Least: 0.02, Most: 0.03, Mark: sourced.Web, Source: arms}}
	// The modulus is common practice, no source.
	PETG = Plastic{"petg", 2000, sourced.Value{Least: 0.03, Most: 0.05, Mark: sourced.Web, Source: arms}}
)

// ofStrain is what share of the strain a finger takes that is bent for hours and used again: a
// designer's page has under 40 % for a snap that is used again (web: pedroalbaladejo.com, snap-fit
// stress).
const ofStrain = 0.4

// lineMM is the width of a printed line; a finger has whole ones. Common practice, no source.
const lineMM = 0.4

// Print returns the finger that presses with no less than forceN when its end is bent by bendMM,
// heightMM high, as short as the plastic's strain lets it be.
//
//	F = E h t^3 d / (4 L^3),   strain = 3 t d / (2 L^2)
//	so  L = (27 F d^2 / (2 E h e^3))^(1/3),   t = 2 e L^2 / (3 d)
//
// with e the strain allowed; t is then taken to whole lines and L so that F stays.
//
// Reference: end-loaded cantilever (Roark; recalled), as designers of snap fits use it. It is
// loaded along its layers; creep takes half of the force within hours (common practice, no source).
func Print(of Plastic, forceN, bendMM, heightMM float64) Finger {
	e := of.Strain.Times(ofStrain, "", "0.4 of what a spring arm may take once")
	l := math.Cbrt(27 * forceN * bendMM * bendMM / (2 * of.ModulusMPa * heightMM * e.Least * e.Least * e.Least))
	t := lineMM * math.Ceil(2*e.Least*l*l/(3*bendMM)/lineMM*(1-1e-9))
	f := Finger{ThickMM: t, HeightMM: heightMM, BendMM: bendMM, ForceN: forceN, Allowed: e}
	// Thicker by part of a line, it is longer: its strain falls with 3 t d/(2 L^2), L as t.
	f.LengthMM = t * math.Cbrt(of.ModulusMPa*heightMM*bendMM/(4*forceN))
	f.Strain = strain(t, bendMM, f.LengthMM)
	return f
}

// strain is the largest in a cantilever of a thickness and length whose end is bent by bendMM.
func strain(thickMM, bendMM, lengthMM float64) float64 {
	return 3 * thickMM * bendMM / (2 * lengthMM * lengthMM)
}
