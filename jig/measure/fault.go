package measure

import (
	"fmt"
	"strings"
)

// Fault is one thing wrong with a readings file.
type Fault struct {
	File   string
	Line   int // from 1; 0: the whole file
	Column int // in characters from 1; 0: the whole line
	Says   string
	Remedy string
}

func (f Fault) String() string {
	place := f.File
	if f.Line > 0 {
		place = fmt.Sprintf("%s:%d:%d", f.File, f.Line, max(1, f.Column))
	}
	return fmt.Sprintf("%s: %s (%s)", place, f.Says, f.Remedy)
}

// Faults is every fault found in a file, in the file's order.
type Faults []Fault

func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, x := range f {
		lines[i] = x.String()
	}
	return "" + strings.Join(lines, "\n")
}
