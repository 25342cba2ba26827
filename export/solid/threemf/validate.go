package threemf

import (
	"fmt"
	"math"
	"strings"
	"unicode"

	"reseat/export/solid"
)

// Problem is one fault of what was to be written.
type Problem struct {
	Part string // the part's name, or "part 2" when it has none, or "file"
	Says string
}

// InputError lists everything that is wrong with the parts.
type InputError struct{ Problems []Problem }

func (e *InputError) Error() string {
	lines := make([]string, len(e.Problems))
	for i, p := range e.Problems {
		lines[i] = p.Part + ": " + p.Says
	}
	return "threemf: " + strings.Join(lines, "; ")
}

// largestMM is the largest shift and coordinate taken: up to there float32 resolves
// 0.001 mm, and no printer is that large.
const largestMM = 10_000

func validate(parts []Part) error {
	var e InputError
	say := func(part, format string, args ...any) {
		e.Problems = append(e.Problems, Problem{part, fmt.Sprintf(format, args...)})
	}
	if len(parts) == 0 {
		say("file", "no parts to write")
	}
	seen := map[string]int{}
	for i, p := range parts {
		name := plain(p.Name)
		if name == "" {
			name = fmt.Sprintf("part %d", i+1)
			say(name, "has no name")
		} else if first, ok := seen[name]; ok {
			say(name, "parts %d and %d have the same name", first, i+1)
		} else {
			seen[name] = i + 1
		}
		if !(math.Abs(p.X) <= largestMM && math.Abs(p.Y) <= largestMM) {
			say(name, "shifted by (%g, %g) mm, at most %d wanted", p.X, p.Y, largestMM)
		}
		if says := fault(p.Mesh); says != "" {
			say(name, "%s", says)
		}
	}
	if e.Problems != nil {
		return &e
	}
	return nil
}

// fault returns the first thing that makes a mesh unfit for 3MF, or "". Whether
// the surface is closed is Mesh.Check's business.
func fault(m *solid.Mesh) string {
	if m == nil || len(m.Facets) == 0 || len(m.Vertices) == 0 {
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
		if f[0] == f[1] || f[1] == f[2] || f[2] == f[0] {
			return fmt.Sprintf("facet %d has a corner twice", i)
		}
	}
	if v := m.VolumeMM3(); !(v > 0) {
		return fmt.Sprintf("encloses %g mm3; facets must face outward", v)
	}
	return ""
}

// plain trims s and turns what XML 1.0 forbids, and other control characters,
// into blanks.
func plain(s string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		if r == unicode.ReplacementChar || r == 0xFFFE || r == 0xFFFF || unicode.IsControl(r) {
			return ' '
		}
		return r
	}, s))
}
