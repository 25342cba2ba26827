// Package account lists the sources of a job's error budget: what moves the board, seen
// from the machine, between the first cut and the next. Values in, budget sources out;
// how a single error moves the board is jig/motion, what they come to together jig/budget.
package account
