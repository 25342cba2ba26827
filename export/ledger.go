package export

import (
	"fmt"
	"io"
	"os"
	"slices"
	"sort"
	"strings"
)

// LedgerName is the file that lists what the tool wrote into a directory.
const LedgerName = ".reseat-files"

const ledgerHead = "# sha256 and name of the files that reseat wrote here; others it never replaces or removes\n"

// ledger holds, by name, the SHA-256 sums that a file of the tool's may have.
type ledger map[string][]string

// readLedger reads the directory's ledger; without one the tool owns nothing there.
// Lines that are none of its own are passed over.
func readLedger(root *os.Root) ledger {
	l := ledger{}
	var data strings.Builder
	if readOwn(root, LedgerName, &data) != "" {
		return l
	}
	for _, line := range strings.Split(data.String(), "\n") {
		sum, name, ok := strings.Cut(strings.TrimRight(line, "\r"), "  ")
		if ok && len(sum) == 64 && plainName(name) {
			l.add(name, sum)
		}
	}
	return l
}

func (l ledger) add(name, sum string) {
	if !slices.Contains(l[name], sum) {
		l[name] = append(l[name], sum)
	}
}

// owns reports whether the tool wrote bytes of this sum under this name.
func (l ledger) owns(name, sum string) bool { return slices.Contains(l[name], sum) }

func (l ledger) write(w io.Writer) error {
	var lines []string
	for name, sums := range l {
		for _, sum := range sums {
			lines = append(lines, fmt.Sprintf("%s  %s\n", sum, name))
		}
	}
	sort.Slice(lines, func(i, j int) bool { return lines[i][64:] < lines[j][64:] })
	_, err := io.WriteString(w, ledgerHead+strings.Join(lines, ""))
	return err
}
