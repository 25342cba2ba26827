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
