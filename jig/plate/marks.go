package plate

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

// Mark is a mark on a part: open strokes in the board frame, to engrave or to draw.
type Mark struct {
	Says     string // "P1", "START"
	HeightMM float64
	Strokes  [][]geom.Vec
}

// Markable is the room for marks on one part.
type Markable struct {
	Outline geom.Loop   // marks lie inside
	Holes   []Circle    // and outside these
	Bars    []geom.Loop // and these: the window, the board, rails
	Marks   []Mark      // that it has already
	Turn    float64     // writing direction, radians from +u
}

// Mark writes the word START and a name beside each hole, in their order. A text
// without room is left out, since a mark is a help and not a measure.
func (m Markable) Mark(names []string) []Mark {
	box, room := m.Outline.Bounds(), m.room()
	out := room.write(nil, "START", func(size geom.Vec) []geom.Vec {
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
	for i, name := range names {
		h := m.Holes[i]
		out = room.write(out, name, func(size geom.Vec) []geom.Vec {
			away := h.R + markRoomMM + size.X/2 + 1
			rise := h.R + markRoomMM + size.Y/2 + 1
			var out []geom.Vec
			for _, d := range []geom.Vec{{X: away}, {X: -away}, {Y: rise}, {Y: -rise}} {
				out = append(out, h.At.Add(geom.Rigid{Angle: m.Turn}.Apply(d)))
			}
			return out
		})
	}
	return out
}

// Number writes a text where there is room, near the part's middle; none without.
func (m Markable) Number(says string) []Mark {
	box := m.Outline.Bounds()
	return m.room().write(nil, says, func(geom.Vec) []geom.Vec {
		var out []geom.Vec
		for _, du := range []float64{0, -0.1, 0.1, -0.2, 0.2, -0.3, 0.3, -0.4, 0.4} {
			for _, dv := range []float64{0.4, 0.35, 0.3, 0.25, 0.2, 0.1, 0, -0.1, -0.2, -0.25, -0.3, -0.35, -0.4} {
				out = append(out, geom.Vec{X: box.Center().X + du*box.Size().X, Y: box.Center().Y + dv*box.Size().Y})
			}
		}
		return out
	})
}

// room is where marks may lie, prepared for many places.
type room struct {
	Markable
	inside  *geom.Prepared
	outside []*geom.Prepared
}

func (m Markable) room() room {
	r := room{Markable: m, inside: geom.Prepare(m.Outline)}
	for _, l := range m.Bars {
		r.outside = append(r.outside, geom.Prepare(l))
	}
	return r
}

// write adds the text at the first of the middles, and in the tallest letters, that has
// room for it beside those that stand.
func (m room) write(stand []Mark, says string, middles func(size geom.Vec) []geom.Vec) []Mark {
	for _, h := range markHeights {
		strokes, err := stroke.Text(says, h)
		if err != nil {
			return stand
		}
		ink := stroke.Bounds(strokes)
		for _, c := range middles(ink.Size()) {
			if !m.fits(stand, c, ink.Size()) {
				continue
			}
			place := geom.Rigid{Angle: m.Turn}
			place.Shift = c.Sub(place.Apply(ink.Center()))
			return append(stand, Mark{says, h, stroke.Place(strokes, place)})
		}
	}
	return stand
}

// fits reports whether a box of the size, turned with the writing about its middle c,
// lies clear.
func (m room) fits(stand []Mark, c geom.Vec, size geom.Vec) bool {
	along, up := geom.Polar(size.X/2, m.Turn), geom.Polar(size.Y/2, m.Turn+math.Pi/2)
	box := geom.EmptyBox()
	// Probes over the box are enough: nothing here is thinner than a letter.
	const probes = 6
	for i := range probes + 1 {
		for k := range probes + 1 {
			p := c.Add(along.Scale(2*float64(i)/probes - 1)).Add(up.Scale(2*float64(k)/probes - 1))
			if !m.clear(p) {
				return false
			}
			box = box.Include(p)
		}
	}
	for _, marks := range [][]Mark{m.Marks, stand} {
		for _, k := range marks {
			t := stroke.Bounds(k.Strokes).Grow(markRoomMM)
			if box.Min.X < t.Max.X && t.Min.X < box.Max.X && box.Min.Y < t.Max.Y && t.Min.Y < box.Max.Y {
				return false
			}
		}
	}
	return true
}

// clear reports whether a point keeps its distance from all that is cut.
func (m room) clear(p geom.Vec) bool {
	if m.inside.Depth(p) < markRoomMM {
		return false
	}
	for _, h := range m.Holes {
		if p.Dist(h.At) < h.R+markRoomMM {
			return false
		}
	}
	for _, l := range m.outside {
		if l.Depth(p) > -markRoomMM {
			return false
		}
	}
	return true
}
