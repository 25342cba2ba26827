// Package holddown answers whether double-sided tape under a board and its plate
// holds them against the cutter, and how to get them off again without bending
// them.
//
// Lengths are millimetres, forces newtons, areas square millimetres, pressures
// N/mm2 (1 N/mm2 = 1000 kPa).
//
// The figures that it rests on are weak and say so: what a tape holds is one
// maker's rule of thumb, and no specific cutting force of a hardwood was found as a
// number. Whoever has a measured figure gives it, and it wins. A factor of 4
// stands over all of it.
package holddown
