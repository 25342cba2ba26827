// Package trace makes a board of a drawing: entities are chained to contours, the outer one and the holes in it
// are told apart, and all is moved into the board frame.
package trace
