// Package holddown answers whether double-sided tape under a board and its plate
// holds them against the cutter, and how to get them off again without bending
// them.
//
// Lengths are millimetres, forces newtons, areas square millimetres.
//
// The figures that it rests on are weak and say so: what a tape holds is one maker's
// rule of thumb, the force of a wood is the most of a range that a handbook gives for
// chips thicker than a small router cuts. Whoever has measured the force gives it, and it
// wins. A factor for a dull cutter and a safety factor stand over it.
package holddown
