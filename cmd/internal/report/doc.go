// Package report prints a design for people on the terminal. It computes nothing.
package report
