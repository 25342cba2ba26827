package layout

// A few pins on little ground may still have a pattern that neither rows nor
// packing come upon. For those, pairs and clear pins are tried one by one on a
// thinned choice of places, the pairs with the least error first.

const (
	// fewPins is the largest pattern that is tried out.
	fewPins = 4
	// fewGroups bounds the places, and mostTried the patterns that are judged.
	fewGroups = 40
	mostTried = 1200
)

// exhaust returns the first pattern with n clear pins that is better than have, or
// an empty layout.
func (s Spec) exhaust(f finder, have grade, n int, pk *packer) layout {
	if n+2 > fewPins || s.quick {
		return layout{}
	}
	all := pk.orders[0]
	var some []group
	for i := 0; i < len(all); i += 1 + len(all)/fewGroups {
		some = append(some, all[i])
	}
	var pairs []pair
	add := func(a, b spot) {
		if f.legal(a, b) {
			pairs = append(pairs, f.measure(a, b))
		}
	}
	for i, g := range some {
		if len(g) == 2 {
			add(g[0], g[1])
			continue
		}
		for _, h := range some[:i] {
			if len(h) == 1 {
				add(g[0], h[0])
			}
		}
	}
	sortPairs(pairs)
	tried := 0
	var best layout
	for _, p := range pairs {
		var grow func(clear []spot, taken []placed, from int) bool
		grow = func(clear []spot, taken []placed, from int) bool {
			if len(clear) == n {
				tried++
				pins := s.roles(p, clear)
				if g := s.gradeOf(pins, noLayout); g > have && g > best.grade {
					best = layout{pins, g}
				}
				return best.grade >= blocked || tried >= mostTried
			}
			for i := from; i < len(some); i++ {
				g := some[i]
				if len(clear)+len(g) > n || !g.free(taken, s.apart()) {
					continue
				}
				if grow(append(clear[:len(clear):len(clear)], g...), g.stand(taken[:len(taken):len(taken)]), i+1) {
					return true
				}
			}
			return false
		}
		if grow(nil, standing(p.round.at, p.slot.at, s.TravelMM/2), 0) {
			break
		}
	}
	return best
}
