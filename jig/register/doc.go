// Package register answers where a board ends up when it is put back: how far a
// seat lets it move (float), and whether a plate can be put on its pins the wrong
// way round (misfit).
//
// Lengths are millimetres, angles radians, positive counter-clockwise seen from
// above. Points are in the board frame (X = u along the datum line, Y = v to
// its left) unless a comment says machine frame.
package register
