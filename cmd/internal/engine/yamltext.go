package engine

import (
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// A job's text is edited in place: the characters of one value are replaced, or a key is put in, and
// all else, comments and blanks included, stays as it was. What the edit did is read back: it stands
// only when that key changed and no other.

// errByHand is of an edit that would touch more than one value.
var errByHand = errors.New("this key cannot be changed from here; change it in the job's text")

const byteOrderMark = "\ufeff"

// Edit returns the text with the key at the dotted path set to a value, as the file takes it; an empty
// value takes the key out. Errors: text that is no YAML, a value that is no single value, a place that
// cannot be edited without touching others.
func Edit(text, path, value string) (string, error) {
	if bare, ok := strings.CutPrefix(text, byteOrderMark); ok {
		out, err := Edit(bare, path, value)
		return byteOrderMark + out, err
	}
	value = strings.TrimSpace(value)
	root, err := treeOf(text)
	if err != nil {
		return "", err
	}
	value = quoted(path, value)
	e := edit{text: text, lines: lineStarts(text), eol: "\n"}
	if strings.Contains(text, "\r\n") {
		e.eol = "\r\n"
	}
	names := strings.Split(strings.ReplaceAll(path, "[", ".["), ".")
	want := flat(root)
	for key := range want {
		if key == path || strings.HasPrefix(key, path+".") || strings.HasPrefix(key, path+"[") {
			delete(want, key)
		}
	}
	if value != "" {
		node, err := treeOf(value)
		if err != nil || strings.ContainsAny(value, "\r\n") {
			return "", fmt.Errorf("%q is no value; write a number, a length with its unit, a word or a list", value)
		}
		flatten(node, path, want)
	}
	for _, try := range e.ways(root, names, value) {
		if now, err := treeOf(try); err == nil && maps.Equal(flat(now), want) {
			return try, nil
		}
	}
	return "", errByHand
}

// plainWord is text that YAML takes as it stands.
var plainWord = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9 ,./()_-]*$`)

// quoted puts quotes round the text of a title or the like where YAML would take it for something else.
func quoted(path, value string) string {
	if k, ok := keyOf(path); !ok || k.Kind != "text" || value == "" || plainWord.MatchString(value) ||
		strings.HasPrefix(value, `"`) || strings.HasPrefix(value, "'") {
		return value
	}
	return "'" + strings.ReplaceAll(value, "'", "''") + "'"
}

// treeOf reads text to its outermost node; nil of text that holds nothing.
func treeOf(text string) (*yaml.Node, error) {
	var doc yaml.Node
	if err := yaml.Unmarshal([]byte(text), &doc); err != nil {
		return nil, err
	}
	if len(doc.Content) == 0 {
		return nil, nil
	}
	return doc.Content[0], nil
}

// flat is every value of a tree by its path.
func flat(n *yaml.Node) map[string]string {
	out := map[string]string{}
	flatten(n, "", out)
	return out
}

func flatten(n *yaml.Node, path string, out map[string]string) {
	switch {
	case n == nil:
	case n.Kind == yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			flatten(n.Content[i+1], strings.TrimPrefix(path+"."+n.Content[i].Value, "."), out)
		}
	case n.Kind == yaml.SequenceNode:
		for i, c := range n.Content {
			flatten(c, fmt.Sprintf("%s[%d]", path, i), out)
		}
	default:
		out[path] = n.ShortTag() + " " + n.Value
	}
}

// edit is a text with the byte offsets of its lines.
type edit struct {
	text  string
	lines []int
	eol   string // how its lines end
}

func lineStarts(text string) []int {
	out := []int{0}
	for i := range len(text) {
		if text[i] == '\n' || text[i] == '\r' && (i+1 == len(text) || text[i+1] != '\n') {
			out = append(out, i+1)
		}
	}
	return out
}

// at is the byte offset of a node's first character; -1: outside.
func (e edit) at(n *yaml.Node) int {
	if n.Line < 1 || n.Line > len(e.lines) {
		return -1
	}
	at := e.lines[n.Line-1]
	for range n.Column - 1 {
		_, size := utf8.DecodeRuneInString(e.text[at:])
		at += size
	}
	return at
}

// end is where the value that begins at a byte ends: of a quoted one behind its quote, of one in
// brackets behind the last, of a plain one before what ends it.
func (e edit) end(from int, inFlow bool) int {
	s, depth := e.text, 0
	for i := from; i < len(s); i++ {
		switch c := s[i]; {
		case (c == '"' || c == '\'') && (i == from || depth > 0):
			for i++; i < len(s) && s[i] != c; i++ {
				if c == '"' && s[i] == '\\' {
					i++
				}
			}
			if depth == 0 && (c == '"' || i+1 >= len(s) || s[i+1] != '\'') {
				return min(i+1, len(s))
			}
			if depth == 0 { // '' within single quotes
				i += 1 + strings.IndexByte(s[min(i+2, len(s)):], '\'') + 1
				return min(i+1, len(s))
			}
		case strings.IndexByte("[{", c) >= 0 && (i == from || depth > 0):
			depth++
		case strings.IndexByte("]}", c) >= 0 && depth > 0:
			if depth--; depth == 0 {
				return i + 1
			}
		case depth > 0:
		case c == '\n' || c == '\r' || c == '#' && i > from && strings.IndexByte(" \t", s[i-1]) >= 0,
			inFlow && strings.IndexByte(",]}", c) >= 0:
			return from + len(strings.TrimRight(s[from:i], " \t"))
		}
	}
	return from + len(strings.TrimRight(s[from:], " \t\r\n"))
}

// ways are the texts that may be the edited one, the best first.
func (e edit) ways(root *yaml.Node, names []string, value string) (out []string) {
	section, rest := root, names
	for len(rest) > 0 && section != nil {
		k, v := child(section, rest[0])
		if v == nil {
			break
		}
		if len(rest) == 1 || v.Kind == yaml.ScalarNode {
			return e.replaced(section, k, v, rest[1:], value)
		}
		section, rest = v, rest[1:]
	}
	if value == "" || section == nil && root != nil || section != nil && section.Kind != yaml.MappingNode {
		return nil
	}
	for i := len(rest) - 1; i > 0; i-- {
		value = "{" + rest[i] + ": " + value + "}"
	}
	line := rest[0] + ": " + value
	switch {
	case section == nil:
		return []string{e.text + e.newLineAfter(e.text) + line + e.eol}
	case section.Style&yaml.FlowStyle != 0:
		return e.intoFlow(section, line)
	}
	return e.intoBlock(section, rest[0], line)
}

// newLineAfter is a line's end where the text lacks one.
func (e edit) newLineAfter(text string) string {
	if text == "" || strings.HasSuffix(text, "\n") {
		return ""
	}
	return e.eol
}

// child is the value of a section's key or of a list's entry; key is nil for an entry.
func child(n *yaml.Node, name string) (key, value *yaml.Node) {
	if n.Kind == yaml.SequenceNode {
		if i, err := strconv.Atoi(strings.Trim(name, "[]")); err == nil && i >= 0 && i < len(n.Content) {
			return nil, n.Content[i]
		}
		return nil, nil
	}
	for i := 0; n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == name {
			return n.Content[i], n.Content[i+1]
		}
	}
	return nil, nil
}

// replaced are texts with another value at a key that the section has; below it where the value was a
// bare one and becomes a section.
func (e edit) replaced(section, key, v *yaml.Node, below []string, value string) (out []string) {
	flow := section.Style&yaml.FlowStyle != 0
	from := e.at(v)
	if from < 0 {
		return nil
	}
	to := e.end(from, flow)
	if v.Value == "" && v.Kind == yaml.ScalarNode && v.Style == 0 && key != nil { // nothing stands there
		from = e.at(key) + len(key.Value) + 1
		to, value = from, " "+value
	}
	if v.Kind != yaml.ScalarNode && v.Style&yaml.FlowStyle == 0 {
		return nil // of several lines
	}
	if value != "" {
		for i := len(below) - 1; i >= 0; i-- {
			value = "{" + below[i] + ": " + value + "}"
		}
		return []string{e.text[:from] + value + e.text[to:]}
	}
	if key == nil || len(below) > 0 {
		return nil
	}
	start := e.at(key)
	if !flow { // the whole line, with its comment
		line := e.lines[key.Line-1]
		next := len(e.text)
		if i := slices.IndexFunc(e.lines, func(at int) bool { return at > to }); i >= 0 {
			next = e.lines[i]
		}
		return []string{e.text[:line] + e.text[next:], e.text[:start] + e.text[to:]}
	}
	after := to + len(e.text[to:]) - len(strings.TrimLeft(e.text[to:], " \t"))
	if strings.HasPrefix(e.text[after:], ",") {
		rest := strings.TrimLeft(e.text[after+1:], " ")
		return []string{e.text[:start] + rest}
	}
	return []string{strings.TrimRight(strings.TrimRight(e.text[:start], " \t"), ",") + e.text[to:]}
}

// intoFlow puts a key at the end of a section in braces.
func (e edit) intoFlow(section *yaml.Node, line string) []string {
	from := e.at(section)
	if from < 0 {
		return nil
	}
	to := e.end(from, false) - 1
	before := strings.TrimRight(e.text[:to], " \t")
	if len(section.Content) > 0 && !strings.HasSuffix(before, ",") {
		before += ","
	}
	if len(section.Content) > 0 {
		before += " "
	}
	return []string{before + line + e.text[to:]}
}

// intoBlock puts a key into a section of several lines: where a comment keeps its place, or behind the
// last of its keys, or before the first.
func (e edit) intoBlock(section *yaml.Node, name, line string) (out []string) {
	first := section.Content[0]
	start := e.lines[first.Line-1]
	indent := e.text[start:max(start, e.at(first))]
	if strings.Trim(indent, " ") != "" {
		indent = strings.Repeat(" ", first.Column-1) // behind the dash of a list
	}
	last := lastLine(section)
	end := len(e.lines)
	// A place kept by a comment: "# name: .." with what is said of it behind.
	kept := regexp.MustCompile(`^` + indent + `# *` + regexp.QuoteMeta(name) +
		`: *(?:\.\.|\[[^\]]*\]|\{[^}]*\})?( *)(#.*)?\s*$`)
	for i := first.Line - 1; i < min(end, last+mostKept); i++ {
		row := e.row(i)
		m := kept.FindStringSubmatch(strings.TrimRight(row, "\r\n"))
		if m == nil {
			continue
		}
		eol := row[len(strings.TrimRight(row, "\r\n")):]
		now := indent + line
		if m[2] != "" { // comments stay in their column where there is room
			now += strings.Repeat(" ", max(2, strings.Index(row, m[2])-len(now))) + m[2]
		}
		out = append(out, e.text[:e.lines[i]]+now+eol+e.text[e.lines[i]+len(row):])
	}
	for i := last; i <= min(end, last+mostKept); i++ { // behind brackets of several lines
		at := e.lines[i-1] + len(e.row(i-1))
		out = append(out, e.text[:at]+e.newLineAfter(e.text[:at])+indent+line+e.eol+e.text[at:])
	}
	if strings.Trim(e.text[start:max(start, e.at(first))], " ") == "" {
		out = append(out, e.text[:start]+indent+line+e.eol+e.text[start:])
	}
	return out
}

// mostKept is how many lines behind a section's last key are looked at.
const mostKept = 60

// row is a line with its end, counted from 0.
func (e edit) row(i int) string {
	if i+1 < len(e.lines) {
		return e.text[e.lines[i]:e.lines[i+1]]
	}
	return e.text[e.lines[i]:]
}

// lastLine is the highest line that a node of the tree begins on.
func lastLine(n *yaml.Node) int {
	last := n.Line
	for _, c := range n.Content {
		last = max(last, lastLine(c))
	}
	return last
}
