// Package assembly answers how likely it is that every pin enters when a plate
// is put on its pins.
//
// N pins stand in one plate; the holes of the other go over them. Hole i is
// drawn at p_i = (u, v); its pin, as made, stands off from it by e_i; hole less
// pin is the diametral clearance c_i. The plate may be laid in any small pose
// (du, dv, theta), which moves its holes by (du - theta v, dv + theta u). Every
// pin enters when some pose leaves its distance from the hole's centre, or from the
// line between the slot's end centres, within c_i/2. With
//
//	s* = min over poses of max_i (distance_i - c_i/2)
//
// that is s* <= 0 (jig/minimax finds it), and 2 s* is what the diametral clearance of
// every hole would have to grow by for this one pair of plates; it may be negative.
//
// Where s* > 0, the pins that block are those larger than their own holes and those that hold
// s* up, so that a little more clearance there would lessen it. The critical pin is the one
// that blocks most often; where hardly anything fails, the one that does so in the tightest
// hundredth of the assemblies.
//
// Where the size of all holes of a plate is not known for sure, such as by a measured bias, c_i
// has a part that is drawn once for all joints: a plate's holes are then all a little wide or
// all a little narrow.
//
// Lengths are millimetres, angles radians counter-clockwise seen from above.
// The rotation is linearised: at 1e-3 rad the neglected part is 0.3
// micrometres at 600 mm. Pins are straight and stand upright: tilt and the
// effort of starting a pin are no part of the model.
package assembly
