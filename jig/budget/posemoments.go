package budget

import (
	"math"

	"reseat/jig/seat"
)

// poseMoments are the mean of a play's poses and the mean of their products, in
// the order du, dv (mm), theta (rad).
type poseMoments struct {
	mean    [3]float64
	product [3][3]float64
}

// Lattice points for the mean over the unit cube:
//
//	u_j = frac((k + 1/2) g^j / N),  k = 0 .. N-1,  j = 0, 1, 2
//
// a rank-1 lattice of Korobov's form, taken four times: as it is, and mirrored
// in the middle along each two of the axes. N is prime; g has, of all, the
// smallest worst-case error P2 (found by trying every g). Along each axis it is
// the midpoint rule with N points, and the mirroring rids products of two axes
// of their error: for a box of poses deviations are good to 1e-6, for sets put
// together from many pieces (TestSeatMoments) to 0.5 %.
// Reference: Sloan and Joe, Lattice Methods for Multiple Integration, chapter 4
// (recalled, not seen).
const (
	latticePoints    = 2039
	latticeGenerator = 653 // it and its square (mod N) are odd: no point on the border
)

// mirrors are the axes along which the lattice is mirrored, each time.
var mirrors = [4][3]bool{{}, {true, true, false}, {true, false, true}, {false, true, true}}

// moments returns the moments of the play of src, or a *PlayError.
func moments(src string, p Play) (poseMoments, error) {
	var m poseMoments
	step := [3]uint64{1, latticeGenerator, latticeGenerator * latticeGenerator % latticePoints}
	for k := range uint64(latticePoints) {
		var u [3]float64
		for j := range u {
			// In half steps, so that the point stays exact and below 1.
			u[j] = float64((2*k+1)*step[j]%(2*latticePoints)) / (2 * latticePoints)
		}
		for _, mirror := range mirrors {
			at := u
			for j := range at {
				if mirror[j] {
					at[j] = 1 - u[j]
				}
			}
			if err := m.add(src, p.Place(at)); err != nil {
				return m, err
			}
		}
	}
	for i := range m.mean {
		m.mean[i] /= float64(latticePoints * len(mirrors))
		for j := range i + 1 {
			m.product[i][j] /= float64(latticePoints * len(mirrors))
			m.product[j][i] = m.product[i][j]
		}
	}
	return m, nil
}

// add counts one pose.
func (m *poseMoments) add(src string, q seat.Pose) error {
	x := [3]float64{q.DU, q.DV, q.Theta}
	for i := range x {
		if !sane(x[i]) {
			return &PlayError{src, "pose", x[i]}
		}
		m.mean[i] += x[i]
		for j := range i + 1 {
			m.product[i][j] += x[i] * x[j]
		}
	}
	return nil
}

// scaled returns the moments of s q, where the share s does not depend on q.
func (m poseMoments) scaled(s Scale) poseMoments {
	first, second := s.moments()
	for i := range m.mean {
		m.mean[i] *= first
		for j := range m.product[i] {
			m.product[i][j] *= second
		}
	}
	return m
}

// along returns mean and variance of c . pose: of one coordinate of a feature's
// move.
func (m poseMoments) along(c [3]float64) (mean, variance float64) {
	for i := range c {
		mean += c[i] * m.mean[i]
		for j := range c {
			variance += c[i] * c[j] * m.product[i][j]
		}
	}
	return mean, math.Max(0, variance-mean*mean)
}
