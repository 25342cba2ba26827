// Package geom holds the plane geometry of a jig: vectors, closed contours of
// lines and circular arcs, rigid moves, areas and distances.
//
// Lengths are millimetres, angles radians, positive counter-clockwise. The
// package knows nothing of boards, pins or files. In the board frame X is u
// (along the datum line) and Y is v (to its left).
//
// Distances to lines and arcs are exact up to rounding. Offset is exact for
// contours whose arcs join their neighbours tangentially, which is all that the
// jig makes; see its comment.
package geom
