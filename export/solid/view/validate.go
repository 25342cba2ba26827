package view

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"unicode/utf8"

	"reseat/export/solid"
)

// Problem is one fault of what was to be drawn.
type Problem struct {
	Part string // "part 2", "width", "caption"
	Says string
}

// InputError lists everything that is wrong with the parts and options.
type InputError struct{ Problems []Problem }

func (e *InputError) Error() string {
	lines := make([]string, len(e.Problems))
	for i, p := range e.Problems {
		lines[i] = p.Part + ": " + p.Says
	}
	return "view: " + strings.Join(lines, "; ")
}

const (
	// leastWidthMM and mostWidthMM bound the page: a stamp and a wide roll.
	leastWidthMM = 20
	mostWidthMM  = 2000
	// largestMM bounds coordinates and offsets, so that depthTolMM stays far above
	// what float64 loses in the projection.
	largestMM = 100_000
	// longestCaption is in characters; more cannot be read on one line.
	longestCaption = 200
)

func validate(parts []PlacedMesh, o Options) error {
	var e InputError
	say := func(part, format string, args ...any) {
		e.Problems = append(e.Problems, Problem{part, fmt.Sprintf(format, args...)})
	}
	if !(o.WidthMM >= leastWidthMM && o.WidthMM <= mostWidthMM) {
		say("width", "%g mm, wanted %d to %d", o.WidthMM, leastWidthMM, mostWidthMM)
	}
	if n := utf8.RuneCountInString(o.Caption); n > longestCaption {
		say("caption", "%d characters, at most %d wanted", n, longestCaption)
	}
	if len(parts) == 0 {
		say("picture", "no parts to draw")
	}
	for i, p := range parts {
		name := fmt.Sprintf("part %d", i+1)
		if says := fault(p.Mesh); says != "" {
			say(name, "%s", says)
		}
		for _, x := range p.OffsetMM {
			if !(math.Abs(x) <= largestMM) {
				say(name, "offset %g mm, at most %d wanted", x, largestMM)
			}
		}
	}
	if e.Problems != nil {
		return &e
	}
	return nil
}

// fault returns the first thing that makes a mesh unfit to be drawn, or "".
// Whether it is closed is found when its edges are.
func fault(m *solid.Mesh) string {
	if m == nil || len(m.Facets) == 0 {
		return "mesh is empty"
	}
	for i, v := range m.Vertices {
		for _, x := range v {
			if !(x >= -largestMM && x <= largestMM) { // NaN fails too
				return fmt.Sprintf("vertex %d is at (%g, %g, %g)", i, v[0], v[1], v[2])
			}
		}
	}
	for i, f := range m.Facets {
		for _, v := range f {
			if v < 0 || int(v) >= len(m.Vertices) {
				return fmt.Sprintf("facet %d names vertex %d of %d", i, v, len(m.Vertices))
			}
		}
	}
	if v := m.VolumeMM3(); v < 0 {
		return fmt.Sprintf("encloses %g mm3; facets must face outward", v)
	}
	return ""
}

var errOpen = errors.New("mesh is not closed and oriented: an edge does not have exactly two facets that run it opposite ways")
