package sheet

import (
	"fmt"
	"strings"

	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

// railed reports whether the drawn plate itself carries the rails. A plate that
// is cut from sheet does not: they stand on its printed twin only.
func railed(d *jig.Design) bool { return d.Template.MakeBy == "print" && printsRails(d) }

func printsRails(d *jig.Design) bool { return d.Print != nil && len(d.Print.Rails) > 0 }

// railLabel names one rail, and the plate that it stands on when that is not
// the drawn one; on two lines where one finds no place.
func (f *figure) railLabel(d *jig.Design, all geom.Box) {
	if d.Rails == nil || len(d.Rails.Outlines) == 0 {
		return
	}
	high := mm(d.Rails.HeightMM) + " high"
	says := [][]string{{"rail, " + high}}
	if printsRails(d) && !railed(d) {
		says = [][]string{{"rail of the printed plate, " + high}, {"rail of the printed plate,", high}}
	}
	b := d.Rails.Outlines[0].Bounds()
	for i, lines := range says {
		for _, k := range []float64{0.6, 0.7, 0.45, 0.8} {
			u := b.Min.X + k*b.Size().X
			sp := spans(d.Rails.Outlines[0], u)
			if len(sp) == 0 {
				continue
			}
			if f.setLabel(label{
				lines: lines, heights: []float64{small, small}, target: geom.Vec{X: u, Y: (sp[0].lo + sp[0].hi) / 2},
				led: true, surface: true, spare: i+1 < len(says), within: all,
			}) {
				return
			}
		}
	}
}

// thinnerNote says that the printed plate is not the drawn one; empty when they
// are alike or when the design says so itself.
func thinnerNote(d *jig.Design) string {
	p := d.Print
	if p == nil || !p.Thinner || len(d.Template.Window) == 0 {
		return ""
	}
	name := picture.Plain(p.File)
	if name == "" {
		name = "The printed plate"
	}
	for _, n := range d.Notes {
		if strings.Contains(n, name) && strings.Contains(n, "thick") {
			return ""
		}
	}
	return fmt.Sprintf("%s is for gluing and %s thick, not %s as drawn: its rails must end below the board's edge.",
		name, mm(p.ThicknessMM), mm(d.Template.ThicknessMM))
}
