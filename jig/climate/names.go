package climate

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"reseat/jig/spelling"
)

// passedOver are words that people add to a material's name and that do not change
// how it moves: the word for the stuff, and figure and finish.
var passedOver = strings.Fields("wood timber lumber solid sheet plate panel board filament print printed clear " +
	"transparent " +
	"mm the a curly figured flamed flame quilted birdseye dried kiln")

// longestName is longer than any material's name, in bytes; what is longer is not
// looked up.
const longestName = 80

// key brings a name into the form that names are compared in: its words in lower
// case, sorted, without numbers and without the words that are passed over. Letters
// beyond a to z stay as they are.
func key(name string) string {
	if len(name) > longestName {
		return ""
	}
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool {
		return r < 0x80 && (r < 'a' || r > 'z')
	})
	words = slices.DeleteFunc(words, func(w string) bool { return slices.Contains(passedOver, w) })
	sort.Strings(words)
	return strings.Join(words, " ")
}

// mostNear is how many names are offered for one that is not known.
const mostNear = 3

// unknown makes the error for a name that is in no row of those listed, with their keys; of each
// row its nearest name is offered.
func unknown(kind, name string, listed, keys [][]string) error {
	if len(name) > longestName {
		return fmt.Errorf("%s %q... is not in the tables", kind, strings.ToValidUTF8(name[:longestName], ""))
	}
	type near struct {
		name  string
		apart int
	}
	var found []near
	wanted := key(name)
	if wanted == "" {
		listed = nil // of a part that is not there; nothing is near
	}
	for i, row := range listed {
		best := near{apart: longestName}
		for j, n := range row {
			k := keys[i][j]
			if d := spelling.Distance(wanted, k); d < best.apart && isNear(wanted, k, d) {
				best = near{n, d}
			}
		}
		if best.name != "" {
			found = append(found, best)
		}
	}
	sort.SliceStable(found, func(i, j int) bool { return found[i].apart < found[j].apart })
	var names []string
	for _, f := range found[:min(mostNear, len(found))] {
		names = append(names, f.name)
	}
	if names == nil {
		return fmt.Errorf("%s %q is not in the tables", kind, name)
	}
	return fmt.Errorf("%s %q is not in the tables; did you mean %s?", kind, name, strings.Join(names, ", "))
}

// isNear reports whether a name so many letters apart is worth offering: a long name
// may have more of them, and a shared word is worth it too ("Santos mahogany" is
// another wood than mahogany).
func isNear(a, b string, apart int) bool {
	return apart < len(a) && apart <= 2+len(a)/5 ||
		slices.ContainsFunc(strings.Fields(a), func(w string) bool { return slices.Contains(strings.Fields(b), w) })
}
