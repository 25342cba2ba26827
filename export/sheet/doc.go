// Package sheet draws a design on paper: the dimensioned drawing of the
// template at 1:1 and the writers that put it into a picture file.
//
// A drawing is first laid out as a List, a display list in millimetres that
// knows nothing of file formats; WriteSVG turns a List into SVG. Other writers
// read the same List. Sheet coordinates have their origin in the lower left
// corner of the paper, X to the right and Y up; angles are radians,
// counter-clockwise.
//
// The package designs nothing. Every figure on the sheet is a field of
// jig.Design or is measured between two of its edges, as a draughtsman would
// measure them; all else is layout.
//
// Conventions, each recalled from the standard and not seen while this was
// written: line types and widths ISO 128-2:2020 (wide 0.5 mm, narrow 0.25 mm),
// dimensions ISO 129-1:2018, letter heights ISO 3098-1:2015, sheet sizes and
// frame ISO 5457:1999, title block no wider than 180 mm ISO 7200:2004.
package sheet
