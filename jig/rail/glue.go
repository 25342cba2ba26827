package rail

import (
	"fmt"
	"math"
	"strings"
)

// UsualSqueezeShare is the share of the spread glue that is taken to leave the
// joint. Common practice, no source; a film of 0.17 mm, the middle of PVA's
// spread, that closes to 0.10 mm, the middle of the best gap, loses 0.41.
const UsualSqueezeShare = 0.4

// Bounds of what a gluing can be. All common practice, no source, and wide: only a
// slip in a unit falls outside.
const (
	landLeastMM, landMostMM       = 5.0, 3000.0
	widthLeastMM, widthMostMM     = 1.0, 600.0
	spreadLeastGM2, spreadMostGM2 = 10.0, 2000.0
	pressureLeast, pressureMost   = 0.005, 20.0 // MPa
	shareLeast, shareMost         = 0.01, 1.0
	grooveLeastMM                 = 1.0
	grooveSlackMM                 = 1.0 // a perimeter may be given rounded
)

// GlueSpec is what is glued. Lengths in millimetres; 0 of an entry that says so
// means its default.
type GlueSpec struct {
	LengthMM, WidthStartMM, WidthEndMM float64 // the glue land, a taper

	Glue string   // one of Glues
	Wood Hardness // HardnessUnknown: the range of both

	SpreadGM2    float64 // wet glue; 0: the glue's usual range
	PressureMPa  float64 // 0: the glue's usual range
	SqueezeShare float64 // of the spread, 0.01 to 1; 0: UsualSqueezeShare
	GrooveMM     float64 // length of the land's edge that has a groove; 0: both long sides

	ClampN     float64 // force of one clamp; 0: UsualClampN
	WedgeSlope float64 // rise over run of a wedge; 0: UsualWedgeSlope
	TiltRad    float64 // how far caul or neck may be out of level; 0: UsualTiltRad

	RailHeightMM   float64 // rail above the plate; 0: no rail stands above it
	RailWidthMM    float64 // 0: WidthMM
	RailLengthMM   float64 // of the rail on one side; 0: LengthMM
	RailModulusMPa float64 // Young's modulus; 0: PLAModulusMPa
}

// Gluing holds the figures of one gluing.
type Gluing struct {
	Area   Figure // mm2, the glue land
	Spread Figure // g/m2, wet
	Mass   Figure // g, to be spread
	Volume Figure // ml

	SqueezeShare Figure // of the volume
	SqueezeOut   Figure // ml
	GrooveLength Figure // mm of the land's edge
	Groove       Figure // mm2 of section needed beside the land; make it the most
	Chamfer      Figure // mm, leg of the 45 degree chamfer that has this section

	Pressure Figure // MPa
	Force    Figure // N
	ForceKgf Figure // kgf; also the kilograms of weights that would press as hard

	ClampForce Figure // N of one clamp
	Clamps     Figure // whole clamps
	WedgeRatio Figure // closing force over the push on a wedge

	Tilt       Figure // rad
	SideLoad   Figure // N on one rail
	Deflection Figure // mm at the rail's top

	OpenTime     Figure // min from spreading to closing
	AssemblyTime Figure // min from spreading to full pressure
	Moisture     Figure // % of the wood
}

// Glue returns the figures of a gluing.
//
//	area        A = L (w_start + w_end) / 2
//	mass        m = spread A;   volume V = m / density
//	squeeze-out Q = share V
//	groove      S = Q / groove length;   chamfer leg = sqrt(2 S)
//	force       F = pressure A;   in kgf F / 9.80665
//
// Closing, side load and deflection are told at their own functions. Errors:
// *SpecError with every entry that cannot be meant, NaN and infinity among them.
func Glue(s GlueSpec) (Gluing, error) {
	k, err := s.check()
	if err != nil {
		return Gluing{}, err
	}
	g := Gluing{OpenTime: k.open, AssemblyTime: k.assembly, Moisture: k.moisture}
	s.quantities(&g, k)
	s.grooves(&g)
	s.closing(&g, k)
	s.sideways(&g)
	return g, nil
}

// check returns what is known of the glue, or every fault of the spec.
func (s GlueSpec) check() (kind, error) {
	var c checker
	c.within("length of the glue land", s.LengthMM, "mm", landLeastMM, landMostMM)
	c.within("width at the start", s.WidthStartMM, "mm", widthLeastMM, widthMostMM)
	c.within("width at the end", s.WidthEndMM, "mm", widthLeastMM, widthMostMM)
	k, ok := kindOf(s.Glue)
	if !ok {
		c.faults = append(c.faults, Fault{"glue", fmt.Sprintf("%q", s.Glue), "one of " + strings.Join(Glues(), ", ")})
	}
	switch s.Wood {
	case HardnessUnknown, Softwood, Hardwood:
	default:
		c.faults = append(c.faults, Fault{"hardness of the wood", fmt.Sprintf("%q", s.Wood), "softwood, hardwood or nothing"})
	}
	c.or("spread", s.SpreadGM2, "g/m2", spreadLeastGM2, spreadMostGM2)
	c.or("pressure", s.PressureMPa, "MPa", pressureLeast, pressureMost)
	c.or("share of squeeze-out", s.SqueezeShare, "", shareLeast, shareMost)
	// Without a land there is no edge to hold the groove against.
	if c.faults == nil {
		c.or("length of the groove", s.GrooveMM, "mm", grooveLeastMM, s.perimeter()+grooveSlackMM)
	}
	s.checkClosing(&c)
	s.checkRail(&c)
	return k, c.err()
}

// longSide is the length of one long side of the taper.
func (s GlueSpec) longSide() float64 {
	return math.Hypot(s.LengthMM, (s.WidthEndMM-s.WidthStartMM)/2)
}

func (s GlueSpec) perimeter() float64 { return 2*s.longSide() + s.WidthStartMM + s.WidthEndMM }

// quantities fills in area, spread, mass and volume.
func (s GlueSpec) quantities(g *Gluing, k kind) {
	area := s.LengthMM * (s.WidthStartMM + s.WidthEndMM) / 2
	g.Area = one(area, "mm2", Derived, "length of the glue land x its mean width")
	g.Spread = k.spread
	if s.SpreadGM2 != 0 {
		g.Spread = one(s.SpreadGM2, "g/m2", Given, "spread as given")
	}
	g.Mass = g.Spread.times(area*m2PerMM2, "g", "spread x area; on one face, nothing added for the brush")
	g.Volume = g.Mass.times(1/k.density, "ml", fmt.Sprintf("mass / density of %.3g g/ml (%s)", k.density, k.densityBasis))
	g.Volume.Basis = computed(g.Mass.Basis, k.densityBasis)
}

// grooves fills in the squeeze-out and the groove that takes it up.
func (s GlueSpec) grooves(g *Gluing) {
	g.SqueezeShare = one(UsualSqueezeShare, "", Practice, "assumed; a film of 0.17 mm that closes to 0.10 mm loses 0.41")
	if s.SqueezeShare != 0 {
		g.SqueezeShare = one(s.SqueezeShare, "", Given, "share as given")
	}
	g.GrooveLength = one(2*s.longSide(), "mm", Derived, "both long sides of the glue land")
	if s.GrooveMM != 0 {
		g.GrooveLength = one(s.GrooveMM, "mm", Given, "length as given")
	}
	basis := computed(g.Volume.Basis, g.SqueezeShare.Basis)
	g.SqueezeOut = g.Volume.times(g.SqueezeShare.Least, "ml", "assumed share of the volume; soaking in and drying taken as none")
	g.SqueezeOut.Basis = basis
	g.Groove = g.SqueezeOut.times(mm3PerML/g.GrooveLength.Least, "mm2", "squeeze-out / length of the groove, spread evenly along it")
	g.Chamfer = Figure{ChamferLeg(g.Groove.Least), ChamferLeg(g.Groove.Most), "mm", basis, "leg = sqrt(2 x section) of a 45 degree chamfer"}
}

// ChamferLeg returns the leg, in millimetres, of the 45 degree chamfer whose
// triangle has the given section in square millimetres; 0 for none.
//
//	section = leg^2 / 2
func ChamferLeg(sectionMM2 float64) float64 { return math.Sqrt(2 * math.Max(0, sectionMM2)) }
