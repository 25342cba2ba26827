// Package measure answers from what was measured on the machine: whether the
// board's datum line runs parallel to the machine's axis (CheckDatum), where the
// board lies (Locate), and where zero is (ZeroCircle, ZeroEdges, ZeroZ).
//
// Lengths are millimetres, angles radians, positive counter-clockwise seen from
// above. Points are in the board frame (X = u along the datum line, Y = v to
// its left) unless a comment says machine frame. The package knows nothing of
// job files; it reads measured points from CSV text and prints nothing.
package measure
