package command

import (
	"os"
	"strings"
	"testing"
)

func TestFold(t *testing.T) {
	long := strings.Repeat("word ", 20)
	for _, c := range []struct{ name, in, want string }{
		{"short", "a  b\n", "a  b\n"},
		{"no end", "a", "a"},
		{"a list", "  2. " + long + "\n", "  2. " + strings.Repeat("word ", 14) + "word\n     " + strings.Repeat("word ", 4) + "word\n"},
		{"a label", "draw  " + long + "\n", "draw  " + strings.Repeat("word ", 14) + "word\n      " + strings.Repeat("word ", 4) + "word\n"},
		{"a command", "  $ reseat " + long + "\n", "  $ reseat " + long + "\n"},
		{"a record", "{\"a\": \"" + long + "\"}\n", "{\"a\": \"" + long + "\"}\n"},
		{"one word", strings.Repeat("x", 90) + "\n", strings.Repeat("x", 90) + "\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b strings.Builder
			f := &Fold{To: &b}
			for _, r := range c.in { // in whatever pieces it comes
				if _, err := f.Write([]byte(string(r))); err != nil {
					t.Fatal(err)
				}
			}
			if f.Flush(); strings.ReplaceAll(b.String(), " \n", "\n") != strings.ReplaceAll(c.want, " \n", "\n") {
				t.Errorf("got\n%s\nwant\n%s", b.String(), c.want)
			}
		})
	}
}

// TestTableNarrow: a table whose columns no longer fit two characters apart keeps its columns, one apart:
// folded like text, its figures would stand under no head.
func TestTableNarrow(t *testing.T) {
	tab := NewTable("feature", ">u", ">v", ">first", ">final", ">radius", ">depth", ">below", ">proud", ">left", ">floor")
	tab.Add("dot 12 left", "320.19", "11.000", "5.8600", "6.0600", "1.4200", "2.2180", "2.3910", "0.2000", "2.1100", "4.1100")
	tab.Add("mark", "1.00", "2.0", "3.0", "4.0", "5.0", "6.0", "7.0", "8.0", "9.0", "10.0")
	var b strings.Builder
	tab.Write(&b, "  ")
	lines := strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
	for _, l := range lines {
		if len(l) > usualWide {
			t.Errorf("%d characters: %s", len(l), l)
		}
	}
	if head, last := lines[0], lines[len(lines)-1]; len(head) != len(last) || !strings.HasSuffix(head, " floor") ||
		!strings.HasSuffix(last, "  10.0") {
		t.Errorf("figures do not end below their heads:\n%s", b.String())
	}
}

// TestColour: verdicts alone, and never in a pipe.
func TestColour(t *testing.T) {
	var b strings.Builder
	f := &Fold{To: &b, Colour: true}
	if _, err := f.Write([]byte("HOLDS  Board: all good\nBoard: OUTLIER\nwarn  a: b\nwarned  c\n")); err != nil {
		t.Fatal(err)
	}
	want := green + "HOLDS" + plain + "  Board: all good\nBoard: " + red + "OUTLIER" + plain + "\n" + yellow + "warn" + plain +
		"  a: b\nwarned  c\n"
	if b.String() != want {
		t.Errorf("got %q, want %q", b.String(), want)
	}
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	defer w.Close()
	if WantsColour(w) || WantsColour(&b) {
		t.Error("a pipe is coloured")
	}
	tty, err := os.OpenFile("/dev/tty", os.O_WRONLY, 0)
	if err != nil {
		return // none here
	}
	defer tty.Close()
	t.Setenv("NO_COLOR", "1")
	if WantsColour(tty) {
		t.Error("coloured in spite of NO_COLOR")
	}
}
