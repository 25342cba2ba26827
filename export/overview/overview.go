// Package overview draws a plate for a screen: its outline, window, board and pins at a glance, with
// letters that can be read on a phone. It computes nothing of the design.
package overview

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/units"
)

// Sizes of letters as shares of the picture: readable where it is 330 points wide, or 650 high.
const (
	emOfWidth  = 0.036
	emOfHeight = 0.019
	capOfEm    = 0.72 // of package picture
	rowOfEm    = 1.3  // from one label to the next
	crossArm   = 0.4  // of em, where a feature has no bore
)

// Colours of what lies on what. A page may replace them by others of its own.
var (
	Sheet = picture.Colour{0xe6, 0xeb, 0xef} // plate
	Wood  = picture.Colour{0xea, 0xd3, 0xab} // board
	Waste = picture.Colour{0xf4, 0xe8, 0xd3} // blank round it
	Air   = picture.Colour{0xff, 0xff, 0xff} // window and bores
	Mark  = picture.Colour{0xb4, 0x3a, 0x12} // walls that the board is pushed against; zero
	Black = picture.Colour{}
)

// drawing is a picture in the making: x to the right of the datum line, y along it from the start end.
type drawing struct {
	picture.Figure
	em     float64
	box    geom.Box // of what is drawn to scale
	labels [2][]label
}

// label is a name beside the picture with the place that it is of.
type label struct {
	at   geom.Vec
	text string
	pin  bool
}

// Plate draws the plate as seen from above with the start end below, so that the datum line runs upwards.
// Pins that locate are filled, those that do not are rings.
func Plate(d *jig.Design) *picture.Picture {
	f := &drawing{box: standing(d.Template.Outline).Bounds().Union(standing(d.Board.Outline).Bounds())}
	if onBlank(d) {
		f.box = f.box.Union(standing(d.Blank.Outline).Bounds())
	}
	f.name(d)
	f.size()
	f.parts(d)
	f.pins(d)
	f.zero(d)
	f.put(0, -1)
	f.put(1, 1)
	return f.done(d.Title)
}

// AltText is the picture in words, for those who do not see it.
func AltText(d *jig.Design) string {
	size := standing(d.Template.Outline).Bounds().Size()
	var pins []string
	for _, p := range d.Pins {
		pins = append(pins, fmt.Sprintf("%s (%s) at %s, %s", p.ID, p.Role, units.Decimal(p.At.X, 1),
			units.Decimal(p.At.Y, 1)))
	}
	what := "the board in the plate's window"
	if onBlank(d) {
		what = "the plate and the board in its blank"
	}
	return fmt.Sprintf("The plate from above, %s by %s mm: %s. Pins at u, v in mm: %s.", units.Decimal(size.Y, 1),
		units.Decimal(size.X, 1), what, strings.Join(pins, "; "))
}

// onBlank reports whether the board comes back in the waste that it was cut from.
func onBlank(d *jig.Design) bool { return d.Blank != nil && d.Template.Window == nil }

// stand turns the board frame so that u runs upwards.
var stand = geom.Rigid{Angle: math.Pi / 2}

func standing(l geom.Loop) geom.Loop { return stand.Loop(l) }

// name lists what is named beside the picture, on the side where it is.
func (f *drawing) name(d *jig.Design) {
	add := func(at geom.Vec, text string, pin bool) {
		at = stand.Apply(at)
		side := 1
		if at.X < -1e-6 {
			side = 0
		}
		f.labels[side] = append(f.labels[side], label{at, text, pin})
	}
	for _, p := range d.Pins {
		add(p.At, p.ID+" "+string(p.Role), true)
	}
	for _, ft := range d.Board.Features {
		name := ft.Name
		if ft.Side == "under" {
			name += " (under)"
		}
		add(ft.At, name, false)
	}
}

// size chooses the letters by the picture's size, which their own adds to.
func (f *drawing) size() {
	own := f.box.Size()
	for range 6 {
		w, h := own.X, own.Y+4*f.em
		for side := range f.labels {
			w += f.wide(side)
		}
		f.em = max(emOfWidth*w, emOfHeight*h)
	}
	// More than fit beside the picture: pins first, then what lies farthest apart.
	most := int(own.Y/(rowOfEm*f.em)) + 1
	for side := range f.labels {
		f.labels[side] = thinned(f.labels[side], most)
	}
}

// wide is the width that a side's labels and their leaders take.
func (f *drawing) wide(side int) float64 {
	w := 0.0
	for _, l := range f.labels[side] {
		w = max(w, picture.TextWidth(l.text, f.em*capOfEm))
	}
	return w + 2*f.em
}

// thinned leaves out features, evenly, where there are too many to be named.
func thinned(all []label, most int) []label {
	slices.SortStableFunc(all, func(a, b label) int { return cmp.Compare(a.at.Y, b.at.Y) })
	features, room := 0, most
	for _, l := range all {
		if l.pin {
			room--
		} else {
			features++
		}
	}
	if features <= room {
		return all
	}
	seen := 0
	return slices.DeleteFunc(all, func(l label) bool {
		if l.pin {
			return false
		}
		seen++
		return seen*max(room, 0)/features == (seen-1)*max(room, 0)/features
	})
}

// pen is a line as wide as a share of the letters.
func (f *drawing) pen(share float64, c picture.Colour) picture.Pen {
	return picture.Pen{WidthMM: share * f.em, Colour: c, Round: true}
}

// area fills contours, the later ones being holes, and draws them.
func (f *drawing) area(c picture.Colour, share float64, loops ...geom.Loop) {
	f.Add(picture.Fill{Loops: loops, Colour: c})
	for _, l := range loops {
		f.Loop(f.pen(share, Black), l)
	}
}

// parts draws blank, plate, window and board with its bores.
func (f *drawing) parts(d *jig.Design) {
	if onBlank(d) {
		f.area(Waste, 0.05, standing(d.Blank.Outline))
	}
	plate := []geom.Loop{standing(d.Template.Outline)}
	if d.Template.Window != nil {
		plate = append(plate, standing(d.Template.Window))
	}
	if !onBlank(d) {
		f.area(Sheet, 0.1, plate...)
	}
	board := []geom.Loop{standing(d.Board.Outline)}
	for _, l := range d.Board.Holes {
		board = append(board, standing(l))
	}
	f.area(Wood, 0.05, board...)
	if onBlank(d) {
		f.Loop(f.pen(0.1, Black), plate[0]) // it lies on the blank
	}
	thin := f.pen(0.05, Black)
	for _, k := range d.Board.KeepOut {
		b := standing(geom.Rect(k.Box)).Bounds()
		f.Box(thin, b)
		f.Line(thin, b.Min, b.Max)
		f.Line(thin, geom.Vec{X: b.Min.X, Y: b.Max.Y}, geom.Vec{X: b.Max.X, Y: b.Min.Y})
	}
	for _, ft := range d.Board.Features {
		at := stand.Apply(ft.At)
		if r := ft.BoreMM / 2; r > 0 {
			f.disc(at, r, Air)
		} else {
			f.cross(at, crossArm*f.em)
		}
	}
	for _, s := range d.Template.Stops {
		f.Line(f.pen(0.3, Mark), stand.Apply(s.A), stand.Apply(s.B))
	}
}

// disc draws a circle filled with a colour.
func (f *drawing) disc(at geom.Vec, r float64, c picture.Colour) {
	f.Add(picture.Fill{Loops: []geom.Loop{geom.Slot(at, 0, 0.001*r, 2*r)}, Colour: c},
		picture.Circle{Pen: f.pen(0.08, Black), C: at, R: r})
}

func (f *drawing) cross(at geom.Vec, arm float64) {
	thin := f.pen(0.08, Black)
	f.Line(thin, at.Add(geom.Vec{X: -arm}), at.Add(geom.Vec{X: arm}))
	f.Line(thin, at.Add(geom.Vec{Y: -arm}), at.Add(geom.Vec{Y: arm}))
}

// pins draws each pin's hole in the plate and the pin in it.
func (f *drawing) pins(d *jig.Design) {
	for _, p := range d.Pins {
		at, h := stand.Apply(p.At), p.Template
		if h.SlotMM > 0 {
			f.area(Air, 0.08, geom.Slot(at, h.SlotAngleUV+stand.Angle, h.SlotMM, h.MinMM))
		}
		fill := Black
		if p.Role == jig.Clear {
			fill = Air
		}
		f.disc(at, h.MinMM/2, fill)
	}
}

// zero marks the start of the datum line, where X0 Y0 is, with the machine's axes.
func (f *drawing) zero(d *jig.Design) {
	for axis, dir := range []geom.Vec{{X: 1}, {Y: 1}} {
		to := stand.Apply(d.Frame.ToMachine.Inverse().Apply(dir))
		to = to.Sub(stand.Apply(d.Frame.ToMachine.Inverse().Apply(geom.Vec{}))).Scale(2.4 * f.em)
		f.Line(f.pen(0.14, Mark), geom.Vec{}, to)
		head := to.Unit().Scale(0.5 * f.em)
		side := head.Left().Scale(0.5)
		f.Add(picture.Fill{Loops: []geom.Loop{geom.FromPoints([]geom.Vec{
			to.Add(head), to.Sub(side), to.Add(side),
		})}, Colour: Mark})
		letter := f.free(d, to.Add(head.Scale(2.2)), to.Add(side.Scale(4)), to.Sub(side.Scale(4)))
		f.Add(picture.Text{At: letter.Sub(geom.Vec{Y: 0.35 * f.em}), Height: f.em * capOfEm,
			Anchor: picture.Middle, Bold: true, S: []string{"X", "Y"}[axis]})
	}
	f.Circle(f.pen(0.14, Mark), geom.Vec{}, 0.35*f.em)
}

// free is the first of the places at which a letter touches no pin and no feature; the first where it does everywhere.
func (f *drawing) free(d *jig.Design, places ...geom.Vec) geom.Vec {
	const letter = 0.6 // half its diagonal, of em
	touches := func(at geom.Vec) bool {
		near := func(what geom.Vec, r float64) bool {
			return at.Dist(stand.Apply(what)) < r+letter*f.em
		}
		return slices.ContainsFunc(d.Pins, func(p jig.Pin) bool {
			return near(p.At, (p.Template.MinMM+p.Template.SlotMM)/2)
		}) || slices.ContainsFunc(d.Board.Features, func(ft jig.Feature) bool {
			return near(ft.At, max(ft.BoreMM/2, crossArm*f.em))
		})
	}
	if i := slices.IndexFunc(places, func(at geom.Vec) bool { return !touches(at) }); i >= 0 {
		return places[i]
	}
	return places[0]
}

// put writes the labels of a side in a column, each as near its place as the others let it.
func (f *drawing) put(side int, dir float64) {
	all, row := f.labels[side], rowOfEm*f.em
	ys := make([]float64, len(all))
	for i, l := range all {
		ys[i] = l.at.Y
		if i > 0 {
			ys[i] = max(ys[i], ys[i-1]+row)
		}
	}
	for i := len(ys) - 1; i >= 0; i-- { // what was pushed beyond the top comes down again
		top := f.box.Max.Y
		if i < len(ys)-1 {
			top = ys[i+1] - row
		}
		ys[i] = min(ys[i], top)
	}
	edge := f.box.Max.X
	anchor := picture.Start
	if dir < 0 {
		edge, anchor = f.box.Min.X, picture.End
	}
	for i, l := range all {
		end := geom.Vec{X: edge + dir*1.4*f.em, Y: ys[i]}
		f.Line(f.pen(0.05, Black), l.at, geom.Vec{X: edge + dir*0.3*f.em, Y: ys[i]}, end)
		f.Add(picture.Text{At: geom.Vec{X: end.X + dir*0.3*f.em, Y: ys[i] - 0.36*f.em}, Height: f.em * capOfEm,
			Anchor: anchor,
			Bold:   l.pin, S: l.text})
	}
}

// done frames what was drawn.
func (f *drawing) done(title string) *picture.Picture {
	mid := f.box.Center().X
	for _, e := range []struct {
		y float64
		s string
	}{{f.box.Max.Y + 0.9*f.em, "far end"}, {f.box.Min.Y - 1.6*f.em, "start end"}} {
		f.Add(picture.Text{At: geom.Vec{X: mid, Y: e.y}, Height: f.em * capOfEm, Anchor: picture.Middle, S: e.s})
	}
	ink := geom.EmptyBox()
	for _, it := range f.Items {
		ink = ink.Union(it.Ink())
	}
	ink = ink.Grow(0.3 * f.em)
	p := &picture.Picture{Title: title, Size: ink.Size()}
	for _, it := range f.Items {
		p.Add(it.Shifted(ink.Min.Scale(-1)))
	}
	return p
}
