// Package budget adds up the errors of a board that is put back: at each
// feature, what every cause can do at worst and usually does, along and across
// the board, their sum, and the error that 95 % of all seatings stay within.
//
// Every cause moves the plane by a small affine field, or by a pose out of a
// convex set of poses, or moves each feature on its own:
//
//	error(p) = sum over causes of  t Field(p)  +  s Pose(p)  +  own
//
// with t and s drawn once for the whole board, own once per feature and axis.
//
// Worst case. Per source the farthest point of the Minkowski sum of its segments,
// its play and its own box. The sources' worst cases add up without regard to
// direction.
//
// Standard deviation. Per source and axis from the variances, as in the law of
// propagation of uncertainty:
//
//	sd^2 = sum over Vars of (Field(p) sd(t))^2 + variance of the play + own^2
//	sd(t) = half width / 1.95996 (normal), / sqrt 3 (uniform), / 1 (sign)
//
// 95 %. By simulation, the propagation of distributions: the figure is the
// smallest error that at least 95 % of the runs do not exceed. The runs are those
// of jig/montecarlo. What is counted is then refined by one step of Newton's method on the
// share with the normal causes in closed form, each run standing for all that they do along
// one line through it.
//
// References: JCGM 100:2008 (GUM), 4.3.7 and 5.1.2; JCGM 101:2008 (GUM
// supplement 1), clauses 5.9 and 7 (both recalled).
//
// Lengths are millimetres, angles radians, points in the board frame: X = u
// along the datum line, Y = v to its left. Same Spec, same Budget, whatever the
// number of cores.
package budget
