// Package setupsheet lays out the sheet that lies beside the machine: the verdict, the order of work
// with boxes to tick, a page for every set-up with its stack, its plan, its steps and its checks with
// boxes to write into, the drawing, where the error comes from, and what to mind.
//
// The package designs nothing: every figure is copied from jig.Design, and pictures are drawn to a
// scale from its outlines and heights. Paper checks, it never locates.
package setupsheet
