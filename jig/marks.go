package jig

import (
	"math"

	"reseat/jig/geom"
	"reseat/jig/stroke"
)

// Every part says which way it lies: the pins' numbers beside their holes, and the
// word START with an arrow at the start end, left of the datum line, where the plate
// has its notch.

// markHeights are the heights of letters that are tried, tallest first; below the
// last a mark is left out. Common practice, no source.
var markHeights = []float64{5, 4, 3}

// markRoomMM is kept between a mark and what is cut, so that a heavy engraving does
// not run into it. Common practice, no source.
const markRoomMM = 1.0

// marker finds room for the marks of one part.
type marker struct {
	part  geom.Loop   // marks lie inside
	holes []markHole  // and outside these
	bars  []geom.Loop // and these: the window, the board, rails
	taken []geom.Box
	turn  float64 // writing direction, radians from +u: along the machine's X
	marks []Mark
}

type markHole struct {
	at geom.Vec
	r  float64
}

// fits reports whether the box, turned by m.turn about its middle c, lies clear.
func (m *marker) fits(c geom.Vec, size geom.Vec) bool {
	h := size.Scale(0.5)
	along, up := geom.Polar(1, m.turn), geom.Polar(1, m.turn+math.Pi/2)
	box := geom.EmptyBox()
	for _, k := range [][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		box = box.Include(c.Add(along.Scale(k[0] * h.X)).Add(up.Scale(k[1] * h.Y)))
	}
	// Probes over the box are enough: nothing here is thinner than a letter.
	const probes = 6
	for i := range probes + 1 {
		for k := range probes + 1 {
			p := c.Add(along.Scale(h.X * (2*float64(i)/probes - 1))).Add(up.Scale(h.Y * (2*float64(k)/probes - 1)))
			if m.part.Depth(p) < markRoomMM {
				return false
			}
			for _, q := range m.holes {
				if p.Dist(q.at) < q.r+markRoomMM {
					return false
				}
			}
			for _, l := range m.bars {
				if l.Depth(p) > -markRoomMM {
					return false
				}
			}
		}
	}
	for _, t := range m.taken {
		if box.Min.X < t.Max.X && t.Min.X < box.Max.X && box.Min.Y < t.Max.Y && t.Min.Y < box.Max.Y {
			return false
		}
	}
	m.taken = append(m.taken, box.Grow(markRoomMM))
	return true
}

// write sets the text at the first middle with room for it; a text without room is
// left out, since a mark is a help and not a measure.
func (m *marker) write(says string, middles func(size geom.Vec) []geom.Vec) {
	for _, h := range markHeights {
		strokes, err := stroke.Text(says, h)
		if err != nil {
			return
		}
		ink := stroke.Bounds(strokes)
		size := ink.Size()
		for _, c := range middles(size) {
			if !m.fits(c, size) {
				continue
			}
			place := geom.Rigid{Angle: m.turn}
			place.Shift = c.Sub(place.Apply(ink.Center()))
			m.marks = append(m.marks, Mark{says, h, stroke.Place(strokes, place)})
			return
		}
	}
}

// mark writes the pins' numbers and the start end.
func (m *marker) mark(pins []Pin) []Mark {
	box := m.part.Bounds()
	word := "START"
	m.write(word, func(size geom.Vec) []geom.Vec {
		// Inward of the notch, left of the datum line, then nearer to it.
		var out []geom.Vec
		reach := math.Hypot(size.X, size.Y) / 2
		for _, v := range []float64{box.Max.Y - reach - 4, box.Max.Y / 2, box.Max.Y / 3} {
			for _, u := range []float64{box.Min.X + reach + 4, box.Min.X + reach + 8, box.Min.X + size.Y/2 + 5} {
				out = append(out, geom.Vec{X: u, Y: v})
			}
		}
		return out
	})
	for i, p := range pins {
		m.write(p.ID, func(size geom.Vec) []geom.Vec {
			away := m.holes[i].r + markRoomMM + size.X/2 + 1
			rise := m.holes[i].r + markRoomMM + size.Y/2 + 1
			var out []geom.Vec
			for _, d := range []geom.Vec{{X: away}, {X: -away}, {Y: rise}, {Y: -rise}} {
				out = append(out, p.At.Add(geom.Rigid{Angle: m.turn}.Apply(d)))
			}
			return out
		})
	}
	return m.marks
}

// marks marks template, blank and bed. Writing runs along the machine's X, as the
// files lie.
func (b *builder) marks() {
	turn := -b.d.Frame.ToMachine.Angle
	holes := func(of func(Pin) Hole) []markHole {
		out := make([]markHole, len(b.d.Pins))
		for i, p := range b.d.Pins {
			h := of(p)
			out[i] = markHole{p.At, (h.MaxMM + h.SlotMM) / 2}
		}
		return out
	}
	t := &marker{part: b.d.Template.Outline, holes: holes(func(p Pin) Hole { return widerOf(p.Template, p.Print) }), turn: turn}
	if b.d.Template.Window != nil {
		t.bars = append(t.bars, b.d.Template.Window)
	}
	if r := b.d.Rails; r != nil {
		t.bars = append(t.bars, r.Outlines...)
	}
	if s := b.d.Split; s != nil {
		// No mark on a joint.
		box := b.d.Template.Outline.Bounds()
		for _, u := range s.SeamsMM {
			t.bars = append(t.bars, geom.Rect(geom.Box{
				Min: geom.Vec{X: u, Y: box.Min.Y}, Max: geom.Vec{X: u + keyShare*mostKeyMM, Y: box.Max.Y},
			}))
		}
	}
	b.d.Template.Marks = t.mark(b.d.Pins)
	if k := b.d.Blank; k != nil {
		m := &marker{part: k.Outline, holes: holes(func(p Pin) Hole { return *p.Blank }), turn: turn, bars: []geom.Loop{b.d.Board.Outline}}
		m.bars = append(m.bars, k.Strips...)
		k.Marks = m.mark(b.d.Pins)
	}
	m := &marker{part: b.d.Bed.Outline, holes: holes(func(p Pin) Hole { return p.Bed }), turn: turn, bars: []geom.Loop{b.d.Board.Outline}}
	b.d.Bed.Marks = m.mark(b.d.Pins)
}

// partMark numbers one piece of a split plate where there is room, near its middle.
func (b *builder) partMark(k piece, says string) []Mark {
	m := &marker{part: k.outline, turn: -b.d.Frame.ToMachine.Angle}
	for _, p := range b.d.Pins {
		h := widerOf(p.Template, p.Print)
		m.holes = append(m.holes, markHole{p.At, (h.MaxMM + h.SlotMM) / 2})
	}
	if b.d.Rails != nil {
		m.bars = append(m.bars, b.d.Rails.Outlines...)
	}
	if k.window != nil {
		m.bars = append(m.bars, k.window)
	}
	for _, t := range b.d.Template.Marks {
		m.taken = append(m.taken, markBox(t).Grow(markRoomMM))
	}
	box := k.outline.Bounds()
	m.write(says, func(geom.Vec) []geom.Vec {
		var out []geom.Vec
		for _, du := range []float64{0, -0.1, 0.1, -0.2, 0.2, -0.3, 0.3, -0.4, 0.4} {
			for _, dv := range []float64{0.4, 0.35, 0.3, 0.25, 0.2, 0.1, 0, -0.1, -0.2, -0.25, -0.3, -0.35, -0.4} {
				out = append(out, geom.Vec{
					X: box.Center().X + du*box.Size().X, Y: box.Center().Y + dv*box.Size().Y,
				})
			}
		}
		return out
	})
	return m.marks
}

// markBox is the box round a mark's strokes in the board frame.
func markBox(m Mark) geom.Box { return stroke.Bounds(m.Strokes) }

func widerOf(a, b Hole) Hole {
	if b.MaxMM+b.SlotMM > a.MaxMM+a.SlotMM {
		return b
	}
	return a
}
