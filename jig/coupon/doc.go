// Package coupon designs the test piece that measures a process, a row of graded holes,
// slots and bars, and reads and writes the form that its measurements are put into.
package coupon
