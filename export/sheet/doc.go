// Package sheet lays out the dimensioned drawing of a design's template on sheets
// of a home printer's paper, as a picture.Picture each for any painter.
//
// The package designs nothing. Every number on the sheet is a field of
// jig.Design or is measured between two of its edges, as a draughtsman would
// measure them; all else is layout.
//
// Conventions, each recalled from its standard: line types and widths ISO
// 128-2:2020 (wide 0.5 mm, narrow 0.25 mm), dimensions ISO 129-1:2018, letter heights
// ISO 3098-1:2015, sheet sizes and frame ISO 5457:1999, title block no wider than
// 180 mm ISO 7200:2004.
package sheet
