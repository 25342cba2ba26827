package command

import (
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// usualWide is a terminal's usual width, in characters.
const usualWide = 80

// Wide is how many characters a line for people has at most: a terminal's usual width, or
// what the environment says in COLUMNS.
func Wide() int {
	if n, err := strconv.Atoi(os.Getenv("COLUMNS")); err == nil && n >= usualWide {
		return n
	}
	return usualWide
}

// Paragraph prints text behind a first indent, and what does not fit on a line behind another.
// A word that is wider than a line stands alone.
func Paragraph(w io.Writer, first, rest, text string) {
	wide, indent := Wide(), first
	for _, line := range linesOf(text, wide-utf8.RuneCountInString(first), wide-utf8.RuneCountInString(rest)) {
		fmt.Fprintln(w, strings.TrimRight(indent+line, " "))
		indent = rest
	}
}

// Reflow breaks the paragraphs of a text anew; one with an indented line stays as it is.
func Reflow(text string) string {
	paragraphs := strings.Split(text, "\n\n")
	for i, p := range paragraphs {
		if !strings.Contains(p, "\n ") && !strings.HasPrefix(p, " ") {
			paragraphs[i] = strings.Join(linesOf(p, Wide(), Wide()), "\n")
		}
	}
	return strings.Join(paragraphs, "\n\n")
}

// linesOf breaks text at spaces into lines of so many characters, the first of its own
// width. There is one line at least.
func linesOf(text string, first, wide int) []string {
	var out []string
	line, room := "", first
	for i, word := range strings.Fields(text) {
		switch n := utf8.RuneCountInString(line); {
		case i == 0:
			line = word
		case n+1+utf8.RuneCountInString(word) <= room:
			line += " " + word
		default:
			out = append(out, line)
			line, room = word, wide
		}
	}
	return append(out, line)
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
