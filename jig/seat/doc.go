// Package seat answers how far a seat lets a board move (float): two pins, pins that
// all stand in round holes, a window, and one on top of the other.
//
// Lengths are millimetres, angles radians, positive counter-clockwise seen from
// above. Points are in the board frame (X = u along the datum line, Y = v to its left).
package seat
