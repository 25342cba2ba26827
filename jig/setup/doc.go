// Package setup derives the physical job from a design: the set-ups in their order, what
// lies on what in each, at which heights, which pins stand in it, which face is up, where
// zero is, what is done and what is checked. Rules on heights, reach and faces are asked
// of it. Heights count from the table up, in mm.
package setup
