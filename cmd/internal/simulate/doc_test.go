// Package simulate cuts the written programs in a stock of points and says what is left.
//
// It shares nothing with the code that plans the programs: the G-code is read by a reader
// of its own, the wanted holes come from the job file by arithmetic of its own, and a part
// that is turned over is turned in space, half a turn about an axis.
package simulate
