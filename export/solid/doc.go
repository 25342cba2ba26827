// Package solid turns the printed template into a closed mesh and writes it as
// STL.
//
// # What the solid is
//
// A printed template is a relief: over each point of its plan the material is
// one upright interval from a bottom to a top. A signed distance field (field.go, for
// sdfx) states the same plate from its true lines and arcs, and defines it. The mesh is
// made from the profiles and then held against the field; neither knows of the other.
//
// # Why not a mesher that samples the field
//
// Marching cubes (W. Lorensen and H. Cline, SIGGRAPH 1987) and dual contouring
// (T. Ju et al., SIGGRAPH 2002; both recalled) see the field at grid
// points. A hole comes out as an inscribed polygon with as many sides as the
// grid has cells round it, so a pin binds, and true flats cost thousands of
// facets: at 0.5 mm cells the reference plate takes 783 000 facets and leaves
// 6.065 mm of a 6.1 mm hole. Here all edges of a relief are known as plane
// contours, so the mesh can have every one of them exactly:
//
//  1. each contour becomes a polygon (flatten.go); voids get the polygon about
//     their arcs, not in them, so that the free cylinder is never under the
//     drawn diameter and the window never under its drawn size;
//  2. all polygons are set on a grid whose points are exact in float32 (grid) and
//     laid over each other (export/solid/plan): one subdivision of the plane by
//     an exact constrained Delaunay triangulation, with all contours as edges;
//  3. each face of the plane gets its bottom and top, level or
//     sloping, and the triangles are put up at both heights, with walls where
//     heights jump (extrude.go).
//
// A chamfer of 45 degrees is what a contour sweeps that is offset while height rises
// (skeleton.go); its rings and the edges of its straight skeleton become edges of
// the plan, so every facet lies in the plane of one side. The strokes of marks are
// united first (strokes.go), so that only the border of what they cover is meshed.
//
// All levels share the one subdivision, and a wall carries every height that
// anything at its ends has, so the mesh is closed, oriented and free of T
// junctions by construction. What construction cannot rule out, two bodies that
// touch along an upright edge or in a point, is looked for (check.go) and
// refused.
//
// # What is promised
//
// For every solid that Build returns: the mesh is closed, oriented and one body;
// every vertex and edge middle is within 0.005 mm of the field's surface (walls of
// marks: within markTolMM); a hole's free diameter is never under the drawn
// one and at most freeOverMM above; no facet is thinner than leastAltitudeMM. Otherwise
// Build returns an error that says where.
package solid
