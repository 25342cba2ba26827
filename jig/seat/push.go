package seat

import (
	"math"

	"reseat/jig/geom"
)

// load returns the sum of unit loads along the pushed walls' normals. It acts at
// the board's middle, so its work is load . (du, dv) there.
func (n Nest) load() geom.Vec {
	var sum geom.Vec
	for _, w := range n.Push {
		sum = sum.Add(outward(n.Window[(int(w)+1)%len(n.Window)].Sub(n.Window[w])))
	}
	return sum
}

// pushEps, times the reach, is how much work two vertices may differ by and
// still lie on the same face: ten times planeEps, since each vertex may be off
// its planes by that much.
const pushEps = 10 * planeEps

// pushed returns the corners of the face that the load ends up on.
func pushed(corners []corner, load geom.Vec, eps float64) []corner {
	best := math.Inf(-1)
	for _, c := range corners {
		best = math.Max(best, load.X*c.x[0]+load.Y*c.x[1])
	}
	var out []corner
	for _, c := range corners {
		if load.X*c.x[0]+load.Y*c.x[1] >= best-eps {
			out = append(out, c)
		}
	}
	return out
}

// settle makes the mean of the poses the resting pose.
func (s *nestSeat) settle() {
	k := 1 / float64(len(s.poses))
	for _, q := range s.poses {
		s.rest.DU += k * q.DU
		s.rest.DV += k * q.DV
		s.rest.Theta += k * q.Theta
	}
	for i := range s.poses {
		q := &s.poses[i]
		*q = Pose{q.DU - s.rest.DU, q.DV - s.rest.DV, q.Theta - s.rest.Theta}
	}
}
