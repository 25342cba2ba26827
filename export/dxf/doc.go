// Package dxf writes cut sheets as DXF files for lasers and routers.
//
// A file is ASCII DXF in millimetres, one operation per layer and per colour, of one of
// three flavours: polylines of the year 2000 (AC1015), polylines of R12 (AC1009), or lines
// and arcs alone. Round shapes are CIRCLEs in each; a polyline is closed by its flag, with
// arcs as bulges. Shapes stand in the order in which they are to be cut. Text is drawn in
// single strokes; there is nothing in paper space and no date, so that two runs give the same
// bytes.
//
// Coordinates are rounded to a millionth of a millimetre, bulges to nine decimals.
// A shape that is read back lies within 1e-6 mm of what was written as long as its
// arcs have chords below a metre.
//
// The rules that a file obeys stand in testdata/reference/cut-file-rules.md with
// what each was learnt from.
//
// The drawing is made with github.com/yofu/dxf. Where that library's output
// leaves out what a strict reader wants, mend.go adds it and says why. It writes AC1015
// alone; r12.go writes the little that R12 needs.
package dxf
