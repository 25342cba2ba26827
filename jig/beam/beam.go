// Package beam holds the few formulas of bent bars that gluing and cutting free need: a bar
// held at one end, between two supports or guided at both ends, a bar that lies on something
// that gives, and a bar sprung in between floor and ceiling; and how stiff the materials are.
//
// Lengths are millimetres, forces newtons, moduli and stresses megapascals. Deflections are
// small against lengths, but for the sprung bar. Nothing here creeps: a load of hours moves
// wood and plastics by more.
package beam

import "math"

// Bar is a straight bar of rectangular section, bent along its height.
type Bar struct {
	WidthMM, HeightMM float64
	ModulusMPa        float64
	ShearMPa          float64 // shear modulus; 0: that of an even material, E / (2 (1 + nu))
}

// poisson is acrylic's (standard: Dowling, Mechanical Behavior of Materials, table 5.2), taken
// for printed plastics too.
const poisson = 0.35

// shearCoefficient is that of a rectangle (Timoshenko beam; recalled).
const shearCoefficient = 5.0 / 6

// Stiffness returns E I in N mm2.
//
//	I = b h^3 / 12
func (b Bar) Stiffness() float64 { return b.ModulusMPa * b.WidthMM * cube(b.HeightMM) / 12 }

// Stress returns the stress in MPa at the faces under a moment in N mm.
//
//	sigma = 6 M / (b h^2)
func (b Bar) Stress(momentNMM float64) float64 {
	return 6 * momentNMM / (b.WidthMM * b.HeightMM * b.HeightMM)
}

// shear returns k G A in N.
func (b Bar) shear() float64 {
	g := b.ShearMPa
	if g == 0 {
		g = b.ModulusMPa / (2 * (1 + poisson))
	}
	return shearCoefficient * g * b.WidthMM * b.HeightMM
}

// Cantilever returns how far the free end moves, in mm, under a force at it; 0 for a bar of no
// length.
//
//	d = F l^3 / (3 E I) + F l / (k G A)
//
// Reference: Roark's Formulas for Stress and Strain, cantilever with an end load (recalled); the
// second term is shear, which counts where a bar is about as long as it is high.
func (b Bar) Cantilever(lengthMM, forceN float64) float64 {
	return forceN*cube(lengthMM)/(3*b.Stiffness()) + forceN*lengthMM/b.shear()
}

// Span returns how far the middle moves, in mm, between two supports that hold no moment under
// an even load in N/mm.
//
//	d = 5 q l^4 / (384 E I) + q l^2 / (8 k G A)
//
// Reference: as Cantilever.
func (b Bar) Span(lengthMM, loadNPerMM float64) float64 {
	l2 := lengthMM * lengthMM
	return 5*loadNPerMM*l2*l2/(384*b.Stiffness()) + loadNPerMM*l2/(8*b.shear())
}

// Guided returns how far one end moves against the other, in mm, when neither may turn: a
// bridge between a part and its frame.
//
//	d = F l^3 / (12 E I) + F l / (k G A),   M = F l / 2 at either end
//
// Reference: as Cantilever.
func (b Bar) Guided(lengthMM, forceN float64) float64 {
	return forceN*cube(lengthMM)/(12*b.Stiffness()) + forceN*lengthMM/b.shear()
}

func cube(x float64) float64 { return x * x * x }

// Sprung is a bar that is bent between two planes closer than it is long.
type Sprung struct {
	ForceN    float64 // square to the planes
	Curvature float64 // 1/mm, in its middle
	BowMM     float64 // of its middle, off the line between its ends
}

// Spring returns what a slender bar of a stiffness E I (N mm2) and length presses with when its
// ends, free to turn, are heightMM apart; nothing where the height is no less than the length or
// is not over zero.
//
//	p = sin(alpha/2),  alpha the slope of its ends
//	h/l = 2 E(p)/K(p) - 1,   F = 4 K(p)^2 E I / l^2
//	curvature = 2 p sqrt(F/EI),   bow = 2 p / sqrt(F/EI)
//
// Reference: Euler's elastica, Timoshenko and Gere, Theory of Elastic Stability, 2nd ed., 2.7
// (recalled), with the complete elliptic integrals K and E. A bar that is hardly bent presses
// with Euler's load pi^2 E I / l^2, and with little more when bent much.
func Spring(stiffness, lengthMM, heightMM float64) Sprung {
	if !(heightMM > 0 && heightMM < lengthMM) {
		return Sprung{}
	}
	low, high := 0.0, mostSquare // of p squared
	for range halvings {
		m := (low + high) / 2
		if k, e := elliptic(m); 2*e/k-1 > heightMM/lengthMM {
			low = m
		} else {
			high = m
		}
	}
	k, _ := elliptic(low)
	root := 2 * k / lengthMM // sqrt(F/EI)
	p := math.Sqrt(low)
	return Sprung{ForceN: root * root * stiffness, Curvature: 2 * p * root, BowMM: 2 * p / root}
}

// Where a sprung bar's ends meet, 2 E = K, at a square of 0.826 (derived); halved this often it
// is known to its last digit.
const mostSquare, halvings = 0.83, 60

// elliptic returns the complete elliptic integrals of the first and second kind of a parameter
// m, 0 to under 1, by the arithmetic-geometric mean.
//
//	K = pi / (2 agm(1, sqrt(1-m))),   E = K (1 - sum 2^(n-1) c_n^2)
//
// Reference: Abramowitz and Stegun, Handbook of Mathematical Functions, 17.6 (recalled).
func elliptic(m float64) (k, e float64) {
	a, b, sum, two := 1.0, math.Sqrt(1-m), m/2, 1.0
	for range 8 { // doubles its digits each time
		c := (a - b) / 2
		a, b = (a+b)/2, math.Sqrt(a*b)
		sum += float64(two * c * c)
		two *= 2
	}
	k = math.Pi / (2 * a)
	return k, k * (1 - sum)
}
