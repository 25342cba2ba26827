package job

import "strings"

// suggest returns the word of known that is nearest to got, or "" when none is
// near: the same but for case, dashes and underscores; the start of the other,
// three letters at least; or few letters off.
func suggest(got string, known []string) string {
	if len(got) > 2*maxText {
		return ""
	}
	g := plainWord(got)
	best, least := "", 1<<30
	for _, k := range known {
		p := plainWord(k)
		d := letterMoves(g, p)
		switch {
		case g == p:
			return k
		case len(g) >= 3 && (strings.HasPrefix(p, g) || strings.HasSuffix(p, g)), len(p) >= 3 && strings.HasPrefix(g, p):
			d = min(d, 1)
		case d > allowedMoves(min(len(g), len(p))):
			continue
		}
		if d < least {
			best, least = k, d
		}
	}
	return best
}

// allowedMoves is how many letters a word of n letters may be off and still be
// taken for a slip: one in three, and none in words so short that any other
// would do.
func allowedMoves(n int) int {
	if n < 2 {
		return 0
	}
	return max(1, n/3)
}

func plainWord(s string) string {
	return strings.NewReplacer("-", "", "_", "", " ", "").Replace(strings.ToLower(s))
}

// letterMoves returns how many letters must be put in, left out, changed or
// swapped with their neighbour to turn a into b (the restricted edit distance,
// in which no letter moves twice).
//
// Reference: L. Boytsov, "Indexing methods for approximate dictionary searching",
// ACM J. Exp. Algorithmics 16 (2011), section 2 (recalled, not seen).
func letterMoves(a, b string) int {
	before := make([]int, len(b)+1)
	last := make([]int, len(b)+1)
	row := make([]int, len(b)+1)
	for k := range last {
		last[k] = k
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for k := 1; k <= len(b); k++ {
			change := 1
			if a[i-1] == b[k-1] {
				change = 0
			}
			row[k] = min(last[k]+1, row[k-1]+1, last[k-1]+change)
			if i > 1 && k > 1 && a[i-1] == b[k-2] && a[i-2] == b[k-1] {
				row[k] = min(row[k], before[k-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
