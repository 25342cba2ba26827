// Package stroke letters parts with single strokes: each line of a letter is one
// open polyline that a cutter, a laser or an engraving nozzle follows once.
//
// Outlined letters make a machine run round every line twice and leave a ridge
// between; a mark on a jig wants one pass. The letters are drawn for this package
// and hold no data of any typeface. They are plain capitals that stay apart when
// cut with a line as wide as 0.16 of their height (0.8 mm at 5 mm), and those
// that are often confused differ by a whole stroke: the zero is narrow and
// slashed, the I has bars and the 1 a flag, the 5 has corners where the S is
// round, the B stands on a stem and the 8 is two rings.
//
// Lengths are millimetres in a frame of the text's own: x along the line of
// writing from the left edge of the first letter's box, y up from the baseline.
// A part's frame is reached with geom.Rigid; see Place.
package stroke
