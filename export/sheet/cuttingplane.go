package sheet

import (
	"math"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig/geom"
)

// cutStation returns the station of section A-A: the one that shows most. A
// window with its board counts before pins, pins before bare plate; a feature
// in the way counts against it. The nearest to the start wins among equals, NaN
// stands for a design without any solid to cut.
func cutStation(d scaled) float64 {
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
	best, most := math.NaN(), 0
	for _, u := range stations {
		if n := score(d, u); n > most || n == most && u < best {
			best, most = u, n
		}
	}
	return best
}

// score counts what a cut at station u would show.
func score(d scaled, u float64) int {
	n := 0
	if len(block.Spans(d.Template.Outline, u)) > 0 {
		n++
	}
	if w := d.Template.Window; len(w) > 0 && len(block.Spans(w, u)) > 0 {
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

// cuttingPlane draws both ends of a section, seen towards the far end, that lies at the first station
// to the left of the datum line and at the second to its right; with named set, only its letters, where
// no projection line passes.
func (f *figure) cuttingPlane(letter string, u [2]float64, all geom.Box, named bool) {
	for i, up := range [2]float64{1, -1} {
		from := geom.Vec{X: u[i], Y: all.Max.Y + 1}
		if up < 0 {
			from.Y = all.Min.Y - 1
		}
		end := from.Add(geom.Vec{Y: up * cutStroke})
		if named {
			f.cutLetter(letter, end)
			continue
		}
		tip := end.Add(geom.Vec{X: cutArrow})
		f.Line(picture.PenOutline, from, end)
		f.Line(picture.PenThin, end, tip)
		f.Arrow(tip, geom.Vec{X: 1})
		if step := u[1-i] - u[i]; math.Abs(step) > sameStation { // its corner, where it steps aside
			f.Line(picture.PenOutline, geom.Vec{X: u[i], Y: up * cutCorner}, geom.Vec{X: u[i]},
				geom.Vec{X: u[i] + math.Copysign(cutCorner, step)})
		}
	}
}

// cutLetter names one end of the cutting plane, at the best of three places.
func (f *figure) cutLetter(says string, end geom.Vec) {
	letter := picture.Text{Height: block.Middle, S: says}
	best, level := geom.Vec{}, block.Forbidden+1
	for _, d := range []geom.Vec{
		{X: -1.2 - picture.TextWidth(says, block.Middle), Y: -block.Middle / 2},
		{X: cutArrow + 1.2, Y: -block.Middle / 2},
		{X: 1.2, Y: picture.Descent*block.Middle + 0.3},
	} {
		letter.At = end.Add(d)
		if got := f.WorstClash(letter.Ink()); got < level {
			best, level = letter.At, got
		}
	}
	f.Text(best, block.Middle, picture.Start, letter.S)
}
