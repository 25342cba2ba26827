package command

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// TextWide is where running text is broken, in characters: it fits a terminal of 100 columns
// beside its indent.
const TextWide = 92

// Paragraph prints text behind a first indent, and what does not fit on a line of so many
// characters behind another. A word that is wider than a line stands alone.
func Paragraph(w io.Writer, wide int, first, rest, text string) {
	line, empty := first, true
	for _, word := range strings.Fields(text) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > wide {
			fmt.Fprintln(w, line)
			line, empty = rest, true
		}
		if !empty {
			line += " "
		}
		line, empty = line+word, false
	}
	fmt.Fprintln(w, line)
}

// Listed joins words, the first of many.
func Listed(words []string) string {
	const most = 10 // what a reader takes in
	if n := len(words); n > most {
		words = append(words[:most:most], fmt.Sprintf("and %d more", n-most))
	}
	return strings.Join(words, ", ")
}

// ShellWord quotes a path that a shell would take apart.
func ShellWord(path string) string {
	if strings.ContainsAny(path, " \t\"'$&|;<>()*?`\\") {
		return "'" + strings.ReplaceAll(path, "'", `'\''`) + "'"
	}
	return path
}

// Again is the command line that a command was called with, all but the named flags.
func Again(cmd *cobra.Command, args []string, less ...string) string {
	words := []string{cmd.CommandPath()}
	for _, a := range args {
		words = append(words, ShellWord(a))
	}
	cmd.Flags().Visit(func(f *pflag.Flag) {
		switch {
		case slices.Contains(less, f.Name):
		case f.Value.Type() == "bool":
			words = append(words, "--"+f.Name)
		default:
			words = append(words, "--"+f.Name, ShellWord(f.Value.String()))
		}
	})
	return strings.Join(words, " ")
}
