// Package gcode writes tool paths as G-code for small routers.
//
// The dialect Plain keeps to what grbl 1.1, LinuxCNC and a Marlin built with arc support
// understand alike: one G word on every move, arcs by I and J, no rotation, no canned cycle,
// no offset changed. The dialect NGC adds the word that keeps LinuxCNC to the path at
// corners.
//
// The rules that a file obeys, each with what it was learnt from:
//
//   - At most 70 characters of code and 126 with comment on a line, seven-bit, decimal point,
//     no exponent: grbl keeps 80 characters, a serial buffer 128 (github.com/grbl/grbl/issues/724).
//   - Every mode is set before the first move, each on its own line: grbl drops a whole line
//     for one word that it does not know (github.com/vlachoudis/bCNC/issues/373).
//   - The first move is a lone lift to the safe height; the file ends with a lift, M5, the
//     return move and M2, never M30, which deletes a file on Marlin (marlinfw.org, M30).
//   - No G28, G30, G53, G10, G92: the operator owns the zero.
//   - Arcs have X, Y, I and J, and their radii agree within 0.002 mm as written: grbl refuses
//     0.005 (github.com/gnea/grbl, gcode.c), and fewer than three decimals break it.
//   - Comments on lines of their own, of one style in a file, never nested, without the words
//     that end a program (github.com/Denvi/Candle/issues/344).
package gcode
