// Package view draws a picture of a printed part from its mesh: a shaded
// dimetric line drawing with hidden edges removed, as SVG, so that a person sees
// what will print.
//
// # How
//
//  1. The mesh is turned and scaled onto the page by a parallel projection
//     (camera.go); all three axes have the same scale, heights are not exaggerated.
//  2. Edges worth a line are found (edges.go): contours, where the surface turns
//     away from the eye, and creases. Facets of a round wall show no edges.
//  3. Every edge is clipped exactly against every facet that lies over it
//     (hide.go): inside a triangle's outline and behind its plane are four linear
//     conditions on the edge's parameter, so the hidden part is one interval. A
//     grid of cells (cells.go) brings only facets near the edge.
//  4. Facets that face the eye are gathered to areas of one shade (shade.go) and
//     painted from far to near. Which area covers which comes out of step 3 as
//     well; the order is topological (order.go), and areas that cover each other
//     in a ring are taken apart into facets.
//  5. Visible pieces are joined to polylines and thinned to what a printer can show
//     (chain.go), and written (svg.go).
//
// Step 3 is the quantitative method's visibility test without its counting: with
// closed bodies an edge is hidden exactly where one front facet covers it.
// Reference: A. Appel, The notion of quantitative invisibility and the machine
// rendering of solids, ACM 1967 (recalled, not seen).
//
// # What is taken for granted
//
// Meshes are closed and oriented, and bodies do not run into each other. Then
// what is nearest to the eye always faces it, and back facets need no look.
package view
