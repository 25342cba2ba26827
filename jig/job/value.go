package job

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"reseat/jig/spelling"
	"reseat/jig/units"
)

// quoted shows a text in a message, cut when it is long.
func quoted(s string) string {
	const most = 40 // characters; the caret shows the rest
	if utf8.RuneCountInString(s) > most {
		return strconv.Quote(string([]rune(s)[:most])) + "..."
	}
	return strconv.Quote(s)
}

func isNull(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Style&quoteStyles == 0 && n.Tag == "!!null"
}

const quoteStyles = yaml.DoubleQuotedStyle | yaml.SingleQuotedStyle | yaml.LiteralStyle | yaml.FoldedStyle

// shown tells what a node is, for "got ...".
func shown(n *yaml.Node) string {
	switch {
	case n.Kind == yaml.MappingNode:
		return "a section"
	case n.Kind == yaml.SequenceNode:
		return "a list"
	case isNull(n):
		return "nothing"
	case n.Style&quoteStyles == 0 && n.Tag != "!!str":
		return clipped(n.Value)
	}
	return quoted(n.Value)
}

func clipped(s string) string {
	if len(s) > 40 {
		return s[:40] + "..."
	}
	return s
}

// scalar returns the text of a single value; otherwise it notes the fault.
func (r *reader) scalar(n *yaml.Node, path, want, remedy string) (string, bool) {
	if r.bad[path] {
		return "", false
	}
	if n.Kind != yaml.ScalarNode || isNull(n) {
		if isNull(n) && !r.needed[path] && !strings.HasSuffix(path, "]") {
			remedy += ", or leave the key out"
		}
		r.fault(n, path, fmt.Sprintf("want %s, got %s", want, shown(n)), remedy)
		return "", false
	}
	return n.Value, true
}

// length reads a length within the span, in millimetres.
func (r *reader) length(n *yaml.Node, path string, lim span) float64 {
	text, ok := r.scalar(n, path, "a length", "write a number of "+r.unit.String())
	if !ok {
		return 0
	}
	if _, bare := units.ParseNumber(text); bare && n.Style&quoteStyles != 0 {
		r.fault(n, path, fmt.Sprintf("want a length, got the text %s", quoted(text)), "write "+text+" without quotes")
		return 0
	}
	mm, err := units.ParseLength(text, r.unit)
	if e, ok := err.(*units.LengthError); ok {
		r.fault(n, path, e.Says, e.Remedy)
		return 0
	}
	if r.bad["units"] {
		return mm // the bounds would only echo the wrong unit
	}
	if !lim.holds(mm) {
		r.fault(n, path, fmt.Sprintf("got %s, want %s", r.asRead(text, mm), lim.in(r.unit)), r.otherReading(text, mm, lim))
		return 0
	}
	return mm + 0 // turns -0 into 0
}

// asRead repeats a length as written, and in the file's unit when it has its own.
func (r *reader) asRead(text string, mm float64) string {
	if _, bare := units.ParseNumber(text); bare {
		return text + " " + r.unit.String()
	}
	return fmt.Sprintf("%s, that is %s %s", text, units.Significant(mm/r.unit.MM(), 4), r.unit)
}

// otherReading is the remedy for a bare number that would be possible in the
// other unit: most likely the unit is what is wrong.
func (r *reader) otherReading(text string, mm float64, lim span) string {
	if _, bare := units.ParseNumber(text); !bare || mm <= 0 {
		return ""
	}
	v := mm / r.unit.MM()
	other := units.Inch
	if r.unit == units.Inch {
		other = units.MM
	}
	if !lim.holds(v * other.MM()) {
		return ""
	}
	if !r.unitGiven {
		return fmt.Sprintf("a number without a unit is %s here, since the file has no units: write %s %s, or units: %s",
			r.unit, text, other, other)
	}
	return fmt.Sprintf("a number without a unit is %s here: write %s %s if that is meant", r.unit, text, other)
}

// number reads a plain number that is no length; unit is told in messages.
func (r *reader) number(n *yaml.Node, path, unit string, lim span) float64 {
	want := "a number of " + unit
	text, ok := r.scalar(n, path, want, "write a number")
	if !ok {
		return 0
	}
	v, isNumber := units.ParseNumber(text)
	if !isNumber || n.Style&quoteStyles != 0 || math.IsInf(v, 0) {
		r.fault(n, path, fmt.Sprintf("want %s, got %s", want, shown(n)), numberRemedy(text, unit))
		return 0
	}
	if !lim.holds(v) {
		r.fault(n, path, fmt.Sprintf("got %s, want %s to %s %s", text, units.Short(lim.least), units.Short(lim.most), unit),
			"")
		return 0
	}
	return v + 0
}

// numberRemedy finds the number in a text such as "45 %", "21 C", "70 F", "17,5".
func numberRemedy(text, unit string) string {
	t := strings.TrimSpace(text)
	digits := strings.TrimRightFunc(t, func(r rune) bool { return !unicode.IsDigit(r) && r != '.' })
	tail := strings.ToLower(strings.TrimSpace(strings.TrimPrefix(t, digits)))
	if units.HasComma(digits) {
		return "write " + strings.Replace(digits, ",", ".", 1) + " with a point"
	}
	v, ok := units.ParseNumber(digits)
	if !ok || math.IsInf(v, 0) {
		return "write a plain number"
	}
	if unit == "degrees Celsius" && (tail == "f" || tail == "°f") {
		return fmt.Sprintf("write %.1f: temperatures are degrees Celsius", (v-32)/1.8)
	}
	return "write " + digits + ": always " + unit
}

// count reads a whole number.
func (r *reader) count(n *yaml.Node, path string, lim span) int {
	text, ok := r.scalar(n, path, "a whole number", "write a whole number")
	if !ok {
		return 0
	}
	v, isNumber := units.ParseNumber(text)
	switch {
	case isNumber && n.Style&quoteStyles != 0:
		r.fault(n, path, fmt.Sprintf("want a whole number, got the text %s", quoted(text)), "write "+text+" without quotes")
		return 0
	case !isNumber:
		r.fault(n, path, fmt.Sprintf("want a whole number, got %s", shown(n)), "write it in digits, such as 3")
		return 0
	case v != math.Trunc(v), strings.ContainsAny(text, ".eE"):
		remedy := ""
		if v == math.Trunc(v) && math.Abs(v) < 1e6 {
			remedy = fmt.Sprintf("write %.0f", v)
		}
		r.fault(n, path, fmt.Sprintf("want a whole number, got %s", text), remedy)
		return 0
	case !lim.holds(v):
		r.fault(n, path, fmt.Sprintf("got %s, want %.0f to %.0f", text, lim.least, lim.most), "")
		return 0
	}
	return int(v)
}

// choice reads one of the given words.
func (r *reader) choice(n *yaml.Node, path string, words []string) string {
	list := strings.Join(words, ", ")
	text, ok := r.scalar(n, path, "one of "+list, "write a word")
	if !ok {
		return ""
	}
	for _, w := range words {
		if text == w {
			return w
		}
	}
	remedy := "want one of: " + list
	if near := spelling.Nearest(text, words); near != "" {
		remedy = fmt.Sprintf("did you mean %q? known: %s", near, list)
	}
	r.fault(n, path, fmt.Sprintf("got %s", shown(n)), remedy)
	return ""
}

// text reads a name: one line, at most maxText characters, at least one letter.
func (r *reader) text(n *yaml.Node, path string) string {
	text, ok := r.scalar(n, path, "a text", "write a text")
	if !ok {
		return ""
	}
	t := strings.TrimSpace(text)
	switch {
	case n.Style&quoteStyles == 0 && n.Tag == "!!bool":
		r.fault(n, path, fmt.Sprintf("want a text, got %s", text), "put it in quotes if it is a name")
	case strings.ContainsFunc(t, func(c rune) bool { return !unicode.IsPrint(c) }):
		r.fault(n, path, "want one line of text that prints, got "+quoted(text), "")
	case !strings.ContainsFunc(t, unicode.IsLetter) && path != processFile+".coupon":
		r.fault(n, path, fmt.Sprintf("want a text with a letter in it, got %s", shown(n)), "")
	case utf8.RuneCountInString(t) > maxText:
		r.fault(n, path, fmt.Sprintf("got %d characters, want at most %d", utf8.RuneCountInString(t), maxText), "")
	default:
		return t
	}
	return ""
}
