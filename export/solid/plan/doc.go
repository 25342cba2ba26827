// Package plan lays contours over each other and cuts the plane along all of
// them: every face of the result lies wholly inside or wholly outside each
// contour, and comes as triangles.
//
// Contours may cross, touch and share edges; they need not be known to do so.
// Crossings become vertices, a vertex that lies nearer to an edge or to another
// vertex than the weld distance becomes one with it, and edges that then
// coincide are one edge. So no two things in the plan are apart by less than
// the weld distance without being the same, which is what keeps slivers and
// near-double vertices out of a solid raised on it. A point moves by at most
// sqrt(2) weld distances; points of contours given earlier stay.
//
// How often a contour winds round a face is not asked of coordinates: it is
// carried from face to face across the edges, starting with 0 far outside.
// Welding can therefore not put a face on the wrong side of a contour.
//
// References: the idea of moving edges onto near vertices is snap rounding: J.
// Hobby, "Practical segment intersection with finite precision output",
// Computational Geometry 13(4), 1999 (recalled).
package plan
