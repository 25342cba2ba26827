// Package spelling finds the word that a misspelt one was meant to be.
package spelling

import "strings"

// longest is longer than any word that is looked for, in bytes.
const longest = 160

// Nearest returns the word of known that is nearest to got, or "" when none is
// near: the same but for case, dashes and underscores; the start of the other,
// three letters at least; or few letters off.
func Nearest(got string, known []string) string {
	if len(got) > longest {
		return ""
	}
	g := plain(got)
	best, least := "", 1<<30
	for _, k := range known {
		p := plain(k)
		d := Distance(g, p)
		switch {
		case g == p:
			return k
		case len(g) >= 3 && (strings.HasPrefix(p, g) || strings.HasSuffix(p, g)), len(p) >= 3 &&
			strings.HasPrefix(g, p):
			d = min(d, 1)
		case d > allowed(min(len(g), len(p))):
			continue
		}
		if d < least {
			best, least = k, d
		}
	}
	return best
}

// allowed is how many letters a word of n letters may be off and still be taken
// for a misspelling: one in three, and none in words so short that any other
// would do.
func allowed(n int) int {
	if n < 2 {
		return 0
	}
	return max(1, n/3)
}

var apart = strings.NewReplacer("-", "", "_", "", " ", "")

func plain(s string) string { return apart.Replace(strings.ToLower(s)) }

// Distance returns the edit distance of two words: how many letters must be put
// in, left out, changed or swapped with their neighbour to turn a into b (the
// restricted distance, in which no letter moves twice). A word more than twice
// as long as the other counts with its whole length.
//
// Reference: L. Boytsov, "Indexing methods for approximate dictionary searching",
// ACM J. Exp. Algorithmics 16 (2011), section 2 (recalled).
func Distance(a, b string) int {
	if len(a) > 2*len(b)+2 {
		return len(a)
	}
	n := len(b) + 1
	rows := make([]int, 3*n)
	before, last, row := rows[:n], rows[n:2*n], rows[2*n:]
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
