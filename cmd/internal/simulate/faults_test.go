package simulate

import (
	"fmt"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// TestFaultsAreFound spoils good programs, each in one way.
func TestFaultsAreFound(t *testing.T) {
	replace := func(old, to string) func(string) string {
		return func(s string) string { return strings.Replace(s, old, to, 1) }
	}
	words := func(letter string, change func(v float64) float64) func(string) string {
		each := regexp.MustCompile(letter + `[-0-9.]+`)
		return func(s string) string {
			head, moves, _ := strings.Cut(s, "\nG21\n")
			return head + "\nG21\n" + each.ReplaceAllStringFunc(moves, func(w string) string {
				v, _ := strconv.ParseFloat(w[1:], 64)
				return fmt.Sprintf("%s%.3f", letter, change(v))
			})
		}
	}
	negate := func(v float64) float64 { return -v }
	for _, c := range []struct {
		name, job, file string
		spoil           func(string) string
		want            string
	}{
		{"all aside by a hundredth", "jobs/bouzouki-fingerboard", "pockets.nc",
			words("X", func(v float64) float64 { return v + 0.01 }), "not to be cut there"},
		{"mirrored", "jobs/bouzouki-fingerboard", "bores.nc",
			func(s string) string { return words("X", negate)(words("I", negate)(s)) }, "not to be cut there"},
		{"the underside bored as if not turned over", "jobs/neck-second-side", "pockets-under.nc",
			func(s string) string { return words("X", negate)(words("I", negate)(s)) }, "board is cut"},
		{"rapids under a frame that stands high", "short-both-faces", "pockets-under.nc",
			func(s string) string { return strings.ReplaceAll(s, "Z17.000", "Z11.000") }, "sideways rapid"},
		{"floors too low", "jobs/bouzouki-fingerboard", "pockets.nc",
			words("Z", func(v float64) float64 { return v - 0.002 }), "over the table"},
		{"floors too high", "jobs/bouzouki-fingerboard", "pockets.nc",
			words("Z", func(v float64) float64 { return v + 0.002 }), "is left at"},
		{"drilled too deep", "cases/drilled-pins", "bores.nc",
			words("Z", func(v float64) float64 { return v - 0.002 }), "is cut to"},
		{"drilled too shallow", "cases/drilled-pins", "bores.nc",
			words("Z", func(v float64) float64 { return v + 0.002 }), "is left at"},
		{"a hole left out", "jobs/bouzouki-fingerboard", "bores.nc", func(s string) string {
			a := strings.Index(s, "\n; P1:") // the nearest to zero is the first
			return s[:a] + s[a+1+strings.Index(s[a+1:], "\n; P"):]
		}, "P1 is left at"},
		{"a slot too short", "jobs/neck-second-side", "bores.nc",
			words("Y", func(v float64) float64 { return max(v, -21.9) }), "P2 is left at"},
		{"sideways at cutting depth", "jobs/dulcimer-inches", "bores.nc", func(s string) string {
			a := strings.LastIndex(s, "\n; P")
			return s[:strings.LastIndex(s[:a], "\nG0 Z")] + s[a:]
		}, "sideways rapid"},
		{"down by rapid", "jobs/dulcimer-inches", "bores.nc", replace("G0 Z1.000", "G0 Z-0.500"), "bed stood to"},
		{"a feed across the stock", "jobs/dulcimer-inches", "pockets.nc", func(s string) string {
			a := strings.LastIndex(s, "G0 Z")
			return s[:a] + "G1 X0.000 Y0.000\n" + s[a:]
		}, "board is cut"},
		{"a feed across the template", "jobs/dulcimer-inches", "pockets.nc", func(s string) string {
			a := strings.LastIndex(s, "G0 Z")
			return s[:a] + "G1 Y50.000 Z-7.000\n" + s[a:]
		}, "template is cut"},
		{"a time too short", "jobs/dulcimer-inches", "bores.nc", replace(" time ", " time 0 s was "), "the head says"},
		{"no end", "jobs/dulcimer-inches", "bores.nc", replace("\nM2", ""), "no end"},
		{"inches", "jobs/dulcimer-inches", "bores.nc", replace("G21", "G20"), "before G21"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			j, r, dir := design(t, c.job)
			good := read(t, filepath.Join(dir, c.file))
			text := c.spoil(good)
			if text == good {
				t.Fatal("nothing is spoilt")
			}
			s := setupOf(j, r, c.file, 1)
			s.walls()
			got := strings.Join(s.run(text), "\n")
			if !strings.Contains(got, c.want) {
				t.Errorf("found %q, want one with %q", got, c.want)
			}
		})
	}
}

// TestColletIsFound: the bores are 1/16 in = 1.5875 deep, so a collet 1.58 above the tip
// meets the board's face and one 1.59 above it does not.
func TestColletIsFound(t *testing.T) {
	j, r, dir := design(t, "jobs/dulcimer-inches")
	text := read(t, filepath.Join(dir, "pockets.nc"))
	for below, want := range map[float64]bool{1.58: true, 1.59: false} {
		s := setupOf(j, r, "pockets.nc", 1)
		s.walls()
		s.tool.colletRadius, s.tool.below = 10, below
		got := strings.Join(s.run(text), "\n")
		if strings.Contains(got, "the collet") != want || !want && got != "" {
			t.Errorf("a collet %g above the tip: %q, want one that meets the board: %v", below, got, want)
		}
	}
}
