package export

import (
	"bytes"
	"fmt"
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
	data, why := readOwn(root, LedgerName)
	if why != "" {
		return l
	}
	for _, line := range strings.Split(string(data), "\n") {
		sum, name, ok := strings.Cut(strings.TrimRight(line, "\r"), "  ")
		if ok && len(sum) == 64 && badName(name) == "" {
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

// owns reports whether the tool wrote these bytes under this name.
func (l ledger) owns(name string, data []byte) bool {
	return slices.Contains(l[name], digest(data))
}

func (l ledger) bytes() []byte {
	var lines []string
	for name, sums := range l {
		for _, sum := range sums {
			lines = append(lines, fmt.Sprintf("%s  %s\n", sum, name))
		}
	}
	sort.Slice(lines, func(i, j int) bool { return lines[i][64:] < lines[j][64:] })
	var buf bytes.Buffer
	buf.WriteString(ledgerHead)
	for _, line := range lines {
		buf.WriteString(line)
	}
	return buf.Bytes()
}
