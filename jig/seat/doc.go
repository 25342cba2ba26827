// Package seat answers how far a seat lets a board move (float): two pins, pins that
// all stand in round holes, a window, and one on top of the other.
//
// A seat is a convex set of poses. Lengths are millimetres, angles radians, positive
// counter-clockwise seen from above. Points are in the board frame (X = u along the
// datum line, Y = v to its left). Rotations are linearised: at the 1e-3 rad that a
// seat allows, the neglected term is theta^2/2 of the distance from the origin, 0.3
// micrometres at 600 mm.
package seat
