// Package estimate works out from a coupon's filled form what the process makes: kerf, bias,
// spread, taper, position and scale, each with its 95 % interval, and the rows that do not go
// with the others.
//
// One model explains all rows. A reading is a sum of unknowns and an error of the caliper:
//
//	opening:  drawn (1 + scale) + kerf + taper's part at the face + drift + own error - jaws
//	material: drawn (1 + scale) - kerf - taper's part at the face - drift - own error + zero
//	pairs:    the like, of the walls of two features, and what their places err
//	pin:      enters where the narrowest diameter exceeds the pin by a little air
//
// The unknowns are normal before anything is read: those of a process widely, those of the
// caliper, the pin and the hand as narrowly as is known of them. Given the three spreads (of
// sizes, places and readings) the readings then are normal too, and exactly solved; answers
// come in by expectation propagation. The spreads are laid on a grid, under each sign of the
// taper and each of two ways in which tips and scale may work, and every interval is one of the
// mixture: as wide as few features leave it, and not symmetric where that is not.
package estimate
