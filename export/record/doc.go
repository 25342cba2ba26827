// Package record writes a design down for other programs: design.json, the whole
// of it, and holes.csv, the list of holes.
//
// Numbers are plain, with the unit in the key or column. Lengths are rounded to a
// millionth of a millimetre, angles in radians to 1e-9, degrees and odds to 1e-6,
// figures of rules to 1e-9 of their unit. There is no NaN, no infinity and no minus nought. Same design, same bytes.
//
// Outlines are lists of corners, counter-clockwise, not repeating the first. Corners
// between straight edges are exact; arcs are followed by chords whose middle lies
// at most ArcsWithinMM from the arc, with their ends on it.
package record
