package gcode

import (
	"testing"

	"pgregory.net/rapid"
)

// TestClean: what must not reach a controller inside a comment, and why.
func TestClean(t *testing.T) {
	for _, c := range []struct{ name, in, want, reason string }{
		{"plain", "stock: 26 mm", "stock: 26 mm", "nothing to change"},
		{"feed hold", "stop!", "stop.", "grbl takes ! out of the stream and holds the feed"},
		{"status and start", "ok? ~3 mm", "ok. about 3 mm", "grbl answers ? and starts on ~"},
		{"nested", "a (b) c", "a [b] c", "a parenthesis ends or nests"},
		{"semicolon", "a; b", "a, b", "it would cut a parenthesis comment short"},
		{"program end", "M2 M30 m02 xM2 M20 M2.5", "M 2 M 30 m 02 xM2 M20 M 2.5", "one sender stops at these words only"},
		{"message", "msg, hello", "- msg, hello", "LinuxCNC shows or runs it"},
		{"probe log", "(PROBEOPEN x.txt)", "[PROBEOPEN x.txt]", "a bracket before it is enough"},
		{"line break", "a\nG0 X9", "a G0 X9", "a new line would be code"},
		{"accents", "Ø6 ±0,05 µm", "dia 6 +-0,05 um", "seven bits"},
		{"no spelling", "日本", "__", "seven bits"},
		{"broken text", "\xff\xfe", "__", "seven bits"},
		{"delete", "a\x7fb", "a b", "a control character"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := clean(c.in); got != c.want {
				t.Errorf("got %q, want %q: %s", got, c.want, c.reason)
			}
		})
	}
}

// TestCommentProperties: any text makes lines that may stand in a file.
func TestCommentProperties(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		text := rapid.OneOf(rapid.String(),
			rapid.StringMatching(`([Mm]0?[23]0? ?|msg,|print|[;()%]|[a-z]{1,120} )*`)).Draw(rt, "text")
		for _, l := range wrap(clean(text)) {
			if !checkComment(Plain, "; "+l) || !checkComment(NGC, "("+l+")") {
				rt.Fatalf("%q", l)
			}
		}
	})
}
