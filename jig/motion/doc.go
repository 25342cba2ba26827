// Package motion says how single errors move the board: the place of a hole, a window
// wall, the joint of a split plate, the growth of plate and board, axes out of square.
// It gives the variables of an error budget as functions of values. Lengths are in
// millimetres, in the board frame: X = u along the datum line from the start end, Y = v.
package motion
