package plate

import (
	"reseat/jig/geom"
	"reseat/jig/offset"
)

// Sheet is one flat cut file: shapes in file coordinates, lower left at (0, 0).
type Sheet struct {
	File   string   `json:"file"`
	Origin geom.Vec `json:"origin_mm"` // where the datum line's start lies in the file
	Size   geom.Vec `json:"size_mm"`
	// KerfMM is 0 for true size; otherwise holes are smaller and outlines larger by it, on the
	// diameter.
	KerfMM float64 `json:"kerf_applied_mm"`
	Layers []Layer `json:"layers"`
	Shapes []Shape // holes first, outlines last, as they are to be cut
}

// Layer is one operation of a cut sheet.
type Layer struct {
	Name   string `json:"name"`   // A-Z 0-9 _ -, at most 31
	Colour int    `json:"colour"` // AutoCAD colour index 1..7, one per layer
	Cut    bool   `json:"cut"`    // false: a mark or a guide, not cut
}

// Shape is one contour on a layer: a circle when R > 0, an open stroke when
// Open is set, otherwise a closed loop.
type Shape struct {
	Layer  string
	Center geom.Vec
	R      float64
	Loop   geom.Loop
	Open   bool
}

// Layers of the cut files: one operation and one colour each, since some
// programs see only the one and some only the other. Marks are engraved or drawn on,
// guides are neither cut nor marked.
const (
	RoundHoles = "HOLE-ROUND"
	SlotHoles  = "HOLE-SLOT"
	ClearHoles = "HOLE-CLEAR"
	Opening    = "WINDOW"
	Edge       = "EDGE"
	Marking    = "MARK-ID"
	BoardGuide = "GUIDE-BOARD"
	StripGuide = "GUIDE-STRIP"
	PlateGuide = "GUIDE-PLATE"
)

var layers = map[string]Layer{
	RoundHoles: {RoundHoles, 5, true},
	SlotHoles:  {SlotHoles, 6, true},
	ClearHoles: {ClearHoles, 4, true},
	Opening:    {Opening, 2, true},
	Edge:       {Edge, 1, true},
	Marking:    {Marking, 3, false},
	BoardGuide: {BoardGuide, 7, false},
	StripGuide: {StripGuide, 7, false},
	PlateGuide: {PlateGuide, 7, false},
}

// Place returns the move from the board frame into a file in the frame's axes whose
// lower left is that of the edge, and the edge's size there.
func Place(frame geom.Rigid, edge geom.Loop) (geom.Rigid, geom.Vec) {
	box := frame.Loop(edge).Bounds()
	frame.Shift = frame.Shift.Sub(box.Min)
	return frame, box.Size()
}

// Lay puts shapes of the board frame, each on one of the layers above, into a file in
// the frame's axes whose lower left is that of the edge as it is drawn, half a kerf
// outside.
func Lay(file string, frame geom.Rigid, edge geom.Loop, kerf float64, shapes []Shape) Sheet {
	var drawn geom.Loop
	for _, s := range Moved(Edge, edge, kerf/2) {
		drawn = append(drawn, s.Loop...)
	}
	place, size := Place(frame, drawn)
	out := Sheet{File: file, Size: size, Origin: place.Apply(geom.Vec{}), KerfMM: kerf}
	used := map[string]bool{}
	for _, s := range shapes {
		if !used[s.Layer] {
			used[s.Layer] = true
			out.Layers = append(out.Layers, layers[s.Layer])
		}
		if s.R > 0 {
			s.Center = place.Apply(s.Center)
		} else {
			s.Loop = place.Loop(s.Loop)
		}
		out.Shapes = append(out.Shapes, s)
	}
	return out
}

// Moved is the contour moved outward by d (inward for d < 0) with mitred corners, on a
// layer: the middle of the cut that leaves the contour itself. It falls apart where the cut
// is wider than what it runs in.
func Moved(layer string, l geom.Loop, d float64) []Shape {
	var out []Shape
	for _, m := range offset.Of([]geom.Loop{l}, d, offset.Mitre) {
		out = append(out, Shape{Layer: layer, Loop: m})
	}
	return out
}

// Hole is a pin hole on a layer: a circle, or a slot of the given travel.
func Hole(layer string, at geom.Vec, diameter, travel, angle float64) Shape {
	if travel > 0 {
		return Shape{Layer: layer, Loop: geom.Slot(at, angle, travel, diameter)}
	}
	return Shape{Layer: layer, Center: at, R: diameter / 2}
}

// Strokes are the single strokes of marks, each once.
func Strokes(marks []Mark) []Shape {
	var out []Shape
	for _, k := range marks {
		for _, s := range k.Strokes {
			// A ring, such as the bowl of a P, is a closed contour.
			ring := len(s) > 3 && s[0] == s[len(s)-1]
			if ring {
				s = s[:len(s)-1]
			}
			out = append(out, Shape{Layer: Marking, Loop: geom.FromPoints(s), Open: !ring})
		}
	}
	return out
}
