package sheet

import (
	"errors"
	"fmt"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

// blockGap is the least free space between blocks, and to the frame, mm.
const blockGap = 5.0

// viewGap is the least free space beside the view from above, which is the longer the better, mm.
const viewGap = 2.0

// Drawing lays out the dimensioned drawing of a design's template on sheets of the paper as it lies
// on its long side: first the view from above with its dimensions to the largest scale that fits,
// then section A-A, the section through what is glued, the pins and the holes of every part. The
// board lies along the page with u to the right.
//
// It returns an error when a view is too long for the paper at the smallest scale. Equal designs
// give equal pictures.
func Drawing(d *jig.Design, paper block.Paper) ([]*picture.Picture, error) {
	s := &sheets{d: d, paper: paper}
	title := titleBlock(d, sheetFields{}).Ink().Size()
	frame := paper.Frame(true)
	room := frame.Grow(-blockGap)
	below := title.Y + 2*blockGap // of a view: the title block stands there
	station := cutStation(to(d, 1))
	view, drawn, err := largest(d, geom.Vec{X: frame.Size().X - 2*viewGap, Y: frame.Size().Y - below}, leastScale(d, room),
		func(d scaled) *block.Figure { return plan(d, station/d.by) })
	if err != nil {
		return nil, err
	}
	s.scale = drawn.scale()
	s.put(view)
	s.corner(axes(d))
	fit := geom.Vec{X: room.Size().X, Y: frame.Size().Y - below}
	for _, of := range []struct {
		draw func(scaled) *block.Figure
		from float64
	}{
		{func(d scaled) *block.Figure { return section(d, station/d.by) }, 1},
		{gluing, 1}, {gluingEdge, scales[0]},
	} {
		f, _, err := largest(d, fit, of.from, of.draw)
		if err != nil {
			return nil, err
		}
		s.put(f)
	}
	for _, t := range []block.Table{pinTable(d), holeTable(d, room.Size().X)} {
		for len(t.Rows) > 0 {
			var now block.Table
			if now, t = t.Split(frame.Size().Y - below); len(now.Rows) == 0 {
				return nil, errTooLarge
			}
			s.put(now.Draw())
		}
	}
	if drawn.by == 1 {
		s.put(checkBars())
	}
	s.put(notes(d, drawn))
	if s.failed {
		return nil, errTooLarge
	}
	return s.finished(), nil
}

// errTooLarge: no word, view or table of a design is so large; it keeps a fault from running on.
var errTooLarge = errors.New("a part of the drawing does not fit on the paper")

// leastScale leaves out the scales at which the view is too large for certain: a row of dimensions
// stands at each side of it.
func leastScale(d *jig.Design, room geom.Box) float64 {
	room = room.Grow(-dimFirst)
	b := d.Template.Outline.Bounds()
	if d.Blank != nil {
		b = b.Union(d.Blank.Outline.Bounds())
	}
	return max(1, b.Size().X/room.Size().X, b.Size().Y/room.Size().Y)
}

// sheets are the drawing's sheets in the making.
type sheets struct {
	d     *jig.Design
	paper block.Paper
	scale string // of the view
	all   []*figure
	taken [][]geom.Box // of each sheet

	failed bool // a block has no place on an empty sheet
}

// put places a block on the first sheet that has room for it, or on a new one; nil: nothing.
func (s *sheets) put(b *block.Figure) {
	if b == nil {
		return
	}
	frame, ink := s.paper.Frame(true), b.Ink()
	room := frame.Grow(-blockGap)
	for i := 0; ; i++ {
		if i == len(s.all) {
			title := titleBlock(s.d, sheetFields{further: i > 0}).Ink()
			corner := geom.Vec{X: frame.Max.X, Y: frame.Min.Y}
			s.all = append(s.all, &figure{})
			s.taken = append(s.taken, []geom.Box{{Min: title.Min.Add(corner), Max: title.Max.Add(corner)}})
		}
		at, ok := highest(room, s.taken[i], ink.Size())
		if len(s.all) == 1 && len(s.taken[0]) == 1 { // the view, in the middle
			at = geom.Vec{X: room.Center().X - ink.Size().X/2, Y: room.Max.Y - ink.Size().Y}
		} else if !ok {
			if s.failed = len(s.taken[i]) == 1; s.failed {
				return
			}
			continue
		}
		box := geom.Box{Min: at, Max: at.Add(ink.Size())}
		s.all[i].place(b, box.Min.Sub(ink.Min))
		s.taken[i] = append(s.taken[i], box)
		return
	}
}

// corner places a block in the lower left corner of the first sheet, beside the title block.
func (s *sheets) corner(b *block.Figure) {
	ink, low := b.Ink(), s.paper.Frame(true).Min.Add(geom.Vec{X: blockGap, Y: blockGap})
	s.all[0].place(b, low.Sub(ink.Min))
	s.taken[0] = append(s.taken[0], geom.Box{Min: low, Max: low.Add(ink.Size())})
}

// finished are the sheets with frame and title block.
func (s *sheets) finished() []*picture.Picture {
	frame := s.paper.Frame(true)
	var out []*picture.Picture
	for i, f := range s.all {
		f.Box(picture.PenFrame, frame)
		fields := sheetFields{scale: "-", paper: s.paper.Name(), sheet: fmt.Sprintf("%d / %d", i+1, len(s.all)), further: i > 0}
		if i == 0 {
			fields.scale = s.scale
		}
		f.place(titleBlock(s.d, fields), geom.Vec{X: frame.Max.X, Y: frame.Min.Y})
		p := s.paper.Page(s.d.Title, true)
		p.Figure = f.Figure.Figure
		out = append(out, p)
	}
	return out
}
