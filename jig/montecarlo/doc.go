// Package montecarlo draws the runs of a simulation and reads off what most of
// them stay below.
//
// The runs are the points of a rank-1 lattice of Korobov's form, shifted at random
// along each axis:
//
//	x_j = frac(k g^j / N + shift_j),  k = 0 .. N-1
//
// Along every axis they are spread evenly, so that far fewer of them serve than of
// independent ones. Which runs there are depends on their number and the seed alone.
//
// Reference: I. H. Sloan and S. Joe, Lattice Methods for Multiple Integration, 1994,
// chapter 4; R. Cranley and T. N. L. Patterson, Randomization of number theoretic
// methods for multiple integration, SIAM J. Numer. Anal. 13 (1976) (both recalled).
package montecarlo
