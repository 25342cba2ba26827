package sheet

import (
	"errors"
	"math"
	"slices"

	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

// wideView is the share of the sheet's width above which a view stands alone.
const wideView = 0.6

// proseWide is the width of sentences, mm: some 80 letters. Every sheet has room
// for it.
const proseWide = 150.0

// Drawing lays out the dimensioned drawing of a design's template at 1:1: the
// view from above with its dimensions, section A-A, tables of pins and holes, float and error
// of the features, error budget, rules, notes, check bars and title block, on the
// smallest sheet that holds them. The board lies along the page with u to the right.
//
// It returns an error when the view does not fit on the largest sheet. Equal designs
// give equal pictures.
func Drawing(d *jig.Design) (*picture.Picture, error) {
	cut := cutStation(d)
	var sec *figure
	if !math.IsNaN(cut) {
		sec = section(d, cut)
	}
	if sec == nil {
		cut = math.NaN()
	}
	view := plan(d, cut)
	blocks := []*figure{
		view, pinTable(d), holeTable(d), sec, checkBars(), featureTable(d), errorBudget(d, wideChart),
		ruleTable(d), notes(d), gluing(d),
	}
	narrow := slices.Clone(blocks)
	narrow[6] = errorBudget(d, narrowChart)
	absent := func(f *figure) bool { return f == nil }
	sets := [][]*figure{slices.DeleteFunc(blocks, absent), slices.DeleteFunc(narrow, absent)}
	for _, s := range candidates(view.ink().Size().X) {
		for _, set := range sets {
			if p, ok := compose(d, s, set); ok {
				return p, nil
			}
		}
	}
	return nil, errors.New("the drawing does not fit on any sheet")
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
	tb := title.ink()
	taken := []geom.Box{{Min: tb.Min.Add(corner), Max: tb.Max.Add(corner)}}
	sizes := make([]geom.Vec, len(blocks))
	for i, b := range blocks {
		sizes[i] = b.ink().Size()
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
		page.place(b, at[i].Sub(b.ink().Min))
	}
	return &picture.Picture{Title: d.Title, Size: geom.Vec{X: s.w, Y: s.h}, Figure: page.Figure}, true
}
