// Package toolpath computes how a router cuts round holes, slots and drilled
// holes: moves of the tool's tip in the machine frame.
//
// Lengths are millimetres, feeds millimetres per minute, angles radians, positive
// counter-clockwise seen from above. X and Y are the machine's axes from the work
// zero, Z is up from the same zero; where the stock's top lies is a setting.
//
// Bore, SlotHole and Drill each make one Cut. Assemble puts cuts into a Program,
// nearest first. A Program can be moved by a rigid pose (Transform), summed up
// (DryRun) and held against what stands on the bed (Clear). Nothing here knows
// of files or of a controller's language.
//
// Milling never plunges: the tool goes down along the hole's own circle, a little
// per turn, and ends with a flat turn at the floor.
package toolpath
