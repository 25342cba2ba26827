package rail

import (
	"fmt"
	"math"
)

// UsualTiltRad is how far out of level caul or neck is taken to be: 1 mm in 100.
// Common practice, no source.
const UsualTiltRad = 0.01

// Young's moduli of rails, MPa, and Poisson's ratio.
const (
	// PLAModulusMPa is printed PLA along its layers, the middle of 3 to 4 GPa
	// (additive.tools/materials/pla, seen in a stored page; 3.5 recalled too).
	PLAModulusMPa = 3500.0
	// AcrylicModulusMPa is the lower of 2.8 GPa for extruded and 3.1 GPa for cast
	// sheet (usplastic.com knowledge base, contentkey 533; tt-acrylic.com).
	AcrylicModulusMPa = 2800.0
	// poisson is acrylic's (Dowling, Mechanical Behavior of Materials, table 5.2);
	// taken for PLA too.
	poisson = 0.35
)

// Bounds, common practice, no source.
const (
	tiltLeast, tiltMost             = 1e-4, 0.2 // rad
	railHeightLeastMM, railHeightMM = 0.1, 200.0
	railWidthLeastMM, railWidthMM   = 0.4, 200.0
	modulusLeast, modulusMost       = 10.0, 1e6 // MPa, rubber to diamond
)

func (s GlueSpec) checkRail(c *checker) {
	c.or("tilt", s.TiltRad, "rad", tiltLeast, tiltMost)
	c.or("height of the rail", s.RailHeightMM, "mm", railHeightLeastMM, railHeightMM)
	c.or("width of the rail", s.RailWidthMM, "mm", railWidthLeastMM, railWidthMM)
	c.or("length of the rail", s.RailLengthMM, "mm", landLeastMM, landMostMM)
	c.or("modulus of the rail", s.RailModulusMPa, "MPa", modulusLeast, modulusMost)
}

// sideways fills in the load on a rail and how far it gives way.
//
//	F_side = F sin(tilt)
//
// Wet glue is taken to have no friction and one rail to bear it all: the worst.
func (s GlueSpec) sideways(g *Gluing) {
	g.Tilt = one(UsualTiltRad, "rad", Practice, "caul or neck out of level by 1 mm in 100")
	if s.TiltRad != 0 {
		g.Tilt = one(s.TiltRad, "rad", Given, "tilt as given")
	}
	g.SideLoad = g.Force.times(math.Sin(g.Tilt.Least), "N", "force x sin(tilt), no friction in the wet glue, all on one rail")
	g.SideLoad.Basis = computed(g.Force.Basis, g.Tilt.Basis)

	if s.RailHeightMM == 0 {
		g.Deflection = one(0, "mm", Given, "no rail stands above the plate")
		return
	}
	e, basis := s.RailModulusMPa, Given
	if e == 0 {
		e, basis = PLAModulusMPa, Found
	}
	w := Wall{HeightMM: s.RailHeightMM, WidthMM: orDefault(s.RailWidthMM, WidthMM), ModulusMPa: e}
	per := 1 / orDefault(s.RailLengthMM, s.LengthMM)
	g.Deflection = Figure{
		w.Deflection(g.SideLoad.Least * per), w.Deflection(g.SideLoad.Most * per), "mm", computed(g.SideLoad.Basis, basis),
		fmt.Sprintf("cantilever wall of %g MPa loaded evenly along its top, bending and shear; the plate under it taken as stiff", e),
	}
}

// Wall is a rail seen from its end: a cantilever that stands on a plate.
type Wall struct {
	HeightMM, WidthMM float64
	ModulusMPa        float64 // Young's modulus
}

// Deflection returns how far the wall's top gives way, in millimetres, under a
// load along its top in N per millimetre of its length.
//
//	bending  d = F' h^3 / (3 E I'), I' = w^3 / 12
//	shear    d = F' h / (k G w), k = 5/6, G = E / (2 (1 + nu)), nu = 0.35
//
// Reference: end-loaded cantilever, and the shear coefficient of a rectangle
// (Timoshenko beam; the coefficient recalled, not seen). A rail is as high as it is wide,
// where shear adds half as much again. The plate's give and the ends' stiffness
// are left out. Zero when a size or the modulus is not positive.
func (w Wall) Deflection(loadNPerMM float64) float64 {
	if !(w.HeightMM > 0 && w.WidthMM > 0 && w.ModulusMPa > 0) {
		return 0
	}
	const shearCoefficient = 5.0 / 6
	i := w.WidthMM * w.WidthMM * w.WidthMM / 12
	bending := loadNPerMM * w.HeightMM * w.HeightMM * w.HeightMM / (3 * w.ModulusMPa * i)
	shear := loadNPerMM * w.HeightMM / (shearCoefficient * w.ModulusMPa / (2 * (1 + poisson)) * w.WidthMM)
	return bending + shear
}
