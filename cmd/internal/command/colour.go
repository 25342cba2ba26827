package command

import (
	"io"
	"os"
	"runtime"
	"strings"
)

// The escapes of ECMA-48 (select graphic rendition) for what a verdict is shown in.
const (
	red    = "\x1b[31m"
	green  = "\x1b[32m"
	yellow = "\x1b[33m"
	plain  = "\x1b[0m"
)

// verdicts are the words that are coloured: a line begins with them, or ends with them behind
// a colon.
var verdicts = []struct{ word, colour string }{
	{"HOLDS", green}, {"GOOD", green}, {"good", green},
	{"DOES NOT HOLD", red}, {"OUT OF TOLERANCE", red}, {"OUTLIER", red}, {"REFUSED", red}, {"fail", red},
	{"INCONCLUSIVE", yellow}, {"warn", yellow},
}

// WantsColour reports whether text for people is coloured there: on a terminal that can, unless
// the environment says NO_COLOR. The old console of Windows shows the escapes themselves;
// a new terminal names itself in WT_SESSION.
func WantsColour(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok || os.Getenv("NO_COLOR") != "" || os.Getenv("TERM") == "dumb" {
		return false
	}
	if runtime.GOOS == "windows" && os.Getenv("WT_SESSION") == "" && os.Getenv("TERM") == "" {
		return false
	}
	st, err := f.Stat()
	return err == nil && st.Mode()&os.ModeCharDevice != 0
}

// coloured colours the verdict of a line.
func coloured(line string) string {
	for _, v := range verdicts {
		if rest, ok := strings.CutPrefix(line, v.word); ok && (strings.HasPrefix(rest, "  ") || strings.HasPrefix(rest, ":")) {
			return v.colour + v.word + plain + rest
		}
		if rest, ok := strings.CutSuffix(line, ": "+v.word); ok {
			return rest + ": " + v.colour + v.word + plain
		}
	}
	return line
}
