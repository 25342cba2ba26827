package spelling

import (
	"testing"

	"pgregory.net/rapid"
)

func TestNearest(t *testing.T) {
	known := []string{"length", "width", "thickness", "corner_radius", "crown_radius", "wood", "keep_out"}
	for _, c := range []struct{ got, want, reason string }{
		{"widht", "width", "two letters swapped"},
		{"lenght", "length", "two letters swapped"},
		{"thicknes", "thickness", "a letter left out"},
		{"thick", "thickness", "the start of the word"},
		{"corner-radius", "corner_radius", "a dash"},
		{"CrownRadius", "crown_radius", "case"},
		{"keepout", "keep_out", "no underscore"},
		{"colour", "", "nothing near"},
		{"w", "", "too short to tell"},
		{"", "", "empty"},
	} {
		if got := Nearest(c.got, known); got != c.want {
			t.Errorf("Nearest(%q) = %q, want %q (%s)", c.got, got, c.want, c.reason)
		}
	}
}

// TestDistanceAgainstRecursion holds the table against the definition.
func TestDistanceAgainstRecursion(t *testing.T) {
	var slow func(a, b string) int
	slow = func(a, b string) int {
		if a == "" || b == "" {
			return len(a) + len(b)
		}
		n, m := len(a), len(b)
		change := 1
		if a[n-1] == b[m-1] {
			change = 0
		}
		d := min(slow(a[:n-1], b)+1, slow(a, b[:m-1])+1, slow(a[:n-1], b[:m-1])+change)
		if n > 1 && m > 1 && a[n-1] == b[m-2] && a[n-2] == b[m-1] {
			d = min(d, slow(a[:n-2], b[:m-2])+1)
		}
		return d
	}
	word := rapid.StringOfN(rapid.SampledFrom([]rune("abc")), 2, 6, -1) // no pair so unlike that it is not compared
	rapid.Check(t, func(t *rapid.T) {
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		if got, want := Distance(a, b), slow(a, b); got != want {
			t.Fatalf("Distance(%q, %q) = %d, want %d", a, b, got, want)
		}
	})
}
