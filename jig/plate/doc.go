// Package plate draws the plate that locates a board: the window that the board lies
// in, the plate's outline with its notch, the marks, the parts of a plate that is
// printed in pieces, and the sheets that parts are cut from. It works on contours and
// numbers alone. Lengths are in millimetres, in the board frame unless said otherwise:
// X = u along the datum line from the start end, Y = v to its left.
package plate
