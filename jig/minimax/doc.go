// Package minimax lays a plate on pins so that the pin that is worst off is off by
// least.
//
// Pin i stands off_i from the middle of its hole, a circle of radius room_i or a slot
// whose track of end centres has a direction and a length. A move x = (shift, turn)
// of the pins against the plate carries it to off_i + shift + turn arm_i, and the
// package finds
//
//	s* = min over x of max over i of (distance to track_i - room_i)
//
// Each distance is a norm of linear functions of x, so the problem is convex, and
// any unit normals n_j at pins i(j) with weights w_j >= 0 that balance,
//
//	sum w_j = 1,  sum w_j n_j = 0,  sum w_j (n_j . arm_i(j)) = 0
//
// prove s* >= sum w_j (n_j . off_i(j) - max over the track of n_j . y - room_i(j)), while
// any move proves s* <= its own worst pin. Both are driven together: cuts are
// exchanged one by one as in the simplex method, the entering one being the tangent at
// the worst pin of the move where the four meet, so that no list of cuts is kept.
//
// Lengths are millimetres.
//
// References: E. Ya. Remez, exchange methods for Chebyshev approximation, 1934
// (recalled).
package minimax
