package solid

// sets keeps track of which of n things have been joined (disjoint-set forest
// with path halving).
type sets []int32

func newSets(n int) sets {
	s := make(sets, n)
	for i := range s {
		s[i] = int32(i)
	}
	return s
}

func (s sets) find(x int32) int32 {
	for s[x] != x {
		s[x] = s[s[x]]
		x = s[x]
	}
	return x
}

// join makes x and y one set; the lower root stays, so that numbers do not
// depend on the order of joining.
func (s sets) join(x, y int32) {
	x, y = s.find(x), s.find(y)
	if x < y {
		s[y] = x
	} else {
		s[x] = y
	}
}

func (s sets) count() int {
	n := 0
	for i := range s {
		if s[i] == int32(i) {
			n++
		}
	}
	return n
}
