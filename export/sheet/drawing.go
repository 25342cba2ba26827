package sheet

import (
	"errors"
	"fmt"
	"math"

	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

// Drawing lays out the dimensioned drawing of a design's template at 1:1: the
// view from above with its dimensions, section A-A, hole table, float and error
// of the features, error budget, rules, notes, check bars and title block, on the
// smallest sheet that holds them. The board lies along the page with u to the right.
//
// It returns an error when the design has no template or board to draw, when a
// figure that is drawn is not finite, or when the view is too long for paper.
// Equal designs give equal pictures.
func Drawing(d *jig.Design) (*picture.Picture, error) {
	if err := drawable(d); err != nil {
		return nil, fmt.Errorf("sheet: %w", err)
	}
	cut := cutStation(d)
	var sec *figure
	if !math.IsNaN(cut) {
		sec = section(d, cut)
	}
	if sec == nil {
		cut = math.NaN()
	}
	view := plan(d, cut)
	width := view.Ink().Size().X
	if width+marginLeft+marginSide+2*blockGap > longestMM {
		return nil, fmt.Errorf("sheet: the view is %s mm long, more than the %s mm of a sheet", mm(width), mm(longestMM))
	}
	sets := [][]*figure{blocks(d, view, sec, wideChart), blocks(d, view, sec, narrowChart)}
	for _, s := range candidates(width) {
		for _, set := range sets {
			if l, ok := compose(d, s, set); ok {
				return l, nil
			}
		}
	}
	return nil, errors.New("sheet: the drawing does not fit on any sheet")
}

// wideView is the share of the sheet's width above which a view stands alone.
const wideView = 0.6

// proseWide is the width of sentences, mm: some 80 letters. Every sheet has room
// for it.
const proseWide = 150.0

// blocks returns what a sheet shows beside its title block, the view first.
func blocks(d *jig.Design, view, sec *figure, c chart) []*figure {
	out := []*figure{view}
	for _, b := range []*figure{
		holeTable(d), sec, checkBars(), featureTable(d), errorBudget(d, proseWide, c), ruleTable(d, proseWide), notes(d, proseWide),
	} {
		if b != nil {
			out = append(out, b)
		}
	}
	return out
}

// compose puts all blocks on one sheet; false when they do not fit.
func compose(d *jig.Design, s size, blocks []*figure) (*picture.Picture, bool) {
	frame := s.frame()
	page := &figure{}
	page.Box(picture.PenFrame, frame)
	title := titleBlock(d, s.name)
	corner := geom.Vec{X: frame.Max.X, Y: frame.Min.Y}
	page.place(title, corner)
	room := frame.Grow(-blockGap)
	tb := title.Ink()
	taken := []geom.Box{{Min: tb.Min.Add(corner), Max: tb.Max.Add(corner)}}
	sizes := make([]geom.Vec, len(blocks))
	for i, b := range blocks {
		sizes[i] = b.Ink().Size()
	}
	// A view that takes most of the width has its row for itself when that
	// still fits: the tables then stand together below it.
	at, ok := []geom.Vec(nil), false
	if own, wide := sizes[0], room.Size().X; own.X > wideView*wide && own.X <= wide {
		sizes[0].X = room.Size().X
		at, ok = pack(room, taken, sizes)
		sizes[0] = own
	}
	if !ok {
		at, ok = pack(room, taken, sizes)
	}
	if !ok {
		return nil, false
	}
	others := taken
	for i := range blocks[1:] {
		others = append(others, geom.Box{Min: at[i+1], Max: at[i+1].Add(sizes[i+1])})
	}
	at[0] = centre(room, others, geom.Box{Min: at[0], Max: at[0].Add(sizes[0])})
	for i, b := range blocks {
		page.place(b, at[i].Sub(b.Ink().Min))
	}
	return &picture.Picture{Title: d.Title, Size: geom.Vec{X: s.w, Y: s.h}, Figure: page.Figure}, true
}
