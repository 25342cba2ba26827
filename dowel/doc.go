// Package dowel answers which hole serves a dowel pin: in this material, made
// this way, for this purpose.
//
// Lookup gives a standard pin with its limits, Measured one from micrometer
// readings. ChooseHole picks the hole and says how to make it, RankHoles lists
// every way. Reamer gives the cutting diameter for a hole class, PreReam the
// drill before it, and the press functions what an interference does to a plate.
//
// Lengths are millimetres, on the diameter where one is meant. A clearance is
// hole less pin; a negative one is an interference.
package dowel
