// Package foolproof tells whether a plate can be put on its pins the wrong way
// round: over every placement of the plate turned end for end or turned over, by how
// much the worst pin misses the hole that it would enter.
//
// Lengths are millimetres, angles radians, positive counter-clockwise seen from
// above. Points are in the board frame (X = u along the datum line, Y = v to its left).
package foolproof
