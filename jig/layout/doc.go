// Package layout places the dowel pins of a pattern: where they may stand, which two
// locate, and where the clear ones go so that the plate cannot be put on wrong.
//
// It knows nothing of the job: contours, webs, sizes and features come in as values in
// the board frame (u along the datum line, v to its left, mm), places and the figures
// that chose them come out. The search is deterministic.
package layout
