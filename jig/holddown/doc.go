// Package holddown answers whether double-sided tape under a board and its plate
// holds them against the cutter, and how to get them off again without bending
// them.
//
// Lengths are millimetres, forces newtons, areas square millimetres.
//
// The figures that it rests on are weak and say so: what a tape holds is one
// maker's rule of thumb, and no specific cutting force of a hardwood was found as a
// number. Whoever has measured the force gives it, and it wins. A factor of 4
// stands over all of it.
package holddown
