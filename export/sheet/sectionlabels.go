package sheet

import (
	"math"

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
	ink := f.ink()
	x := ink.Max.X + 3
	low := n.bed/2 - small/2
	high := math.Max(n.bed+n.thick/2-small/2, low+small*lineGap)
	f.text(geom.Vec{X: x, Y: low}, small, Start, named("bed", d.Bed.Material))
	f.text(geom.Vec{X: x, Y: high}, small, Start, named(n.onBed, n.material))
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
			lines: []string{plain(p.ID)}, heights: []float64{small}, target: at(p.At.Y, n.top),
			radius: pinDiameter(p) / 2, within: room, must: true,
		})
	}
	b := f.ink()
	f.text(geom.Vec{X: at(n.whole.hi, 0).X, Y: b.Min.Y - 5}, small, Start, "left, +v")
	f.text(geom.Vec{X: at(n.whole.lo, 0).X, Y: b.Min.Y - 5}, small, End, "right, -v")
	f.add(Text{
		At: geom.Vec{X: at((n.whole.lo+n.whole.hi)/2, 0).X, Y: b.Max.Y + 5}, Height: middle, Anchor: Middle, Bold: true,
		S: "A-A (u " + mm(u) + ")",
	})
}

// note writes a text centred above a point, with a leader straight down to it.
func (f *figure) note(p geom.Vec, y float64, s string) {
	top := geom.Vec{X: p.X, Y: y}
	f.line(PenThin, top, p)
	f.arrow(p, geom.Vec{Y: -1})
	f.text(geom.Vec{X: p.X, Y: y + 1.4}, small, Middle, s)
}

func named(part, material string) string {
	if m := plain(material); m != "" {
		return part + ", " + m
	}
	return part
}
