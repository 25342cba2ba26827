// Package picture is a drawing as a list of marks in millimetres, and what
// paints it: WriteSVG, WritePNG and, page by page, WritePDF.
//
// Coordinates have their origin in the lower left corner of the paper, X to the
// right and Y up; angles are radians, counter-clockwise. The list knows nothing
// of file formats, and a painter nothing of what is drawn.
package picture
