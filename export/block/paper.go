package block

import (
	"fmt"

	"reseat/export/picture"
	"reseat/jig/geom"
)

// Paper is what is printed on, upright, mm. The zero value is A4.
type Paper int

// The papers that printers at home and in the office take.
const (
	A4     Paper = iota // ISO 216
	Letter              // ANSI/ASME Y14.1, size A: 8 1/2 by 11 inches
)

// PaperMargin is kept free of ink on every side, mm: printers leave out up to
// 10. Recalled.
const PaperMargin = 15.0

// Size returns width and height of the paper as it lies, mm.
func (p Paper) Size(landscape bool) geom.Vec {
	s := geom.Vec{X: 210, Y: 297}
	if p == Letter {
		s = geom.Vec{X: 215.9, Y: 279.4}
	}
	if landscape {
		s.X, s.Y = s.Y, s.X
	}
	return s
}

// Frame is what of the paper is drawn on.
func (p Paper) Frame(landscape bool) geom.Box {
	return geom.Box{Max: p.Size(landscape)}.Grow(-PaperMargin)
}

// String, Set and Type let a command take a paper as a flag.
func (p Paper) String() string { return [...]string{"a4", "letter"}[p] }

// Set reads a name.
func (p *Paper) Set(s string) error {
	for _, q := range []Paper{A4, Letter} {
		if s == q.String() {
			*p = q
			return nil
		}
	}
	return fmt.Errorf("there is a4 (210 x 297 mm) and letter (215.9 x 279.4 mm)")
}

// Type names what is set.
func (Paper) Type() string { return "PAPER" }

// Name is the paper as a title block has it.
func (p Paper) Name() string { return [...]string{"A4", "Letter"}[p] }

// Page is an empty page of the paper.
func (p Paper) Page(title string, landscape bool) *picture.Picture {
	return &picture.Picture{Title: title, Size: p.Size(landscape)}
}
