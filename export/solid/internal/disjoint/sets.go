// Package disjoint keeps track of which of n things have been joined.
package disjoint

// Sets is a disjoint-set forest with path halving over the numbers 0 to n-1. The
// root of a set is its least member, so that the outcome does not hang on the
// order of joining.
type Sets []int32

// New returns n sets of one member each.
func New(n int) Sets {
	s := make(Sets, n)
	for i := range s {
		s[i] = int32(i)
	}
	return s
}

// Find returns the least member of the set that holds x, 0 <= x < n.
func (s Sets) Find(x int32) int32 {
	for s[x] != x {
		s[x] = s[s[x]]
		x = s[x]
	}
	return x
}

// Join makes the sets that hold x and y one.
func (s Sets) Join(x, y int32) {
	x, y = s.Find(x), s.Find(y)
	if x < y {
		s[y] = x
	} else {
		s[x] = y
	}
}

// Count returns how many sets there are.
func (s Sets) Count() int {
	n := 0
	for i := range s {
		if s[i] == int32(i) {
			n++
		}
	}
	return n
}
