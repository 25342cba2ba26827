package rail

import (
	"fmt"
	"math"
)

// UsualClampN is the force of one small bar clamp tightened by hand, N. Common
// practice, no source: shop pages rate heavy ones at 1200 lb, 5.3 kN, which
// nobody reaches with every clamp.
const UsualClampN = 2000.0

// UsualWedgeSlope is a wedge of 1 in 10. Common practice, no source.
const UsualWedgeSlope = 0.1

// Static friction of dry wood: 0.3 to 0.5 (designengineers.blogspot.com, table of
// static coefficients, seen in a stored page; weak source).
const woodFrictionLow, woodFrictionHigh = 0.3, 0.5

// Bounds, common practice, no source.
const (
	clampLeastN, clampMostN = 10.0, 100000.0
	slopeLeast, slopeMost   = 0.005, 1.0
)

func (s GlueSpec) checkClosing(c *checker) {
	c.or("force of a clamp", s.ClampN, "N", clampLeastN, clampMostN)
	c.or("slope of a wedge", s.WedgeSlope, "", slopeLeast, slopeMost)
}

// closing fills in pressure, force and how to get it.
func (s GlueSpec) closing(g *Gluing, k kind) {
	g.Pressure = k.pressure(s.Wood)
	if s.PressureMPa != 0 {
		g.Pressure = one(s.PressureMPa, "MPa", Given, "pressure as given")
	}
	// 1 MPa is 1 N on a square millimetre.
	g.Force = g.Pressure.times(g.Area.Least, "N", "pressure x area of the glue land")
	g.ForceKgf = g.Force.times(1/gravity, "kgf", "force / 9.80665; as many kilograms of weights")

	g.ClampForce = one(UsualClampN, "N", Practice, "one small bar clamp tightened by hand")
	if s.ClampN != 0 {
		g.ClampForce = one(s.ClampN, "N", Given, "force as given")
	}
	g.Clamps = Figure{
		up(g.Force.Least / g.ClampForce.Least), up(g.Force.Most / g.ClampForce.Least), "",
		computed(g.Force.Basis, g.ClampForce.Basis), "force / force of one clamp, rounded up; a stiff caul must spread it",
	}

	slope := orDefault(s.WedgeSlope, UsualWedgeSlope)
	basis := Given
	if s.WedgeSlope == 0 {
		basis = Practice
	}
	g.WedgeRatio = Figure{
		WedgeRatio(slope, woodFrictionHigh), WedgeRatio(slope, woodFrictionLow), "",
		computed(basis, Found), fmt.Sprintf("1 / (2 tan(alpha + phi)), a wedge of slope %.3g, friction of dry wood %g to %g (designengineers.blogspot.com, weak source)",
			slope, woodFrictionLow, woodFrictionHigh),
	}
}

// WedgeRatio returns how many times the push on a wedge is the force by which it
// drives its two faces apart. Slope is rise over run of the whole wedge, friction
// the coefficient at both faces.
//
//	ratio = 1 / (2 tan(alpha + phi)), alpha = atan(slope) / 2, phi = atan(friction)
//
// Reference: equilibrium of a wedge between two faces, statics of any textbook. A
// wedge holds by itself while alpha < phi. Zero when alpha + phi reaches a right
// angle, where no push moves it.
func WedgeRatio(slope, friction float64) float64 {
	a := math.Atan(slope)/2 + math.Atan(friction)
	if a >= math.Pi/2 {
		return 0
	}
	return 1 / (2 * math.Tan(a))
}
