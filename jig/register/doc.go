// Package register answers where a board ends up when it is put back: how far a
// seat lets it move (float), whether a plate can be put on its pins the wrong
// way round (misfit), whether the board's datum line runs parallel to the
// machine's axis (datum check), and where the board lies by what was measured on
// the machine (locate).
//
// Lengths are millimetres, angles radians, positive counter-clockwise seen from
// above. Points are in the board frame (X = u along the datum line, Y = v to
// its left) unless a comment says machine frame. The package knows nothing of
// job files; it reads measured points from CSV text and prints nothing.
package register
