// Package cdt triangulates a rectangle with points and fixed edges in it: a
// constrained Delaunay triangulation with exact arithmetic.
//
// Coordinates are whole numbers; the caller chooses what one unit is. Whether a
// point lies left of a line or inside a circle is decided exactly (64 bit
// products for the one, 128 bit for the other), so no input, however
// degenerate, can tie the structure in a knot: every triangle turns
// counter-clockwise, the triangles tile the rectangle, and two runs agree.
//
// Points go in one at a time (Insert), edges afterwards (Constrain). Every edge
// that is not fixed is locally Delaunay: the circle through a triangle's corners
// holds no corner of the triangle across that edge.
//
// References: C. L. Lawson, "Software for C1 surface interpolation",
// Mathematical Software III, 1977 (insertion and flipping); S. W. Sloan, "A fast
// algorithm for generating constrained Delaunay triangulations", Computers and
// Structures 47(3), 1993 (fixed edges by flipping what crosses them). Both
// recalled.
package cdt
