package foolproof

import "math/bits"

// allSeated reports whether every pin in left can have a hole of its own out of
// those it may enter (bipartite matching by augmenting paths).
func allSeated(left []int, may *[mostPins]uint16) bool {
	var owner [mostPins]int // pin + 1
	var seen uint16
	var seat func(pin int) bool
	seat = func(pin int) bool {
		for m := may[pin] &^ seen; m != 0; m &= m - 1 {
			j := bits.TrailingZeros16(m)
			if seen>>j&1 != 0 {
				continue
			}
			seen |= 1 << j
			if owner[j] == 0 || seat(owner[j]-1) {
				owner[j] = pin + 1
				return true
			}
		}
		return false
	}
	for _, pin := range left {
		seen = 0
		if !seat(pin) {
			return false
		}
	}
	return true
}
