package sheet

import (
	"math"
	"sort"

	"reseat/jig"
	"reseat/jig/geom"
)

// Section measures in millimetres and radians.
const (
	tallestMM    = 250.0 // a taller section says nothing at 1:1 and is left out
	sameStation  = 0.5   // pins this close along u are cut by one plane
	bedPast      = 8.0   // bed shown beyond the plate, then broken off
	hatchBed     = 3.0
	hatchPlate   = 2.0
	hatchBoard   = 4.0
	hatchRising  = math.Pi / 4
	hatchFalling = -math.Pi / 4
)

// cutStation returns the station of section A-A: the one that shows most. A
// window with its board counts before pins, pins before bare plate; a feature
// in the way counts against it. The nearest to the start wins among equals, NaN
// stands for a design without any solid to cut.
func cutStation(d *jig.Design) float64 {
	stations := make([]float64, 0, len(d.Pins)+3)
	for _, p := range d.Pins {
		stations = append(stations, p.At.X)
	}
	// Without a pin beside the board, any place on it serves: a quarter along, or
	// near it when features stand there.
	b := d.Board.Outline.Bounds()
	for _, k := range [3]float64{0.25, 0.3, 0.2} {
		stations = append(stations, b.Min.X+k*b.Size().X)
	}
	best, score := math.NaN(), 0
	for _, u := range stations {
		if n := shown(d, u); n > score || n == score && u < best {
			best, score = u, n
		}
	}
	return best
}

// shown counts what a cut at station u would show.
func shown(d *jig.Design, u float64) int {
	n := 0
	if len(spans(d.Template.Outline, u)) > 0 {
		n++
	}
	if w := d.Template.Window; len(w) > 0 && len(spans(w, u)) > 0 {
		n += 100
	}
	for _, q := range d.Pins {
		if math.Abs(q.At.X-u) < sameStation {
			n += 10
		}
	}
	for _, ft := range d.Board.Features {
		if math.Abs(ft.At.X-u) <= ft.BoreMM/2 {
			n -= 5
		}
	}
	return n
}

// span is a piece lo..hi of a line across the board.
type span struct{ lo, hi float64 }

// spans returns where the line at station u lies inside a contour, from right to left.
func spans(l geom.Loop, u float64) []span {
	pts := l.Flatten(chordMM)
	var vs []float64
	for i, p := range pts {
		q := pts[(i+1)%len(pts)]
		if (p.X > u) != (q.X > u) {
			vs = append(vs, p.Y+(u-p.X)*(q.Y-p.Y)/(q.X-p.X))
		}
	}
	sort.Float64s(vs)
	var out []span
	for i := 0; i+1 < len(vs); i += 2 {
		out = append(out, span{vs[i], vs[i+1]})
	}
	return out
}

// without cuts the pieces b out of the pieces a.
func without(a []span, b ...span) []span {
	for _, c := range b {
		var next []span
		for _, s := range a {
			if c.hi <= s.lo || c.lo >= s.hi {
				next = append(next, s)
				continue
			}
			if c.lo > s.lo {
				next = append(next, span{s.lo, c.lo})
			}
			if c.hi < s.hi {
				next = append(next, span{c.hi, s.hi})
			}
		}
		a = next
	}
	return a
}

// section draws section A-A at station u, seen towards the far end: v to the
// left, w up, 1:1. For a nest: bed, template, board in the window. For a board
// that seats on its own pins: bed and blank.
func section(d *jig.Design, u float64) *figure {
	f := &figure{}
	bed := d.Bed.ThicknessMM
	onBed, onBedThick, onBedName := d.Template.Outline, d.Template.ThicknessMM, "template"
	material := d.Template.Material
	nest := len(d.Template.Window) > 0
	if !nest && d.Blank != nil && len(d.Blank.Outline) > 0 {
		onBed, onBedThick, onBedName, material = d.Blank.Outline, d.Blank.ThicknessMM, "blank", d.Blank.Wood
	}
	solid := spans(onBed, u)
	if len(solid) == 0 || bed <= 0 || onBedThick <= 0 {
		return nil
	}
	whole := span{solid[0].lo, solid[len(solid)-1].hi}
	if nest {
		solid = without(solid, spans(d.Template.Window, u)...)
	}
	bedSolid := []span{{whole.lo - bedPast, whole.hi + bedPast}}
	var pins []jig.Pin
	for _, p := range d.Pins {
		if math.Abs(p.At.X-u) >= sameStation {
			continue
		}
		pins = append(pins, p)
		hole := span{p.At.Y - p.Template.MinMM/2, p.At.Y + p.Template.MinMM/2}
		if !nest && p.Blank != nil {
			hole = span{p.At.Y - p.Blank.MinMM/2, p.At.Y + p.Blank.MinMM/2}
		}
		solid = without(solid, hole)
		if p.Bed.DepthMM <= 0 || p.Bed.DepthMM >= bed {
			bedSolid = without(bedSolid, span{p.At.Y - p.Bed.MinMM/2, p.At.Y + p.Bed.MinMM/2})
		}
	}
	// v runs to the left on this view.
	at := func(v, w float64) geom.Vec { return geom.Vec{X: -v, Y: w} }
	slab := func(s span, w0, w1, angle, spacing float64) {
		poly := []geom.Vec{at(s.hi, w0), at(s.lo, w0), at(s.lo, w1), at(s.hi, w1)}
		f.hatch(angle, spacing, poly)
	}
	for _, s := range bedSolid {
		slab(s, 0, bed, hatchRising, hatchBed)
	}
	for _, s := range solid {
		slab(s, bed, bed+onBedThick, hatchFalling, hatchPlate)
		f.box(PenOutline, geom.Box{Min: at(s.hi, bed), Max: at(s.lo, bed+onBedThick)})
	}
	l, r := at(bedSolid[len(bedSolid)-1].hi, 0).X, at(bedSolid[0].lo, 0).X
	f.line(PenOutline, geom.Vec{X: l}, geom.Vec{X: r})
	f.line(PenOutline, geom.Vec{X: l, Y: bed}, geom.Vec{X: r, Y: bed})
	f.breakLine(l, bed)
	f.breakLine(r, bed)
	if nest {
		f.boardSection(d, u, bed, at)
	}
	face := bed + onBedThick
	top := face
	for _, p := range pins {
		up := f.pinSection(p, bed, at)
		top = math.Max(top, up)
		if up < face-wideMM {
			// The far rim of the hole shows above a pin that ends inside it.
			r := pinDiameter(p) / 2
			f.line(PenOutline, at(p.At.Y+r, face), at(p.At.Y-r, face))
		}
	}
	if nest {
		top = math.Max(top, f.railSection(d, u, bed, at))
	}
	right := row{rightOf, r}
	right.draw(f, []dim{
		{geom.Vec{X: r}, geom.Vec{X: r, Y: bed}, mm(bed)},
		{geom.Vec{X: at(whole.lo, 0).X, Y: bed}, geom.Vec{X: at(whole.lo, 0).X, Y: bed + onBedThick}, mm(onBedThick)},
	})
	if f.ink().Size().Y > tallestMM {
		return nil
	}
	f.sectionLabels(d, u, at, sectionNames{onBedName, material, bed, onBedThick, top, whole, pins, nest})
	return f
}

// boardSection draws the board in the window, its top crowned when it is.
func (f *figure) boardSection(d *jig.Design, u, bed float64, at func(v, w float64) geom.Vec) {
	for _, s := range spans(d.Board.Outline, u) {
		top := func(v float64) float64 {
			w := bed + d.Board.ThicknessMM
			if r := d.Board.CrownRadiusMM; r > math.Abs(v) {
				w -= r - math.Sqrt(r*r-v*v)
			}
			return w
		}
		path := geom.Loop{{Vec: at(s.hi, bed)}, {Vec: at(s.lo, bed)}}
		const n = 24 // chords of the crown; its rise is a few tenths of a millimetre
		for k := 0; k <= n; k++ {
			v := s.lo + (s.hi-s.lo)*float64(k)/n
			path = append(path, geom.Vertex{Vec: at(v, top(v))})
		}
		f.hatch(hatchRising, hatchBoard, path.Corners())
		f.loop(PenOutline, path)
	}
}

// railSection draws the rails of a printed plate and returns their top.
func (f *figure) railSection(d *jig.Design, u, bed float64, at func(v, w float64) geom.Vec) float64 {
	if d.Print == nil || d.Rails == nil || len(d.Print.Rails) != len(d.Rails.Outlines) {
		return 0
	}
	top := 0.0
	for i, r := range d.Print.Rails {
		low, high := bed+d.Template.ThicknessMM, bed+r.TopMM
		if high <= low {
			continue
		}
		for _, s := range spans(d.Rails.Outlines[i], u) {
			top = math.Max(top, high)
			f.hatch(hatchFalling, hatchPlate, []geom.Vec{at(s.hi, low), at(s.lo, low), at(s.lo, high), at(s.hi, high)})
			f.line(PenOutline, at(s.hi, low), at(s.hi, high), at(s.lo, high), at(s.lo, low))
		}
	}
	return top
}

// pinSection draws a pin, uncut as ISO 128-3 has it, standing on the floor of
// its hole in the bed or flush with the bed's underside; it returns its top.
func (f *figure) pinSection(p jig.Pin, bed float64, at func(v, w float64) geom.Vec) float64 {
	r := pinDiameter(p) / 2
	foot := 0.0
	if p.Bed.DepthMM > 0 && p.Bed.DepthMM < bed {
		foot = bed - p.Bed.DepthMM
	}
	top := foot + pinLength(p)
	f.box(PenOutline, geom.Box{Min: at(p.At.Y+r, foot), Max: at(p.At.Y-r, top)})
	f.line(PenCentre, at(p.At.Y, foot-crossOver), at(p.At.Y, top+crossOver))
	return top
}

// breakLine draws the zigzag end of a part that is broken off, at x from 0 to h.
func (f *figure) breakLine(x, h float64) {
	m, z := h/2, math.Min(1.5, h/6)
	f.line(PenThin, geom.Vec{X: x, Y: -2}, geom.Vec{X: x, Y: m - z}, geom.Vec{X: x - z, Y: m - z/3},
		geom.Vec{X: x + z, Y: m + z/3}, geom.Vec{X: x, Y: m + z}, geom.Vec{X: x, Y: h + 2})
}

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
		f.setLabel(label{lines: []string{plain(p.ID)}, heights: []float64{small}, target: at(p.At.Y, n.top),
			radius: pinDiameter(p) / 2, within: room, must: true})
	}
	b := f.ink()
	f.text(geom.Vec{X: at(n.whole.hi, 0).X, Y: b.Min.Y - 5}, small, Start, "left, +v")
	f.text(geom.Vec{X: at(n.whole.lo, 0).X, Y: b.Min.Y - 5}, small, End, "right, -v")
	f.add(Text{At: geom.Vec{X: at((n.whole.lo+n.whole.hi)/2, 0).X, Y: b.Max.Y + 5}, Height: middle, Anchor: Middle, Bold: true,
		S: "A-A (u " + mm(u) + ")"})
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
