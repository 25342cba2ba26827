// Package assembly answers how likely it is that every pin enters when a plate
// is put on its pins.
//
// N pins stand in one plate; the holes of the other go over them. Hole i is
// drawn at p_i = (u, v); its pin, as made, stands off from it by e_i; hole less
// pin is the diametral clearance c_i. The plate may be laid in any small pose
// (du, dv, theta), which moves its holes by (du - theta v, dv + theta u). The
// pin is then off its hole's centre, or off its slot's centre line, which ends
// travel/2 either side of the middle, by
//
//	d_i(pose) = dist(e_i - (du - theta v, dv + theta u), track_i)
//
// and every pin enters when some pose leaves d_i <= c_i/2 everywhere. With
//
//	s* = min over poses of max_i (d_i(pose) - c_i/2)
//
// that is s* <= 0, and 2 s* is what the diametral clearance of every hole would
// have to grow by for this one pair of plates; it may be negative. [Lay] finds
// it for one pair as measured, [Simulate] for many pairs drawn at random.
//
// Each d_i is a norm of linear functions of the pose, so the problem is convex,
// and any unit normals n_j at joints i(j) with weights w_j >= 0, sum w_j = 1,
// sum w_j n_j = 0, sum w_j (p_i(j) x n_j) = 0 prove
//
//	s* >= sum_j w_j (n_j.e_i - max over track_i of n_j.x - c_i/2)
//
// while any pose proves s* <= its own worst joint. Both are driven together
// until they are within [SolveTolerance] (a Remez exchange; see exchange.go).
//
// Lengths are millimetres, angles radians counter-clockwise seen from above.
// The rotation is linearised: at 1e-3 rad the neglected part is 0.3
// micrometres at 600 mm. Pins are straight and stand upright: tilt and the
// effort of starting a pin are no part of the model.
//
// References: E. Ya. Remez, exchange methods for Chebyshev approximation, 1934
// (recalled, not seen); E. B. Wilson, Probable inference, the law of succession,
// and statistical inference, J. Am. Stat. Assoc. 22 (1927) 209-212 (title and
// pages as cited at vassarstats.net/prop1.html).
package assembly
