package sheet

import (
	"math"

	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

// sectionNames is what the section's labels need to know.
type sectionNames struct {
	onBed, material string
	bed, thick, top float64
	whole           span
	pins            []jig.Pin
	nest            bool
}

// sectionLabels writes the names of the parts beside and above the section.
func (f *figure) sectionLabels(d *jig.Design, u float64, at func(v, w float64) geom.Vec, n sectionNames) {
	ink := f.Ink()
	x := ink.Max.X + 3
	low := n.bed/2 - small/2
	high := math.Max(n.bed+n.thick/2-small/2, low+small*lineGap)
	f.Text(geom.Vec{X: x, Y: low}, small, picture.Start, named("bed", d.Bed.Material))
	f.Text(geom.Vec{X: x, Y: high}, small, picture.Start, named(n.onBed, n.material))
	room := ink.Grow(30)
	if n.nest {
		if s := spans(d.Board.Outline, u); len(s) > 0 {
			says := named("board "+mm(d.Board.ThicknessMM), d.Board.Wood)
			if d.Board.CrownRadiusMM > 0 {
				says += ", crown R" + mm(d.Board.CrownRadiusMM)
			}
			mid := at((s[0].lo+s[0].hi)/2, n.bed+d.Board.ThicknessMM)
			f.note(mid, math.Max(n.top, mid.Y)+8, says)
		}
	}
	for i, p := range n.pins {
		if i > 0 {
			break
		}
		f.setLabel(label{
			lines: []string{picture.Plain(p.ID)}, heights: []float64{small}, target: at(p.At.Y, n.top),
			radius: pinDiameter(p) / 2, within: room, must: true,
		})
	}
	b := f.Ink()
	f.Text(geom.Vec{X: at(n.whole.hi, 0).X, Y: b.Min.Y - 5}, small, picture.Start, "left, +v")
	f.Text(geom.Vec{X: at(n.whole.lo, 0).X, Y: b.Min.Y - 5}, small, picture.End, "right, -v")
	f.Add(picture.Text{
		At: geom.Vec{X: at((n.whole.lo+n.whole.hi)/2, 0).X, Y: b.Max.Y + 5}, Height: middle, Anchor: picture.Middle, Bold: true,
		S: "A-A (u " + mm(u) + ")",
	})
}

// note writes a text centred above a point, with a leader straight down to it.
func (f *figure) note(p geom.Vec, y float64, s string) {
	top := geom.Vec{X: p.X, Y: y}
	f.Line(picture.PenThin, top, p)
	f.arrow(p, geom.Vec{Y: -1})
	f.Text(geom.Vec{X: p.X, Y: y + 1.4}, small, picture.Middle, s)
}

func named(part, material string) string {
	if m := picture.Plain(material); m != "" {
		return part + ", " + m
	}
	return part
}
