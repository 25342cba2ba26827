// Package jig turns a job into a design: the pin pattern, the holes, the window,
// the rails, the float that is left, and the rules that say whether it holds.
//
//	job.Job -> Build -> Design (read-only) -> exporters
package jig
