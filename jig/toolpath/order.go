package toolpath

import "reseat/jig/geom"

// Order returns the order in which to visit places from a start: always the
// nearest one left, the first in the list among equals. It is deterministic and
// not the shortest way there is; for a dozen holes the difference is seconds.
func Order(places []geom.Vec, from geom.Vec) []int {
	order := make([]int, 0, len(places))
	done := make([]bool, len(places))
	for range places {
		best := -1
		for i, p := range places {
			if !done[i] && (best < 0 || p.Dist(from) < places[best].Dist(from)) {
				best = i
			}
		}
		done[best] = true
		order = append(order, best)
		from = places[best]
	}
	return order
}
