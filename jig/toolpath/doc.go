// Package toolpath plans how a router cuts round holes, slots and drilled holes: moves
// of the tool's tip in the machine frame.
//
// Lengths are millimetres, feeds millimetres per minute, angles radians, positive
// counter-clockwise seen from above. X and Y are the machine's axes from the work zero;
// Z is up from the top of the stock, where zero is set.
//
// A Router plans one Cut for each hole and puts cuts into a Program, nearest first. A
// cut does not hold its moves, it makes them each time it is asked: a program of millions
// of moves takes no more memory than a short one. A Program is held against what stands
// on the bed by Collisions. Nothing here knows of files or of a controller's language.
//
// Milling never plunges: the tool goes down along the hole's own outline, a little per
// pass, and ends with a flat pass at the floor. It runs counter-clockwise inside the hole,
// which is climb milling for a spindle that turns clockwise.
package toolpath
