package job

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestSplitLines: every line break of YAML 1.1, section 4.1.4.
func TestSplitLines(t *testing.T) {
	got := splitLines("a\nb\r\nc\rd\u0085e\u2028f\u2029g\r\n\nh")
	want := []string{"a", "b", "c", "d", "e", "f", "g", "", "h"}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestExcerpt(t *testing.T) {
	s := newSource("wood: pear\n\tx\ta\x07\n" + strings.Repeat("0123456789", 20) + "\nläng: 1")
	for _, c := range []struct {
		name string
		at   Position
		want string
	}{
		{"plain", Position{1, 7}, "     1 | wood: pear\n       |       ^\n"},
		{"just past the end", Position{1, 11}, "     1 | wood: pear\n       |           ^\n"},
		{"tabs and bells", Position{2, 4}, "     2 |  x a?\n       |    ^\n"},
		{"start of a long line", Position{3, 1}, "     3 | " + strings.Repeat("0123456789", 9)[:65] + "...\n       | ^\n"},
		{"middle of a long line", Position{3, 101}, "     3 | ..." + strings.Repeat("0123456789", 20)[68:133] +
			"...\n       | " + strings.Repeat(" ", 35) + "^\n"},
		{"counted in characters", Position{4, 7}, "     4 | läng: 1\n       |       ^\n"},
		{"no place", Position{}, ""},
		{"past the file", Position{9, 1}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			if d := cmp.Diff(c.want, s.excerpt(c.at)); d != "" {
				t.Error(d)
			}
		})
	}
	if (*source)(nil).excerpt(Position{1, 1}) != "" {
		t.Error("an excerpt of nothing")
	}
}

// TestTextsWithMarks: brackets, quotes and colons inside texts are no faults.
func TestTextsWithMarks(t *testing.T) {
	for _, title := range []string{
		"Maker's [first] {draft}", `"Bouzouki: \"second\" try"`, "'it''s one'", "a#b", "12 frets", "Ukulélé ½", "x - y, z",
	} {
		text := "title: " + title + " # a comment with { [ \" '\n" +
			"board: {length: 478, width: 42, thickness: 6}\ndowel: {diameter: 6}\ntemplate: {thickness: 6, make: {by: laser}}\n"
		for _, eol := range []string{"\n", "\r\n", "\r"} {
			j, err := Parse("a.yaml", []byte(byteOrderMark+strings.ReplaceAll(text, "\n", eol)))
			if err != nil {
				t.Errorf("%s, line ends %q: %v", title, eol, err)
			} else if p := j.Pos("dowel.diameter"); p != (Position{3, 19}) {
				t.Errorf("%s, line ends %q: dowel.diameter at %v", title, eol, p)
			}
			// The same with a slip on the last line: that is what is told.
			_, err = Parse("a.yaml", []byte(strings.ReplaceAll(text+"rails: {height: 3\n", "\n", eol)))
			if err == nil || !strings.HasPrefix(err.Error(), "a.yaml:5:8: { is never closed") {
				t.Errorf("%s, line ends %q: %v", title, eol, err)
			}
		}
	}
}

// TestHeavyTexts: a file that is small on disk must not be large to read. Each
// of these is an eighth of MaxFileBytes, to keep the test short; it must end,
// with few faults.
func TestHeavyTexts(t *testing.T) {
	const size = MaxFileBytes / 8
	rep := func(s string) string { return strings.Repeat(s, size/len(s)) }
	for name, text := range map[string]string{
		"brackets": rep("["), "dashes": rep("- "), "questions": rep("? "), "keys": rep("a: 1\n"), "other keys": "board: {" +
			rep("widht: 1, ") + "}",
		"list": "board: [" + rep("1,") + "1]", "dots": "board: {frets: {dots: [" + rep("3,") + "3]}}",
		"long text": "title: " + rep("x"),
		"aliases":   "a: &a [" + rep("1,")[:1000] + "]\nb: [" + rep("*a,") + "]", "quotes": rep("'"),
		"comments":    rep("# {\n"),
		"open braces": rep("{\n"), "tabs": rep("\t"), "deep blocks": rep(" a:\n"), "carriage returns": rep("\r"),
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Parse("a.yaml", []byte(text))
			if err == nil {
				t.Fatal("taken for a job")
			}
			if n := len(err.Error()); n > 40*maxListed*10 {
				t.Errorf("%d bytes of faults", n)
			}
		})
	}
}
