package climate

import (
	"sort"
	"strings"
)

// passedOver are words that people add to a material's name and that do not change
// how it moves: the word for the stuff, and figure and finish.
var passedOver = map[string]bool{
	"wood": true, "timber": true, "lumber": true, "solid": true, "sheet": true, "plate": true, "panel": true, "board": true,
	"filament": true, "print": true, "printed": true, "clear": true, "transparent": true, "mm": true, "the": true, "a": true,
	"curly": true, "figured": true, "flamed": true, "flame": true, "quilted": true, "birdseye": true, "dried": true, "kiln": true,
}

// longestName is longer than any material's name, in bytes; what is longer is not
// looked up.
const longestName = 80

// key brings a name into the form that names are compared in: its words in lower
// case, sorted, without numbers and without the words that are passed over. Letters beyond a to z stay as they are.
func key(name string) string {
	if len(name) > longestName {
		return ""
	}
	all := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool {
		return r < 0x80 && (r < 'a' || r > 'z')
	})
	words := make([]string, 0, len(all))
	for _, w := range all {
		if !passedOver[w] {
			words = append(words, w)
		}
	}
	sort.Strings(words)
	return strings.Join(words, " ")
}

// index maps the key of every name to its row, and lists the names row by row; a
// name that two rows claim goes to the first (a test holds that none does).
func index(rows int, namesOf func(int) []string) (map[string]int, [][]string) {
	at := map[string]int{}
	var listed [][]string
	for i := range rows {
		listed = append(listed, namesOf(i))
		for _, n := range namesOf(i) {
			if _, taken := at[key(n)]; !taken {
				at[key(n)] = i
			}
		}
	}
	return at, listed
}

var (
	woodIndex, woodNames   = index(len(woodRows), func(i int) []string { return woodRows[i].allNames() })
	sheetIndex, sheetNames = index(len(sheetRows), func(i int) []string { return sheetRows[i].names })
)

func (r woodRow) allNames() []string {
	return append(append([]string{r.name}, r.also...), r.genus...)
}
