package rail

import (
	"fmt"
	"math"

	"reseat/jig/beam"
	"reseat/jig/sourced"
)

// GlueSpec is what is glued, in mm.
type GlueSpec struct {
	AreaMM2 float64 // of the glue land
	EdgeMM  float64 // that glue runs out at: both long sides, or all round

	Glue string   // pva, epoxy, hide or casein
	Wood Hardness // HardnessUnknown: the range of both

	RailHeightMM float64 // rail above the plate; 0: no rail stands above it
	RailLengthMM float64 // of the rail on one side
}

// Gluing holds the figures of one gluing.
type Gluing struct {
	Spread     sourced.Value // g/m2, wet
	Mass       sourced.Value `ends:"glue_g,glue_most_g"` // g, to be spread
	SqueezeOut sourced.Value `ends:",squeeze_out_ml"`    // ml
	// mm, leg of the 45 degree chamfer along the edges that takes it
	Chamfer sourced.Value `ends:",squeeze_out_chamfer_mm"`

	Pressure   sourced.Value `ends:"pressure_mpa,pressure_most_mpa"`       // MPa
	Force      sourced.Value `ends:"closing_force_n,closing_force_most_n"` // N
	ClampForce sourced.Value `ends:"clamp_force_n,"`                       // N of one clamp
	Clamps     sourced.Value `ends:"clamps,clamps_most"`                   // whole clamps

	SideLoad   sourced.Value `ends:",side_load_n"`   // N on one rail
	Deflection sourced.Value `ends:",deflection_mm"` // mm at the rail's top
	Sources    string        `json:"gluing_sources"` // of pressure and spread
	OpenTime   sourced.Value // min from spreading to closing
}

// OutOfSquareRad is how far out of square a caul and clamps press, 2 degrees. Common practice, no
// source.
const OutOfSquareRad = 2 * math.Pi / 180

// What a gluing is reckoned with, common practice, no source.
var (
	// A film of 0.17 mm, the middle of PVA's spread, that closes to 0.10 mm, the
	// middle of the best gap, loses 0.41.
	squeezeShare = sourced.One(0.4, "", sourced.Practice, "0.4 of the glue leaves the joint, assumed: a film of "+
		"0.17 mm that closes to 0.10 mm loses 0.41")
	// Shop pages rate heavy bar clamps at 5.3 kN, which nobody reaches with every clamp.
	clampForce = sourced.One(2000, "N", sourced.Practice, "one small bar clamp tightened by hand")
	tilt       = sourced.One(OutOfSquareRad, "rad", sourced.Practice, "caul and clamps out of square by 2 degrees")
)

// Glue returns the figures of a gluing.
//
//	mass        m = spread A;   volume V = m / density
//	squeeze-out Q = share V;    chamfer leg = sqrt(2 Q / edges)
//	force       F = pressure A
//	side load   F sin(tilt), no friction in the wet glue, all on one rail
//
// The error is a glue that is not known.
func Glue(s GlueSpec) (Gluing, error) {
	k, ok := kinds[s.Glue]
	if !ok {
		return Gluing{}, fmt.Errorf("glue %q is not known; there are pva, epoxy, hide, casein", s.Glue)
	}
	area := s.AreaMM2
	g := Gluing{Spread: k.spread, Pressure: k.pressure(s.Wood), ClampForce: clampForce, OpenTime: k.open}
	g.Sources = fmt.Sprintf("pressure (%s): %s; spread (%s): %s", g.Pressure.Mark, g.Pressure.Source, g.Spread.Mark,
		g.Spread.Source)
	g.Mass = g.Spread.Times(area*m2PerMM2, "g", "spread x area; on one face, nothing added for the brush")
	g.SqueezeOut = g.Mass.Times(squeezeShare.Least/k.density.Least, "ml", "share x mass / density", squeezeShare,
		k.density)
	leg := func(ml float64) float64 { return math.Sqrt(2 * ml * mm3PerML / s.EdgeMM) }
	g.Chamfer = sourced.Computed(leg(g.SqueezeOut.Least), leg(g.SqueezeOut.Most), "mm",
		"leg of a 45 degree chamfer along the edges", g.SqueezeOut)

	// 1 MPa is 1 N on a square millimetre.
	g.Force = g.Pressure.Times(area, "N", "pressure x area of the glue land")
	g.Clamps = sourced.Computed(up(g.Force.Least/clampForce.Least), up(g.Force.Most/clampForce.Least), "",
		"force / force of one clamp, rounded up; a stiff caul must spread it", g.Force, clampForce)

	g.SideLoad = g.Force.Times(math.Sin(tilt.Least), "N", "force x sin(tilt)", tilt)
	wall := beam.Bar{WidthMM: s.RailLengthMM, HeightMM: WidthMM, ModulusMPa: plaModulusMPa}
	g.Deflection = sourced.Computed(wall.Cantilever(s.RailHeightMM, g.SideLoad.Least),
		wall.Cantilever(s.RailHeightMM, g.SideLoad.Most), "mm",
		"cantilever wall of printed PLA loaded evenly along its top, bending and shear; the plate under it taken as "+
			"stiff", g.SideLoad)
	return g, nil
}

// up rounds up to a whole number, letting through what is whole but for rounding.
func up(v float64) float64 {
	const rounding = 1e-9 // a share: a thousand times what a few products lose
	return math.Ceil(v * (1 - rounding))
}

// plaModulusMPa is Young's modulus of printed PLA along its layers, the middle of
// 3 to 4 GPa (web: additive.tools/materials/pla).
const plaModulusMPa = 3500.0
