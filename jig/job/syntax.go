package job

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// parseTree turns text into the node of its one document. The text has passed
// screen. The node is nil when the text holds nothing but comments.
func parseTree(file, text, what string, src *source) (*yaml.Node, *Problem) {
	first, second, err := decodeTwo(text)
	switch {
	case err != nil:
		return nil, syntaxProblem(file, text, src, err)
	case second != nil:
		return nil, &Problem{
			File: file, Pos: Position{max(second.Line, 1), max(second.Column, 1)},
			Says: "a second document starts here", Remedy: "one " + what + " only: remove the line ---",
		}
	case first == nil || len(first.Content) == 0:
		return nil, nil
	}
	return first.Content[0], nil
}

// decodeTwo reads up to two documents. A panic inside the parser, which its
// authors count as a fault of theirs, comes back as an error.
func decodeTwo(text string) (first, second *yaml.Node, err error) {
	defer func() {
		if r := recover(); r != nil {
			first, second, err = nil, nil, fmt.Errorf("the YAML reader broke off: %v", r)
		}
	}()
	d := yaml.NewDecoder(bytes.NewReader([]byte(text)))
	for _, n := range []**yaml.Node{&first, &second} {
		var doc yaml.Node
		switch err := d.Decode(&doc); {
		case errors.Is(err, io.EOF):
			return first, second, nil
		case err != nil:
			return nil, nil, err
		}
		*n = &doc
	}
	return first, second, nil
}

var yamlLine = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^yaml: (?:line (\d+): )?`)
})

// syntaxProblem says in plain words what YAML cannot read, and where as far as
// that can be known. The parser's own line is that of the construct it was in,
// often far off, so the slips that we can find ourselves come first.
func syntaxProblem(file, text string, src *source, err error) *Problem {
	p := &Problem{File: file, Err: err}
	if at, ok := tabIndent(src.lines); ok {
		p.Pos, p.Says, p.Remedy = at, "a tab cannot indent", "indent with spaces"
		return p
	}
	if at, says, remedy, ok := unclosed(src.lines); ok {
		p.Pos, p.Says, p.Remedy = at, says, remedy
		return p
	}
	msg := err.Error()
	line := 1
	if m := yamlLine().FindStringSubmatch(msg); m != nil {
		msg = msg[len(m[0]):]
		if n, err := strconv.Atoi(m[1]); err == nil {
			line = n
		}
	}
	if n, ok := firstBadLine(text, src); ok {
		line = n
	}
	line = min(max(line, 1), len(src.lines))
	// A key glued to its value is a plain text to YAML; the line after it fails.
	for _, n := range []int{line, line - 1} {
		if n >= 1 && gluedColon().MatchString(strings.TrimSpace(src.lines[n-1])) {
			line = n
			break
		}
	}
	// So is a key without its colon, beside the line that fails.
	if n := line - 1; n >= 1 && strings.Contains(msg, mappingValues) &&
		indentOf(src.lines[n-1]) == indentOf(src.lines[line-1]) && noColon().MatchString(strings.TrimSpace(src.lines[n-1])) {
		line = n
	}
	shown := src.lines[line-1]
	says, remedy, column := plainSyntax(msg, shown)
	p.Pos, p.Says, p.Remedy = Position{line, column}, says, remedy
	return p
}

// tabIndent finds the first line that is indented with a tab.
func tabIndent(lines []string) (Position, bool) {
	for i, l := range lines {
		body := strings.TrimLeft(l, " \t")
		if body == "" || body[0] == '#' {
			continue
		}
		if k := strings.IndexByte(l[:len(l)-len(body)], '\t'); k >= 0 {
			return Position{i + 1, k + 1}, true
		}
	}
	return Position{}, false
}

// firstBadMaxLines and firstBadMaxBytes bound the search of firstBadLine, which
// parses the text once for each of its lines: under a quarter of a second. A job
// with all its comments has a hundred lines and 4 KiB.
const (
	firstBadMaxLines = 250
	firstBadMaxBytes = 8 << 10
)

// firstBadLine returns the line after the longest run of whole lines, from the
// start, that YAML can read: there the trouble starts.
func firstBadLine(text string, src *source) (int, bool) {
	if len(src.lines) > firstBadMaxLines || len(text) > firstBadMaxBytes {
		return 0, false
	}
	for n := len(src.lines) - 1; n >= 0; n-- {
		if _, _, err := decodeTwo(strings.Join(src.lines[:n], "\n")); err == nil {
			return n + 1, true
		}
	}
	return 0, false
}

// mappingValues is what the parser says of a colon that it does not expect.
const mappingValues = "mapping values are not allowed"

func indentOf(line string) int { return len(line) - len(strings.TrimLeft(line, " ")) }

var (
	noColon = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`^([A-Za-z_]+) +([^\s:#][^:#]*?) *(?:#.*)?$`)
	})
	gluedColon = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`^(- )?([A-Za-z_]+):([^\s/].*)$`)
	})
	missingComma = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`[^\s,{\[:] +([A-Za-z_]+): `)
	})
	badStart = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile("(?:^|[:,\\[{-]) *([@`%])")
	})
)

// columnAt turns a byte offset into a column counted from 1 in characters.
func columnAt(line string, offset int) int { return utf8.RuneCountInString(line[:offset]) + 1 }

// plainSyntax rewrites a message of the parser about a line, and finds the
// column as far as the line shows it: otherwise its first character. What it
// does not know it passes on.
func plainSyntax(msg, line string) (says, remedy string, column int) {
	body := strings.TrimSpace(line)
	column = columnAt(line, len(line)-len(strings.TrimLeft(line, " ")))
	if m := gluedColon().FindStringSubmatch(body); m != nil {
		return fmt.Sprintf("%s has no space after the colon", quoted(m[2]+":"+m[3])),
			fmt.Sprintf("write %s: %s", m[2], m[3]), column
	}
	if m := noColon().FindStringSubmatch(body); m != nil && strings.Contains(msg, mappingValues) {
		return fmt.Sprintf("%s has no colon", quoted(m[1]+" "+m[2])), fmt.Sprintf("write %s: %s", m[1], m[2]), column
	}
	const columns = "keys of one section start in the same column, below and right of the section's name"
	has := func(s string) bool { return strings.Contains(msg, s) }
	comma := missingComma().FindStringSubmatchIndex(line)
	switch {
	case strings.ContainsAny(body, "{[") && comma != nil && (has("mapping values") || has("did not find expected ','")):
		key := line[comma[2]:comma[3]]
		return "a comma is missing before " + key, "write {a: 1, b: 2}", columnAt(line, comma[2])
	case has(mappingValues) && strings.Count(body, ": ") > 1:
		first := strings.Index(line, ": ")
		return "a second colon where none can stand", "put text with a colon in quotes",
			columnAt(line, first+1+strings.Index(line[first+1:], ": "))
	case has("could not find expected ':'"):
		return fmt.Sprintf("%s is no key with a value", quoted(body)), "write key: value", column
	case has("cannot start any token"):
		if m := badStart().FindStringSubmatchIndex(line); m != nil {
			return fmt.Sprintf("%s cannot start a text", line[m[2]:m[3]]), "put the text in quotes", columnAt(line, m[2])
		}
		return "a character that cannot start a value", "put the text in quotes", column
	case has(mappingValues), has("did not find expected key"),
		has("block sequence entries are not allowed"), has("did not find expected '-' indicator"):
		return "the line does not fit the ones above", columns, column
	case has("did not find expected ','"), has("did not find expected node content"):
		return "a comma or a bracket is missing", "write {a: 1, b: 2} or [1, 2]", column
	case has("exceeded max depth"):
		return "sections stand in sections too deep", "", column
	case has("unknown escape character"):
		return "an unknown escape in double quotes", `write \\ for a backslash, or use single quotes`, column
	case has("unknown anchor"):
		return "an alias (*name) stands for nothing", "write the value itself", column
	}
	return "cannot be read as YAML: " + msg, "", column
}
