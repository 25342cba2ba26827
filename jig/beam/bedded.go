package beam

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Bedded is a bar, free at both ends, that lies on a layer that gives evenly: a caul on pad,
// board and neck.
type Bedded struct {
	LengthMM  float64
	Stiffness float64 // E I of the bar, N mm2
	Bed       float64 // of the layer: N per mm of length and mm of deflection
}

// Load is a force on the bar.
type Load struct{ AtMM, ForceN float64 }

// Root returns the bar's lambda, in 1/mm: loads more than about 4/lambda apart leave the bar
// between them without pressure.
//
//	lambda = (k / (4 E I))^(1/4)
//
// Reference: Hetenyi, Beams on Elastic Foundation, University of Michigan Press 1946 (the
// formulas of this file recalled; checked by a beam cut into short pieces).
func (b Bedded) Root() float64 { return math.Sqrt(math.Sqrt(b.Bed / (4 * b.Stiffness))) }

// stiff is lambda l below which a bar tilts but does not bend: its deflection falls short by
// (lambda l)^4/384 of the load, a millionth.
const stiff = 0.15

// Under returns the load on the layer, in N per mm of length, at places from 0 to the bar's
// length; below zero where the bar would lift off, which the layer is taken to hold down.
//
// The bar is a piece of an endless one, with a force and a moment put on at either end that
// leave none in it there:
//
//	p = P lambda/2 A(lambda |x - a|)         of a force P at a
//	p = +- M0 lambda^2 B(lambda |x - a|)     of a moment M0
//	A = e^-z (cos z + sin z),  B = e^-z sin z,  C = e^-z (cos z - sin z),  D = e^-z cos z
//
// Reference: Hetenyi, as Root, chapters II and III.
func (b Bedded) Under(loads []Load, at []float64) []float64 {
	if b.Root()*b.LengthMM < stiff {
		return b.tilted(loads, at)
	}
	all := b.ended(loads)
	out := make([]float64, len(at))
	for i, x := range at {
		for _, s := range all {
			out[i] += s.pressure(b.Root(), x)
		}
	}
	return out
}

// tilted is Under of a bar that does not bend.
func (b Bedded) tilted(loads []Load, at []float64) []float64 {
	var force, moment float64
	for _, l := range loads {
		force += l.ForceN
		moment += float64(l.ForceN * (l.AtMM - b.LengthMM/2))
	}
	out := make([]float64, len(at))
	for i, x := range at {
		out[i] = force/b.LengthMM + float64(12*moment/cube(b.LengthMM)*(x-b.LengthMM/2))
	}
	return out
}

// singular is a force and a moment on an endless bar.
type singular struct{ at, force, moment float64 }

// pressure, bending and shear are what s does at x. Left of its place all but the pressure and
// the bending of a force change sign.
func (s singular) pressure(l, x float64) float64 {
	z, side := math.Abs(l*(x-s.at)), math.Copysign(1, x-s.at)
	sin, cos := math.Sincos(z)
	return l * math.Exp(-z) * (float64(s.force/2*(cos+sin)) + float64(side*s.moment*l*sin))
}

func (s singular) bending(l, x, side float64) float64 {
	z := math.Abs(l * (x - s.at))
	sin, cos := math.Sincos(z)
	return math.Exp(-z) * (float64(s.force/(4*l)*(cos-sin)) + float64(side*s.moment/2*cos))
}

func (s singular) shear(l, x, side float64) float64 {
	z := math.Abs(l * (x - s.at))
	sin, cos := math.Sincos(z)
	return -math.Exp(-z) * (float64(side*s.force/2*cos) + float64(s.moment*l/2*(cos+sin)))
}

// ended is the loads with what stands at the ends so that they are free.
func (b Bedded) ended(loads []Load) []singular {
	l, root := b.LengthMM, b.Root()
	var all []singular
	for _, p := range loads {
		all = append(all, singular{p.AtMM, p.ForceN, 0})
	}
	unit := []singular{{0, 1, 0}, {0, 0, 1 / root}, {l, 1, 0}, {l, 0, 1 / root}}
	m, rhs := mat.NewDense(4, 4, nil), mat.NewVecDense(4, nil)
	for row, end := range []float64{0, l} {
		// Just inside: right of what stands at the start, left of what stands at the end.
		for col, s := range unit {
			side := 1.0
			if s.at == l {
				side = -1
			}
			m.Set(2*row, col, s.bending(root, end, side)*root)
			m.Set(2*row+1, col, s.shear(root, end, side))
		}
		var bend, shear float64
		for _, s := range all {
			side := 1.0
			if end == 0 {
				side = -1
			}
			bend += s.bending(root, end, side)
			shear += s.shear(root, end, side)
		}
		rhs.SetVec(2*row, -bend*root)
		rhs.SetVec(2*row+1, -shear)
	}
	var x mat.VecDense
	if err := x.SolveVec(m, rhs); err != nil {
		if _, near := err.(mat.Condition); !near {
			return all // cannot be: the bar is long enough
		}
	}
	for i, s := range unit {
		all = append(all, singular{s.at, s.force * x.AtVec(i), s.moment * x.AtVec(i)})
	}
	return all
}

// Bending returns the largest moment in the bar, in N mm, either way; it stands under a load or
// midway between two.
func (b Bedded) Bending(loads []Load) (most float64) {
	if b.Root()*b.LengthMM < stiff {
		b.Bed = 4 * b.Stiffness * math.Pow(stiff/b.LengthMM, 4)
	}
	root := b.Root()
	all := b.ended(loads)
	for i, p := range loads {
		for _, x := range []float64{p.AtMM, (p.AtMM + loads[min(i+1, len(loads)-1)].AtMM) / 2} {
			m := 0.0
			for _, s := range all {
				m += s.bending(root, x, math.Copysign(1, x-s.at))
			}
			most = max(most, math.Abs(m))
		}
	}
	return most
}
