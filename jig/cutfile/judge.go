// Package cutfile judges the cut files of a design by what shops that cut from them ask: that a
// file shows its size, and that a laser can make its holes.
package cutfile

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"reseat/fit"
	"reseat/jig/part"
	"reseat/jig/plate"
	"reseat/jig/setup"
	"reseat/jig/units"
)

// Hole is a pin's hole in a part: as it is drawn and, cut or opened afterwards, at its least when done.
type Hole struct {
	Pin, Part         string
	DrawnMM, FinishMM float64
}

// Holes that a laser makes in a sheet of a thickness. Below the one, times the thickness, a hole is not cut
// (web: a cutting shop, cutitout.uk); another asks for 1.5 (web: gosnapcut.com), and between them
// a hole as wide as the sheet is thick is taken for sound (common practice, no source).
const (
	leastHole = 0.5
	soundHole = 1.0
)

// roundingMM forgives rounding, as the other rules do.
const roundingMM = 1e-6

// Judge asks every rule of the sheets of a design, of the parts that are cut by laser and of their
// holes.
func Judge(sheets []plate.Sheet, parts []part.Part, holes []Hole) []setup.Finding {
	out := []setup.Finding{sizeShown(sheets)}
	for _, p := range parts {
		if p.Name == "" || p.Process.Kind != fit.Laser {
			continue
		}
		var of []Hole
		for _, h := range holes {
			if h.Part == p.Name {
				of = append(of, h)
			}
		}
		if len(of) > 0 {
			out = append(out, least(p, of)...)
		}
	}
	return out
}

// sizeShown: many programs ignore the unit that a file states, and a plate then comes out 25.4
// times too small. Who sees the size on the drawing notices. It stands at the head of every file;
// not every program shows that.
func sizeShown(sheets []plate.Sheet) setup.Finding {
	var without []string
	for _, s := range sheets {
		if !s.HasCaption() {
			without = append(without, fmt.Sprintf("%s (%s x %s mm)", s.File, units.Decimal(s.Size.X, 2), units.Decimal(s.Size.Y, 2)))
		}
	}
	n := len(sheets) - len(without)
	f := setup.Finding{ID: "size-in-file", Level: "pass", Value: float64(n), Limit: float64(len(sheets)), Unit: "files",
		Key: "template.margin", Says: fmt.Sprintf("%d of %d cut files show their size and their holes in strokes", n, len(sheets))}
	if len(without) > 0 {
		f.Level = "warn"
		f.Says += "; no room in " + strings.Join(without, ", ") + ", where the size stands in the file's head alone"
		f.Remedy = "tell whoever cuts it the size: a program that ignores the unit takes millimetres for inches"
	}
	return f
}

// least holds the smallest hole of a part against the thickness of its sheet: as drawn against what a
// laser cuts at all, as it is when done against what comes out sound.
func least(p part.Part, holes []Hole) []setup.Finding {
	small := slices.MinFunc(holes, func(a, b Hole) int { return cmp.Compare(a.DrawnMM, b.DrawnMM) })
	is := func(id, level, how, then, remedy string, mm, limit float64) setup.Finding {
		f := setup.Finding{ID: id + p.Name, Level: "pass", Value: mm, Limit: limit, Unit: "mm", Key: p.Key + ".thickness",
			Says: fmt.Sprintf("the smallest hole of the %s, %s, is %s%s mm wide in a sheet of %s mm",
				p.Name, small.Pin, how, units.Decimal(mm, 3), units.Decimal(p.ThicknessMM, 3))}
		if mm < limit-roundingMM {
			f.Level, f.Remedy = level, remedy
			f.Says += ": " + then
		}
		return f
	}
	return []setup.Finding{
		is("hole-cut-", "fail", "drawn ", "a laser melts it shut again", "a thinner sheet, thicker pins, or holes by a router",
			small.DrawnMM, leastHole*p.ThicknessMM),
		is("hole-in-sheet-", "warn", "", "by laser it comes out conical and rough",
			"ask the shop whether it cuts them, or take a thinner sheet or thicker pins", small.FinishMM, soundHole*p.ThicknessMM),
	}
}
