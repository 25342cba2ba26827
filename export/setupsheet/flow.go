package setupsheet

import (
	"fmt"
	"regexp"
	"strings"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig/geom"
)

// Measures of a page in millimetres.
const (
	linePitch = 0.85 * block.RowHigh // of sentences
	gap       = 3.5                  // between blocks
	footHigh  = 2.0                  // letters of the footer
	pageRoom  = 28.0                 // of the footer, for the page's number
	footRoom  = 7.0                  // from the frame's lower edge to what stands on the page
	boxSide   = 3.2                  // of a box to tick
	boxIndent = 6.0                  // of what stands beside it
	// mostTogether is how many lines of a sentence stay together.
	mostTogether = 8
)

// flow puts blocks onto pages, each below the one before, a new page where the last is full.
type flow struct {
	paper block.Paper
	title string
	pages []*picture.Picture
	y     float64 // upper edge of what is still free
}

func newFlow(paper block.Paper, title string) *flow {
	f := &flow{paper: paper, title: title}
	f.turn()
	return f
}

// turn begins a page.
func (f *flow) turn() {
	f.pages = append(f.pages, f.paper.Page(f.title, false))
	f.y = f.frame().Max.Y
}

func (f *flow) frame() geom.Box {
	b := f.paper.Frame(false)
	b.Min.Y += footRoom
	return b
}

func (f *flow) wide() float64 { return f.frame().Size().X }
func (f *flow) room() float64 { return f.y - f.frame().Min.Y }

// need turns the page unless so much of it is free.
func (f *flow) need(high float64) {
	if f.room() < high {
		f.turn()
	}
}

// put sets a block at the left, or in the middle, as a whole; nil: nothing.
func (f *flow) put(b *block.Figure, middle bool) {
	if b == nil || len(b.Items) == 0 {
		return
	}
	ink := b.Ink()
	f.need(ink.Size().Y)
	to := geom.Vec{X: f.frame().Min.X, Y: f.y}
	if middle {
		to.X += (f.wide() - ink.Size().X) / 2
	}
	f.page().Place(&b.Figure, to.Sub(geom.Vec{X: ink.Min.X, Y: ink.Max.Y}))
	f.y -= ink.Size().Y + gap
}

func (f *flow) page() *picture.Picture { return f.pages[len(f.pages)-1] }

// heading writes bold letters of height h, wrapped; what belongs to it needs room below.
func (f *flow) heading(h float64, says string, room float64) {
	lines := picture.Wrap(picture.Plain(says), h, f.wide()/picture.BoldWider)
	f.need(float64(len(lines))*h*block.LineGap + room)
	for _, l := range lines {
		f.y -= picture.Ascent * h
		f.page().Add(picture.Text{At: geom.Vec{X: f.frame().Min.X, Y: f.y}, Height: h, Bold: true, S: l})
		f.y -= (block.LineGap - picture.Ascent) * h
	}
	f.y -= 1
}

// lines writes a wrapped sentence in small letters, indented, and returns where its first line
// stands, nil where there is none; between the lines of a long one the page may turn.
func (f *flow) lines(indent float64, says string) (on *picture.Picture, first geom.Vec) {
	lines := picture.Wrap(picture.Plain(says), block.Small, f.wide()-indent)
	if len(lines) <= mostTogether {
		f.need(linePitch * float64(len(lines)))
	}
	for i, l := range lines {
		f.need(linePitch)
		f.y -= linePitch
		at := geom.Vec{X: f.frame().Min.X + indent, Y: f.y + linePitch - picture.Ascent*block.Small}
		f.page().Text(at, block.Small, picture.Start, l)
		if i == 0 {
			on, first = f.page(), at
		}
	}
	return on, first
}

// labelled writes a sentence behind its name in bold letters.
func (f *flow) labelled(name, says string) {
	const indent = 18.0
	if says == "" {
		return
	}
	page, at := f.lines(indent, says)
	if page == nil {
		return // nothing that can be seen
	}
	page.Add(picture.Text{At: geom.Vec{X: f.frame().Min.X, Y: at.Y}, Height: block.Small, Bold: true, S: name})
	f.y -= 0.6
}

// ofPins is where a step goes on to other pins' holes; it does so on a line of its own.
var ofPins = regexp.MustCompile(` (P[0-9]+(?: to P[0-9]+| P[0-9]+)*: )`)

// tick writes a sentence behind a box to tick.
func (f *flow) tick(says string) {
	f.need(2 * linePitch)
	parts := strings.Split(ofPins.ReplaceAllString(says, "\n$1"), "\n")
	page, at := f.lines(boxIndent, parts[0])
	if page == nil {
		return
	}
	for _, s := range parts[1:] {
		f.lines(boxIndent, s)
	}
	f.tickBox(page, geom.Vec{X: f.frame().Min.X, Y: at.Y})
	f.y -= 1
}

// tickBox draws the box to tick before a line of small letters.
func (f *flow) tickBox(page *picture.Picture, baseline geom.Vec) {
	low := baseline.Add(geom.Vec{Y: block.Small/2 - boxSide/2})
	page.Box(picture.PenThin, geom.Box{Min: low, Max: low.Add(geom.Vec{X: boxSide, Y: boxSide})})
}

// ticks writes short entries behind boxes to tick, in two columns.
func (f *flow) ticks(all []string) {
	half, wide := (len(all)+1)/2, f.wide()/2
	for i := range half {
		var columns [2][]string
		for k := range columns {
			if n := i + k*half; n < len(all) {
				columns[k] = picture.Wrap(picture.Plain(all[n]), block.Small, wide-boxIndent-block.CellPad)
			}
		}
		high := linePitch * float64(max(len(columns[0]), len(columns[1])))
		f.need(high)
		for k, lines := range columns {
			at := geom.Vec{X: f.frame().Min.X + float64(float64(k)*wide), Y: f.y - picture.Ascent*block.Small}
			for n, l := range lines {
				if n == 0 {
					f.tickBox(f.page(), at)
				}
				f.page().Text(at.Add(geom.Vec{X: boxIndent, Y: -linePitch * float64(n)}), block.Small, picture.Start, l)
			}
		}
		f.y -= high + 1
	}
}

// table puts a table, in parts where it does not fit on one page, each with its head.
func (f *flow) table(t block.Table) {
	for len(t.Rows) > 0 {
		now, rest := t.Split(f.room())
		if len(now.Rows) == 0 || len(rest.Rows) > 0 && len(now.Rows) < 3 && f.room() < f.frame().Size().Y {
			f.turn()
			now, rest = t.Split(f.room())
		}
		if len(now.Rows) == 0 { // a row taller than a page: cut short, it is never lost without a word
			now, rest = t, block.Table{}
		}
		f.put(now.Draw(), false)
		t = rest
	}
}

// footers numbers pages and says on each what it belongs to.
func footers(pages []*picture.Picture, paper block.Paper, says string) {
	for i, p := range pages {
		b := geom.Box{Max: p.Size}.Grow(-block.PaperMargin)
		y := b.Min.Y + picture.Descent*footHigh
		if p.Size != paper.Size(false) { // a sheet of the drawing has its frame there
			y = b.Min.Y - picture.FrameMM - picture.Ascent*footHigh
		}
		p.Text(geom.Vec{X: b.Min.X, Y: y}, footHigh, picture.Start, picture.Shorten(picture.Plain(says), footHigh, b.Size().X-pageRoom))
		p.Text(geom.Vec{X: b.Max.X, Y: y}, footHigh, picture.End, fmt.Sprintf("page %d of %d", i+1, len(pages)))
	}
}
