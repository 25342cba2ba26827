package stock

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/units"
)

// SheetSize is a sheet of stock and what is kept free on it; lengths in mm, from 0.
type SheetSize struct {
	Width, Height float64 // along X and Y, above 0
	Margin        float64 // between a part and the stock's edge
	Gap           float64 // between two parts
	NoTurn        bool    // parts lie as they are drawn, along the grain
}

// Place is where a part lies.
type Place struct {
	Part   int // its number among those that were given
	Sheet  int // from 0
	At     geom.Vec
	Turned bool // by a quarter, counter-clockwise
}

// Layout is the parts on their sheets.
type Layout struct {
	Places []Place // sheet by sheet, on each from the lower left
	Sheets int
	// AtLeast is a number of sheets that no layout can be below: by area, and by parts of which
	// no two go onto one sheet.
	AtLeast int
	// Whole is the largest rectangle that stays free on each sheet, a gap from all parts.
	Whole []geom.Vec
}

// Limits of what is laid out. A part of 0.1 mm and a stock of ten metres are beyond what anyone
// cuts; a thousand parts are laid out in a second.
const (
	leastMM   = 0.1
	mostMM    = 10e3
	mostParts = 1000
)

// FaultError lists what is wrong with the figures that were given, all of it.
type FaultError struct{ Says []string }

func (e *FaultError) Error() string { return strings.Join(e.Says, "\n") }

// TooLarge is a part that no sheet takes.
type TooLarge struct {
	Part  int
	By    geom.Vec // how much larger it is than the stock less its margins, along X and Y, as it lies best
	Turns bool     // turned it would go
}

// TooLargeError lists every part that the stock does not take.
type TooLargeError struct{ Parts []TooLarge }

func (e *TooLargeError) Error() string {
	return fmt.Sprintf("%d parts are larger than the stock", len(e.Parts))
}

// Lay lays parts of the given sizes out on sheets; those that are asDrawn are not turned (nil: none).
//
// Errors: *FaultError, *TooLargeError; nothing is laid out then.
func Lay(room SheetSize, parts []geom.Vec, asDrawn []bool) (Layout, error) {
	if err := check(room, parts); err != nil {
		return Layout{}, err
	}
	exact := stockOf(room, parts, asDrawn, 0)
	if err := exact.tooLarge(); err != nil {
		return Layout{}, err
	}
	atLeast := exact.atLeast()
	s, best := exact, layout{}
	if wider := stockOf(room, parts, asDrawn, readersGap); room.Gap > 0 && wider.tooLarge() == nil {
		s, best = wider, wider.search(atLeast)
	}
	if best.free == nil || len(best.free) > atLeast {
		if l := exact.search(atLeast); best.free == nil || len(l.free) < len(best.free) {
			s, best = exact, l
		}
	}
	out := Layout{Sheets: len(best.free), AtLeast: atLeast}
	for i, c := range best.lies {
		out.Places = append(out.Places, Place{i, c.sheet, geom.Vec{
			X: float64(c.x+s.margin) / perMM, Y: float64(c.y+s.margin) / perMM}, c.turned})
	}
	slices.SortStableFunc(out.Places, func(a, b Place) int {
		return cmp.Or(cmp.Compare(a.Sheet, b.Sheet), cmp.Compare(a.At.Y, b.At.Y), cmp.Compare(a.At.X, b.At.X))
	})
	for _, free := range best.free {
		w := largest(free)
		out.Whole = append(out.Whole, geom.Vec{X: float64(max(w.w-s.gap, 0)) / perMM, Y: float64(max(w.h-s.gap, 0)) / perMM})
	}
	return out, nil
}

// Check tells all that is wrong with a room: *FaultError, or nil.
func (r SheetSize) Check() error {
	says := slices.Concat(within("the stock's width", r.Width, leastMM), within("the stock's height", r.Height, leastMM),
		within("the gap", r.Gap, 0), within("the margin", r.Margin, 0))
	if len(says) == 0 && 2*r.Margin >= math.Min(r.Width, r.Height) {
		says = append(says, fmt.Sprintf("margins of %s mm leave nothing of the stock", units.Short(r.Margin)))
	}
	return faults(says)
}

func check(room SheetSize, parts []geom.Vec) error {
	var says []string
	var e *FaultError
	if errors.As(room.Check(), &e) {
		says = e.Says
	}
	if n := len(parts); n == 0 || n > mostParts {
		says = append(says, fmt.Sprintf("%d parts; want 1 to %d", n, mostParts))
	}
	for i, p := range parts {
		says = slices.Concat(says, within(fmt.Sprintf("the width of part %d", i+1), p.X, leastMM),
			within(fmt.Sprintf("the height of part %d", i+1), p.Y, leastMM))
	}
	return faults(says)
}

func faults(says []string) error {
	if len(says) == 0 {
		return nil
	}
	return &FaultError{says}
}

// within tells a length that is not from low to mostMM; NaN is neither.
func within(what string, mm, low float64) []string {
	if mm >= low && mm <= mostMM {
		return nil
	}
	return []string{fmt.Sprintf("%s is %s mm; want %s to %s", what, units.Short(mm), units.Short(low),
		units.Short(mostMM))}
}

// perMM is the grid, a micrometre.
const perMM = 1000

// roundTolMM is rounded away before a size is rounded up: it comes from arithmetic.
const roundTolMM = 1e-9

func up(mm float64) int   { return int(math.Ceil((mm - roundTolMM) * perMM)) }
func down(mm float64) int { return int(math.Floor((mm + roundTolMM) * perMM)) }

// box is a size in micrometres.
type box struct{ w, h int }

func (b box) area() int         { return b.w * b.h }
func (b box) turned() box       { return box{b.h, b.w} }
func (b box) in(sheet box) bool { return b.w <= sheet.w && b.h <= sheet.h }

// problem is the stock and the parts, both larger by a gap: what keeps a gap then does not
// overlap.
type problem struct {
	sheet       box
	gap, margin int
	parts       []piece
}

// piece is a part, which is turned unless it is fixed.
type piece struct {
	box
	fixed bool
}

// readersGap is added to the gap where that takes no further sheet, in micrometres: a program that
// takes 10.1 from 16.1 finds less than 6.
const readersGap = 1

// stockOf is the room with parts that are asDrawn or may be turned, a gap wider than asked.
func stockOf(r SheetSize, parts []geom.Vec, asDrawn []bool, wider int) problem {
	margin, gap := up(r.Margin), up(r.Gap)+wider
	s := problem{box{down(r.Width) - 2*margin + gap, down(r.Height) - 2*margin + gap}, gap, margin, nil}
	for i, p := range parts {
		fixed := r.NoTurn || asDrawn != nil && asDrawn[i]
		s.parts = append(s.parts, piece{box{up(p.X) + gap, up(p.Y) + gap}, fixed})
	}
	return s
}

// ways are the ways in which a part may lie.
func (p piece) ways() []box {
	if p.fixed || p.w == p.h {
		return []box{p.box}
	}
	return []box{p.box, p.turned()}
}

func (s problem) tooLarge() error {
	var e TooLargeError
	for i, b := range s.parts {
		if slices.ContainsFunc(b.ways(), func(b box) bool { return b.in(s.sheet) }) {
			continue
		}
		by := func(b box) box { return box{max(b.w-s.sheet.w, 0), max(b.h-s.sheet.h, 0)} }
		least := by(b.box)
		if t := by(b.turned()); !b.fixed && t.w+t.h < least.w+least.h {
			least = t
		}
		e.Parts = append(e.Parts, TooLarge{i, geom.Vec{X: float64(least.w) / perMM, Y: float64(least.h) / perMM},
			b.fixed && b.turned().in(s.sheet)})
	}
	if len(e.Parts) > 0 {
		return &e
	}
	return nil
}

// atLeast is the larger of two bounds: the area of all parts, and how many parts there are of
// which no two go onto one sheet, looked for from the largest.
func (s problem) atLeast() int {
	area, apart := 0, []piece(nil)
	for _, i := range s.by(box.area) {
		b := s.parts[i]
		area += b.area()
		if !slices.ContainsFunc(apart, func(o piece) bool { return s.together(b, o) }) {
			apart = append(apart, b)
		}
	}
	return max(len(apart), (area+s.sheet.area()-1)/s.sheet.area())
}

// together reports whether two parts go onto one sheet: beside or above each other.
func (s problem) together(a, b piece) bool {
	for _, a := range a.ways() {
		for _, b := range b.ways() {
			if (box{a.w + b.w, max(a.h, b.h)}).in(s.sheet) || (box{max(a.w, b.w), a.h + b.h}).in(s.sheet) {
				return true
			}
		}
	}
	return false
}

// by is the order of the parts by a measure, largest first.
func (s problem) by(measure func(box) int) []int {
	order := make([]int, len(s.parts))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return measure(s.parts[b].box) - measure(s.parts[a].box) })
	return order
}

// Orders and rules that are tried.
var measures = []func(box) int{
	box.area,
	func(b box) int { return max(b.w, b.h) },
	func(b box) int { return min(b.w, b.h) },
	func(b box) int { return b.w + b.h },
	func(b box) int { return b.w },
	func(b box) int { return b.h },
}

// A rule scores a part in a free rectangle; the lowest score is taken, first by the first figure.
var rules = []func(b box, in rect) [2]int{
	func(b box, in rect) [2]int { // best short side
		return [2]int{min(in.w-b.w, in.h-b.h), max(in.w-b.w, in.h-b.h)}
	},
	func(b box, in rect) [2]int { // best area
		return [2]int{in.w*in.h - b.area(), min(in.w-b.w, in.h-b.h)}
	},
	func(b box, in rect) [2]int { return [2]int{in.y + b.h, in.x} }, // lowest
	func(b box, in rect) [2]int { return [2]int{in.x + b.w, in.y} }, // furthest to the left
}

// The shuffled orders: their seed, and how much work they may be. A layout costs about the
// square of the parts: 10 parts get 500 orders, 100 parts 5, all in some 20 ms. Of 450 random
// sets of 8 to 30 parts they win a sheet in 12; four times the work wins three more (derived, by
// counting).
const (
	seed    = 1
	shuffle = 50_000
)

// search returns the best layout found: fewest sheets, then the largest rectangle left whole on
// the last.
func (s problem) search(atLeast int) layout {
	var best layout
	try := func(order []int, rule func(box, rect) [2]int) {
		l := s.pack(order, rule)
		if best.free == nil || l.better(best) {
			best = l
		}
	}
	for _, measure := range measures {
		for _, rule := range rules {
			try(s.by(measure), rule)
		}
	}
	random := rand.New(rand.NewPCG(seed, seed))
	order := s.by(box.area)
	for k := 0; k*len(order)*len(order) < shuffle && len(best.free) > atLeast; k++ {
		random.Shuffle(len(order), func(i, k int) { order[i], order[k] = order[k], order[i] })
		try(order, rules[k%len(rules)])
	}
	return best
}

// rect is a free rectangle of a sheet.
type rect struct{ x, y, w, h int }

// lying is where a part lies.
type lying struct {
	sheet, x, y int
	turned      bool
}

// layout is a finished one: of each part where it lies, of each sheet its free rectangles, which
// overlap.
type layout struct {
	lies []lying
	free [][]rect
}

func (l layout) better(than layout) bool {
	if a, b := len(l.free), len(than.free); a != b {
		return a < b
	}
	last := func(l layout) int {
		r := largest(l.free[len(l.free)-1])
		return r.w * r.h
	}
	return last(l) > last(than)
}

func largest(free []rect) (out rect) {
	for _, r := range free {
		if r.w*r.h > out.w*out.h {
			out = r
		}
	}
	return out
}

// pack lays the parts in their order, each onto the first sheet that takes it.
func (s problem) pack(order []int, rule func(box, rect) [2]int) layout {
	l := layout{lies: make([]lying, len(s.parts))}
	for _, i := range order {
		for k := 0; ; k++ {
			if k == len(l.free) {
				l.free = append(l.free, []rect{{0, 0, s.sheet.w, s.sheet.h}})
			}
			at, b, ok := s.find(l.free[k], s.parts[i], rule)
			if !ok {
				continue
			}
			l.lies[i] = lying{k, at.x, at.y, b != s.parts[i].box}
			l.free[k] = without(l.free[k], rect{at.x, at.y, b.w, b.h})
			break
		}
	}
	return l
}

// find returns the free rectangle in whose lower left a part lies best, and how it lies.
func (s problem) find(free []rect, part piece, rule func(box, rect) [2]int) (at rect, as box, ok bool) {
	var score [2]int
	for _, b := range part.ways() {
		for _, r := range free {
			if !b.in(box{r.w, r.h}) {
				continue
			}
			if n := rule(b, r); !ok || slices.Compare(n[:], score[:]) < 0 {
				at, as, score, ok = r, b, n, true
			}
		}
	}
	return at, as, ok
}

// without takes a part out of free rectangles: of each that it meets remain the largest ones
// beside it, and none that lies in another is kept.
func without(free []rect, p rect) []rect {
	var out, cut []rect
	for _, r := range free {
		if p.x >= r.x+r.w || r.x >= p.x+p.w || p.y >= r.y+r.h || r.y >= p.y+p.h {
			out = append(out, r)
			continue
		}
		for _, k := range []rect{
			{r.x, r.y, p.x - r.x, r.h},
			{p.x + p.w, r.y, r.x + r.w - p.x - p.w, r.h},
			{r.x, r.y, r.w, p.y - r.y},
			{r.x, p.y + p.h, r.w, r.y + r.h - p.y - p.h},
		} {
			if k.w > 0 && k.h > 0 {
				cut = append(cut, k)
			}
		}
	}
	for i, c := range cut {
		inOther := func(o rect) bool { return o.holds(c) }
		// Of two that are the same the first stays.
		if !slices.ContainsFunc(out, inOther) && !slices.ContainsFunc(cut[:i], inOther) &&
			!slices.ContainsFunc(cut[i+1:], func(o rect) bool { return o != c && o.holds(c) }) {
			out = append(out, c)
		}
	}
	return out
}

func (r rect) holds(o rect) bool {
	return r.x <= o.x && r.y <= o.y && r.x+r.w >= o.x+o.w && r.y+r.h >= o.y+o.h
}
