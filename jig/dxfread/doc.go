// Package dxfread reads the entities of a DXF text file, R12 to R2018, as lines and arcs, each with its layer,
// handle and line in the file.
//
// Ellipses and splines become arcs that join without a corner (biarcs) and stay within a tolerance that the caller
// states. Inserts of blocks are taken apart. What cannot be read is an Entity with a Problem, never left out in
// silence: whether it matters depends on its layer, which the caller knows.
//
// The library that writes our files, github.com/yofu/dxf (v0.0.0-20250806094206), does not read them here. It keeps
// no handles and no lines, knows no ELLIPSE, POLYLINE or INSERT and gives the whole file up at the first entity that
// it does not know, drops the weights of splines, opens polylines whose flag holds more than the closed bit, and
// panics on a vertex count that is negative or beyond memory. TestOwnReader shows each.
//
// Reference: Autodesk, DXF Reference: group codes of the HEADER, TABLES, BLOCKS and ENTITIES sections; "Arbitrary
// axis algorithm" for extrusions; "Bulge", code 42 of LWPOLYLINE.
package dxfread
