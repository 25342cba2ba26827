// Package offset grows and shrinks what contours of lines and arcs bound, exactly: the
// contours that it returns are lines and arcs again. It says what a round cutter reaches
// of an opening, and where an opening or what is left beside it is narrow.
//
// A region is a list of simple contours that do not cross: outer ones counter-clockwise,
// holes clockwise, so that the region lies to the left of every contour.
//
// The way, for growing by d: every edge is moved outward by d, every corner that opens is
// closed by an arc or a mitre; all these pieces are cut where they meet; those whose middle
// lies nearer than d to the region, or inside another corner's mitre, go; the rest is
// chained. Shrinking grows what lies outside.
//
// A point of a contour lies within 2e-9 mm of where it should be (for d below 1e-4 mm,
// 5e-9), and pieces that lie on each other or cancel out within that do: the tolerances in
// which edges meet (1e-9) and in which joints count as smooth, and rounding of some 1e-12.
package offset
