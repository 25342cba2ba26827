// Package gcode writes tool paths as G-code for small routers, and reads such
// files back.
//
// The dialect Plain keeps to what grbl 1.1, LinuxCNC and a Marlin built with arc
// support understand alike: one G word on every move, arcs by I and J, no
// rotation, no canned cycle, no offset changed. The dialect NGC adds to it what
// LinuxCNC needs to keep to the path at corners. Rule numbers C01 to C15 in the
// comments are those of the project's rules for cut files.
//
// Lengths are millimetres. Coordinates are rounded to the decimals asked for; the
// centre of an arc is rounded so that the radii at its two ends agree as written.
// What was written is read again by this package's own strict reader and compared
// with the program before a byte goes out: a file that does not read back is not
// written.
package gcode
