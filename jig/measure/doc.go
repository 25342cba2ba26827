// Package measure answers from what was measured on the machine: whether the
// board's datum line runs parallel to the machine's axis (CheckDatum), where the
// board lies (Locate), and where X and Y zero are (ZeroRim, ZeroEdges).
//
// Lengths are millimetres, angles radians, positive counter-clockwise seen from
// above. Points are in the machine frame unless a comment says board frame
// (X = u along the datum line, Y = v to its left). The package knows nothing of
// job files: a Spec tells it the board, which its caller has checked. It reads
// measured points from CSV text and prints nothing; the keys of its reports are
// those of the commands' JSON, where what is not known is absent.
package measure
