// Package dxfread reads the entities of a DXF text file as lines and arcs, each with its layer, handle and
// line in the file.
//
// Reference: Autodesk, DXF Reference (AutoCAD 2012 and later editions), group codes of the ENTITIES section.
package dxfread
