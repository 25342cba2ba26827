package simulate

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// heights are worked out by hand from the job files: what lies from where to where over
// the table (or the bench), the pins that stand in it, and Z0. One line a set-up, in the
// order of work.
var heights = []struct{ job, want string }{
	// Bed 18, plate 6, board 6.5 on its datum line, blank 26. The gluing plate is printed:
	// rails of 4.5 need 1.2 above it, so it has 3.3 or less, in whole layers of 0.2: 3.2.
	// Pins of 14 are the shortest of their diameter (13.5 to 14.5). In the bed they stand one
	// and a half diameters deep, 9, and bear by 13.5 - 9 less a chamfer of 1.2; in the blank,
	// under the thinner plate, so deep that the longest is flush: 14.5 - 3.2 = 11.3, and
	// 26 - 11.3 = 14.7. A film of 0.05 lies under the plate; a pad of 2 on the board, and a caul.
	{"jobs/bouzouki-fingerboard", `
bore-bed: bed 0-18; pins 9-23; Z0 18
cut-plate: template 0-6
seat-board, top up: bed 0-18, template 18-24, board 18-24.5; pins 9-23; Z0 24.5
bore-top, top up: bed 0-18, template 18-24, board 18-24.5; pins 9-23; Z0 24.5
lift-off, top up: bed 0-18, template 18-24, board 18-24.5; pins 9-23
bore-blank: blank 0-26; pins 14.7-28.7; Z0 26
cut-gluing-plate: gluing plate 0-3.2
dry-run, top up: blank 0-26, board 26-32.5, release film 26-26.05, gluing plate 26.05-29.25, rail 1 29.25-30.55, rail 2 29.25-30.55, pad 32.5-34.5, caul 34.5-47.5; pins 14.7-28.7
glue, top up: blank 0-26, board 26-32.5, release film 26-26.05, gluing plate 26.05-29.25, rail 1 29.25-30.55, rail 2 29.25-30.55, pad 32.5-34.5, caul 34.5-47.5; pins 14.7-28.7
release-glue, top up: blank 0-26, board 26-32.5`},
	// The router cuts the plate: before the bed lies there. Bed 3/4 in = 19.05, plate 1/2 in = 12.7, board 3/4 in. No blank, no gluing. Pins of 5/8
	// in = 15.875 stand 1.5 x 6.35 = 9.525 deep, up to a tenth 9.6, and 19.05 - 9.6 = 9.45; of
	// 1/2 in = 12.7 one 0.01 in short would bear by 12.446 - 9.6 = 2.85, and 3.175 is wanted.
	{"jobs/dulcimer-inches", `
cut-plate: template 0-12.7
bore-bed: bed 0-19.05; pins 9.45-25.325; Z0 19.05
seat-board, top up: bed 0-19.05, template 19.05-31.75, board 19.05-38.1; pins 9.45-25.325; Z0 38.1
bore-top, top up: bed 0-19.05, template 19.05-31.75, board 19.05-38.1; pins 9.45-25.325; Z0 38.1
lift-off, top up: bed 0-19.05, template 19.05-31.75, board 19.05-38.1; pins 9.45-25.325`},
	// Bed 18, plate 4.4, board 6; one rail to 5 above what its plate lies on, wedges as high as the
	// plate opposite; film and pad as above. Blank 22. Pins of 12
	// (11.5 to 12.5): 12.5 - 4.4 = 8.1 deep keeps the longest flush, and the shortest bears by
	// 3.4 less its chamfer of 0.8; of 10, at 7.5 deep, one bears by 9.75 - 7.5 = 2.25 under the
	// 2.5 that is wanted. In the bed 18 - 8.1 = 9.9, in the blank 22 - 8.1 = 13.9.
	{"jobs/ukulele-printed", `
bore-bed: bed 0-18; pins 9.9-21.9; Z0 18
cut-plate: template 0-4.4
seat-board, top up: bed 0-18, template 18-22.4, board 18-24, rail 1 22.4-23; pins 9.9-21.9; Z0 24
bore-top, top up: bed 0-18, template 18-22.4, board 18-24, rail 1 22.4-23; pins 9.9-21.9; Z0 24
lift-off, top up: bed 0-18, template 18-22.4, board 18-24, rail 1 22.4-23; pins 9.9-21.9
bore-blank: blank 0-22; pins 13.9-25.9; Z0 22
dry-run, top up: blank 0-22, board 22-28, release film 22-22.05, gluing plate 22.05-26.45, rail 1 26.45-27.05, wedges 22.05-26.45, wedges 22.05-26.45, pad 28-30, caul 30-45; pins 13.9-25.9
glue, top up: blank 0-22, board 22-28, release film 22-22.05, gluing plate 22.05-26.45, rail 1 26.45-27.05, wedges 22.05-26.45, wedges 22.05-26.45, pad 28-30, caul 30-45; pins 13.9-25.9
release-glue, top up: blank 0-22, board 22-28`},
	// Bed 25, blank 26, board 24. Top up, the board's face is the blank's: 25 + 26 = 51.
	// Turned over, that face lies on the bed, and the underside at 25 + 24 = 49. Pins of 40
	// (up to 40.5): 40.5 - 26 = 14.5 deep keeps the longest flush, from 25 - 14.5 = 10.5.
	{"jobs/neck-second-side", `
bore-together, top up: bed 0-25, blank 25-51; pins 10.5-50.5; Z0 51
seat-board, top up: bed 0-25, blank 25-51; pins 10.5-50.5; Z0 51
bore-top, top up: bed 0-25, blank 25-51; pins 10.5-50.5; Z0 51
turn-over, under up: bed 0-25, blank 25-51; pins 10.5-50.5; Z0 49
bore-under, under up: bed 0-25, blank 25-51; pins 10.5-50.5; Z0 49
free, under up: bed 0-25, blank 25-51; pins 10.5-50.5; Z0 49`},
	// Bed 30, blank and board 20: both faces lie at 50. Pins of 40: 40.5 - 20 = 20.5 deep, from
	// 30 - 20.5 = 9.5.
	{"cases/drilled-pins", `
bore-together, top up: bed 0-30, blank 30-50; pins 9.5-49.5; Z0 50
seat-board, top up: bed 0-30, blank 30-50; pins 9.5-49.5; Z0 50
bore-top, top up: bed 0-30, blank 30-50; pins 9.5-49.5; Z0 50
turn-over, under up: bed 0-30, blank 30-50; pins 9.5-49.5; Z0 50
free, under up: bed 0-30, blank 30-50; pins 9.5-49.5; Z0 50`},
	// Bed 18, plate 4.4 in parts, board 6; rails to 4.7, so 0.3 over the plate. Blank 22. Pins
	// as in the ukulele's.
	{"jobs/mandola-in-parts", `
bore-bed: bed 0-18; pins 9.9-21.9; Z0 18
cut-plate: template 0-4.4
seat-board, top up: bed 0-18, template 18-22.4, board 18-24, rail 1 22.4-22.7, rail 2 22.4-22.7; pins 9.9-21.9; Z0 24
bore-top, top up: bed 0-18, template 18-22.4, board 18-24, rail 1 22.4-22.7, rail 2 22.4-22.7; pins 9.9-21.9; Z0 24
lift-off, top up: bed 0-18, template 18-22.4, board 18-24, rail 1 22.4-22.7, rail 2 22.4-22.7; pins 9.9-21.9
bore-blank: blank 0-22; pins 13.9-25.9; Z0 22
dry-run, top up: blank 0-22, board 22-28, release film 22-22.05, gluing plate 22.05-26.45, rail 1 26.45-26.75, rail 2 26.45-26.75, pad 28-30, caul 30-48; pins 13.9-25.9
glue, top up: blank 0-22, board 22-28, release film 22-22.05, gluing plate 22.05-26.45, rail 1 26.45-26.75, rail 2 26.45-26.75, pad 28-30, caul 30-48; pins 13.9-25.9
release-glue, top up: blank 0-22, board 22-28`},
	// Bed 25, plate 10, board 12. Pins of 14 (13.5 to 14.5), 9 deep: the shortest bears by
	// 13.5 - 9 less its chamfer of 1.2; from 25 - 9 = 16. Both faces lie at 37.
	{"long-both-faces-nest", `
cut-plate: template 0-10
bore-bed: bed 0-25; pins 16-30; Z0 25
seat-board, top up: bed 0-25, template 25-35, board 25-37; pins 16-30; Z0 37
bore-top, top up: bed 0-25, template 25-35, board 25-37; pins 16-30; Z0 37
turn-over, under up: bed 0-25, template 25-35, board 25-37; pins 16-30; Z0 37
bore-under, under up: bed 0-25, template 25-35, board 25-37; pins 16-30; Z0 37
lift-off, under up: bed 0-25, template 25-35, board 25-37; pins 16-30`},
	// Bed 25, blank 30, board 18: top 55, underside 43, twelve below the frame. Pins of 20
	// (19.5 to 20.5), 1.5 x 8 = 12 deep; of 18 one bears by 17.5 - 12 less a chamfer of 1.6,
	// 3.9, and half a diameter is 4. From 25 - 12 = 13.
	{"short-both-faces", `
bore-together, top up: bed 0-25, blank 25-55; pins 13-33; Z0 55
seat-board, top up: bed 0-25, blank 25-55; pins 13-33; Z0 55
bore-top, top up: bed 0-25, blank 25-55; pins 13-33; Z0 55
turn-over, under up: bed 0-25, blank 25-55; pins 13-33; Z0 43
bore-under, under up: bed 0-25, blank 25-55; pins 13-33; Z0 43
free, under up: bed 0-25, blank 25-55; pins 13-33; Z0 43`},
}

func TestHeightsByHand(t *testing.T) {
	for _, c := range heights {
		t.Run(c.job, func(t *testing.T) {
			t.Parallel()
			_, r, _ := design(t, c.job)
			got, want := linesOf(r), strings.Split(strings.TrimSpace(c.want), "\n")
			for i := range max(len(got), len(want)) {
				g, w := "", ""
				if i < len(got) {
					g = got[i]
				}
				if i < len(want) {
					w = want[i]
				}
				if g != w {
					t.Errorf("set-up %d\n got  %s\n want %s", i+1, g, w)
				}
			}
		})
	}
}

// linesOf writes the design's set-ups as the table does.
func linesOf(r record) []string {
	mm := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	var out []string
	for _, s := range r.Setups {
		line := s.ID
		if s.FaceUp != "" {
			line += ", " + s.FaceUp + " up"
		}
		var parts []string
		for _, l := range s.Stack {
			parts = append(parts, fmt.Sprintf("%s %s-%s", l.Layer, mm(l.From), mm(l.To)))
		}
		line += ": " + strings.Join(parts, ", ")
		var pins []string
		for _, p := range s.Pins {
			pins = append(pins, fmt.Sprintf("; pins %s-%s", mm(p.From), mm(p.To)))
		}
		line += strings.Join(slices.Compact(pins), "")
		if s.Zero != nil {
			line += "; Z0 " + mm(s.Zero.Z)
		}
		out = append(out, line)
	}
	return out
}
