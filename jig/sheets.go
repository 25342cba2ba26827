package jig

import (
	"math"

	"reseat/jig/geom"
	"reseat/jig/plate"
)

// Layers of the cut files: one operation and one colour each, since some
// programs see only the one and some only the other. Marks are engraved or drawn on,
// guides are neither cut nor marked.
var (
	layerRound  = Layer{"HOLE-ROUND", 5, true}
	layerSlot   = Layer{"HOLE-SLOT", 6, true}
	layerClear  = Layer{"HOLE-CLEAR", 4, true}
	layerWindow = Layer{"WINDOW", 2, true}
	layerEdge   = Layer{"EDGE", 1, true}
	layerMark   = Layer{"MARK-ID", 3, false}
	layerBoard  = Layer{"GUIDE-BOARD", 7, false}
	layerStrip  = Layer{"GUIDE-STRIP", 7, false}
	layerPlate  = Layer{"GUIDE-PLATE", 7, false}
)

func layerOf(r Role) Layer {
	switch r {
	case Round:
		return layerRound
	case Slot:
		return layerSlot
	}
	return layerClear
}

// sheetMaker collects the shapes of one cut file in the machine's axes.
type sheetMaker struct {
	sheet  CutSheet
	place  geom.Rigid // board frame -> file
	layers map[string]bool
}

// filePlace returns the move from the board frame into a file in the machine's
// axes whose lower left is that of the edge, and the edge's size there.
func filePlace(frame Frame, edge geom.Loop) (geom.Rigid, geom.Vec) {
	box := frame.ToMachine.Loop(edge).Bounds()
	place := frame.ToMachine
	place.Shift = place.Shift.Sub(box.Min)
	return place, box.Size()
}

// newSheet makes a file whose lower left is the lower left of the drawn edge.
func newSheet(file string, frame Frame, edge geom.Loop, kerf float64) *sheetMaker {
	place, size := filePlace(frame, edge.Offset(kerf/2))
	return &sheetMaker{
		sheet: CutSheet{
			File: file, Size: size, Origin: place.Apply(geom.Vec{}), KerfMM: kerf,
		},
		place:  place,
		layers: map[string]bool{},
	}
}

func (m *sheetMaker) use(l Layer) string {
	if !m.layers[l.Name] {
		m.layers[l.Name] = true
		m.sheet.Layers = append(m.sheet.Layers, l)
	}
	return l.Name
}

func (m *sheetMaker) loop(l Layer, c geom.Loop) {
	m.sheet.Shapes = append(m.sheet.Shapes, Shape{Layer: m.use(l), Loop: m.place.Loop(c)})
}

func (m *sheetMaker) hole(p Pin, h Hole) {
	l := layerOf(h.Role)
	if h.SlotMM > 0 {
		m.loop(l, geom.Slot(p.At, h.SlotAngle, h.SlotMM, h.DrawnMM))
		return
	}
	m.sheet.Shapes = append(m.sheet.Shapes, Shape{
		Layer: m.use(l), Center: m.place.Apply(p.At), R: h.DrawnMM / 2,
	})
}

// marks adds single strokes, each once.
func (m *sheetMaker) marks(all []Mark) {
	for _, k := range all {
		for _, s := range k.Strokes {
			// A ring, such as the bowl of a P, is a closed contour.
			ring := len(s) > 3 && s[0] == s[len(s)-1]
			if ring {
				s = s[:len(s)-1]
			}
			l := make(geom.Loop, len(s))
			for i, p := range s {
				l[i] = geom.Vertex{Vec: m.place.Apply(p)}
			}
			m.sheet.Shapes = append(m.sheet.Shapes, Shape{Layer: m.use(layerMark), Loop: l, Open: !ring})
		}
	}
}

// cutSheets makes the DXF contents: template, blank, bed.
func cutSheets(d *Design) []CutSheet {
	k := d.Template.KerfMM / 2
	m := newSheet("template.dxf", d.Frame, d.Template.Outline, 2*k)
	for _, p := range d.Pins {
		m.hole(p, p.Template)
	}
	if d.Template.Window != nil {
		m.loop(layerWindow, d.Template.Window.Offset(-k))
	}
	m.loop(layerEdge, d.Template.Outline.Offset(k))
	m.marks(d.Template.Marks)
	out := []CutSheet{m.sheet}
	if b := d.Blank; b != nil {
		m := newSheet("blank.dxf", d.Frame, b.Outline, 0)
		for _, p := range d.Pins {
			m.hole(p, *p.Blank)
		}
		m.loop(layerEdge, b.Outline)
		m.marks(b.Marks)
		m.loop(layerBoard, d.Board.Outline)
		for _, s := range b.Strips {
			m.loop(layerStrip, s)
		}
		out = append(out, m.sheet)
	}
	m = newSheet("bed.dxf", d.Frame, d.Bed.Outline, 0)
	for _, p := range d.Pins {
		m.hole(p, p.Bed)
	}
	m.loop(layerEdge, d.Bed.Outline)
	m.marks(d.Bed.Marks)
	m.loop(layerBoard, d.Board.Outline)
	m.loop(layerPlate, d.Template.Outline)
	return append(out, m.sheet)
}

// bedOutline is the job's bed, centred under the board, or the least sacrificial
// board that carries plate and blank with bedRimMM to spare.
func bedOutline(d *Design, length, width float64) geom.Loop {
	if length > 0 && width > 0 {
		return plate.Under(d.Board.LengthMM, length, width)
	}
	box := d.Template.Outline.Bounds()
	if d.Blank != nil {
		box = box.Union(d.Blank.Outline.Bounds())
	}
	box = box.Grow(bedRimMM)
	round := func(x float64) float64 { return math.Round(x*1e3) / 1e3 }
	box.Min = geom.Vec{X: round(box.Min.X), Y: round(box.Min.Y)}
	box.Max = geom.Vec{X: round(box.Max.X), Y: round(box.Max.Y)}
	return geom.Rect(box)
}

// bedRimMM is the sacrificial board's rim round what lies on it, room for tape or
// a clamp. Common practice, no source.
const bedRimMM = 15.0
