package climate

import (
	"fmt"
	"sort"
	"strings"

	"reseat/jig/spelling"
)

// An UnknownError is a wood or material that nothing is known about here. It is
// an error and not a movement of nil, because that would read as "does not move".
type UnknownError struct {
	Kind string   // "wood" or "material"
	Got  string   // as it was written
	Near []string // the nearest known names, best first, at most three; may be empty
}

func (e *UnknownError) Error() string {
	s := fmt.Sprintf("climate: %s %q is not in the tables", e.Kind, e.Got)
	if len(e.Near) > 0 {
		s += "; did you mean " + strings.Join(e.Near, ", ") + "?"
	}
	return s
}

// mostNear is how many names are offered.
const mostNear = 3

// unknown makes the error for a name that is in no row of those listed; of each row
// its nearest name is offered.
func unknown(kind, name string, listed [][]string) *UnknownError {
	e := &UnknownError{Kind: kind, Got: name}
	if len(name) > longestName {
		e.Got = strings.ToValidUTF8(name[:longestName], "") + "..."
		return e
	}
	k := key(name)
	if k == "" {
		return e
	}
	type near struct {
		name  string
		slips int
	}
	var found []near
	for _, row := range listed {
		best := near{slips: longestName}
		for _, n := range row {
			if d := spelling.Distance(k, key(n)); d < best.slips && isNear(k, key(n), d) {
				best = near{n, d}
			}
		}
		if best.name != "" {
			found = append(found, best)
		}
	}
	sort.SliceStable(found, func(i, j int) bool { return found[i].slips < found[j].slips })
	for _, f := range found[:min(mostNear, len(found))] {
		e.Near = append(e.Near, f.name)
	}
	return e
}

// isNear tells whether a name with that many slips is worth offering. Two letters
// swapped are two slips, and a long name may have more; a shared word is worth it
// too ("Santos mahogany" is another wood than mahogany).
func isNear(a, b string, slips int) bool {
	return slips < len(a) && slips <= 2+len(a)/5 || sharesWord(a, b)
}

func sharesWord(a, b string) bool {
	for _, x := range strings.Fields(a) {
		for _, y := range strings.Fields(b) {
			if x == y {
				return true
			}
		}
	}
	return false
}
