// Package pocket plans the boring again of a board's features: how large each pocket
// becomes by the measured inlays, by which cuts it gets there, how deep it goes on a
// crowned top, and what is left of inlay and board.
//
// Lengths are millimetres in the board frame: u along the datum line from the start end, v
// to its left. Heights count from the board's flat underside. A feature's own depth counts
// from the face at its middle; the planned floor also from the surface on the datum line,
// which is the highest line of a crown and where Z zero belongs.
//
// The surface at v is lower than on the datum line by
//
//	drop(v) = R - sqrt(R^2 - v^2)
//
// the circle's equation. R = 0 stands for a flat board. The crown is a cylinder along u; a
// crown whose radius changes along the board is not covered.
//
// A figure over "the whole disc" is one over the disc of the bore: an inlay that is smaller
// than its bore can lie anywhere in it, and its rim then reaches every place of the bore's
// disc. drop grows with |v|, so the extremes lie on the disc's line across the board:
//
//	nearest  |v| = max(0, |v0| - bore/2)     the crown's highest point of the disc
//	farthest |v| = |v0| + bore/2             its lowest
//
// What cannot be cut is refused with an error, all faults at once; what can be cut but
// should not, or only with care, is a Finding with its figures.
package pocket
