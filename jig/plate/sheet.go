package plate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/offset"
	"reseat/jig/units"
)

// Sheet is one flat cut file: shapes in file coordinates, lower left at (0, 0).
type Sheet struct {
	File   string   `json:"file"`
	Origin geom.Vec `json:"origin_mm"` // where the datum line's start lies in the file
	Size   geom.Vec `json:"size_mm"`
	// KerfMM is 0 for true size; otherwise holes are smaller and outlines larger by it, on the
	// diameter.
	KerfMM float64 `json:"kerf_applied_mm"`
	// EdgeMM is the like of window and outline alone: by how much straight openings come out wider.
	EdgeMM float64 `json:"edge_applied_mm,omitempty"`
	// KerfToMM and EdgeToMM are the most of either where several parts lie on the sheet, each with
	// its own; 0: all have the same.
	KerfToMM float64 `json:"kerf_applied_to_mm,omitempty"`
	EdgeToMM float64 `json:"edge_applied_to_mm,omitempty"`
	// DrawnX and DrawnY are how many times as long as it shall be everything but a hole's size is
	// drawn along X and Y; 0: as it shall be.
	DrawnX float64 `json:"drawn_x_times,omitempty"`
	DrawnY float64 `json:"drawn_y_times,omitempty"`
	Stock
	Coupon bool     `json:"coupon,omitempty"` // a test piece, drawn to size so that it shows what a cut takes out
	Notes  []string `json:"notes,omitempty"`  // further words for the head of the file
	Layers []Layer  `json:"layers"`
	Shapes []Shape  // as they are to be cut: marks, holes, the smallest first, window, outline

	counts []string // where several parts lie: how many openings of which size; nil: those of its shapes
	apart  bool     // a coupon among parts: what is applied to them is not to it
}

// Stock is what a sheet is cut from.
type Stock struct {
	Material    string  `json:"material"`
	ThicknessMM float64 `json:"thickness_mm"`
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
// programs see only the one and some only the other. Every program knows seven colours: as
// many operations there are. Marks are engraved or drawn on; guides, each in a layer of its own,
// and notes are neither cut nor marked. A file has one layer of notes, whose name says
// what is applied; what is written on it may have found no room.
const (
	RoundHoles  = "HOLE-ROUND" // whichever way the hole locates
	SlotHoles   = "HOLE-SLOT"
	Opening     = "WINDOW"
	Edge        = "EDGE"
	Marking     = "MARK-ID"
	BoardGuide  = "GUIDE-BOARD"
	StripGuide  = "GUIDE-STRIP"
	BridgeGuide = "GUIDE-BRIDGE"
	PlateGuide  = "GUIDE-PLATE"
	TrueSize    = "NOTE-TRUE-SIZE"
	KerfNote    = "NOTE-KERF-APPLIED"
	EdgeNote    = "NOTE-EDGE-APPLIED"
)

var layers = map[string]Layer{
	RoundHoles:  {RoundHoles, 5, true},
	SlotHoles:   {SlotHoles, 6, true},
	Opening:     {Opening, 2, true},
	Edge:        {Edge, 1, true},
	Marking:     {Marking, 3, false},
	BoardGuide:  {BoardGuide, 4, false},
	StripGuide:  {StripGuide, 4, false},
	BridgeGuide: {BridgeGuide, 4, false},
	PlateGuide:  {PlateGuide, 4, false},
	TrueSize:    {TrueSize, 7, false},
	KerfNote:    {KerfNote, 7, false},
	EdgeNote:    {EdgeNote, 7, false},
}

// note is the layer of the sheet's notes.
func (s *Sheet) note() string {
	switch {
	case s.KerfMM != 0:
		return KerfNote
	case s.EdgeMM != 0:
		return EdgeNote
	}
	return TrueSize
}

// Ranks of shapes in the order of work. What is engraved or cut within a part comes before
// what frees it: a part that is cut out may move.
const (
	notWorked = iota // notes and guides
	engraved
	cutHole
	cutOpening
	cutOutline
)

func rank(layer string) int {
	switch layer {
	case Marking:
		return engraved
	case RoundHoles, SlotHoles:
		return cutHole
	case Opening:
		return cutOpening
	case Edge:
		return cutOutline
	}
	return notWorked
}

// bounds is the box of a shape, arcs included.
func (s Shape) bounds() geom.Box {
	if s.R > 0 {
		return geom.Box{Min: s.Center, Max: s.Center}.Grow(s.R)
	}
	return s.Loop.Bounds()
}

// Area is what a closed shape encloses, in mm2.
func (s Shape) Area() float64 {
	if s.R > 0 {
		return math.Pi * s.R * s.R
	}
	return math.Abs(s.Loop.Area())
}

// contains reports whether a point lies within a closed shape.
func (s Shape) contains(p geom.Vec) bool {
	if s.R > 0 {
		return p.Dist(s.Center) < s.R
	}
	return s.Loop.Contains(p)
}

// chords are the lines of a shape, arcs laid out in chords to a tenth of a millimetre.
func (s Shape) chords() []geom.Edge {
	const tolMM = 0.1
	loop := s.Loop
	if s.R > 0 {
		loop = geom.Slot(s.Center, 0, 0, 2*s.R)
	}
	pts := loop.Flatten(tolMM)
	var out []geom.Edge
	for i, p := range pts {
		if q := pts[(i+1)%len(pts)]; !s.Open || i < len(pts)-1 {
			out = append(out, geom.Edge{P: p, Q: q})
		}
	}
	return out
}

// ToFile returns the move from the board frame into a file in the frame's axes whose
// lower left is that of the edge, and the edge's size there.
func ToFile(frame geom.Rigid, edge geom.Loop) (geom.Rigid, geom.Vec) {
	box := frame.Loop(edge).Bounds()
	frame.Shift = frame.Shift.Sub(box.Min)
	return frame, box.Size()
}

// Compensation is what is taken off in a cut file.
type Compensation struct {
	KerfMM float64  // on the diameter, of everything
	EdgeMM float64  // the like of window and outline alone
	Drawn  geom.Vec // how many times as long as it shall be a length is drawn along X and Y; zero: 1
	Coupon bool     // nothing: the piece is to be measured
}

// Lay puts shapes of the board frame, each on one of the layers above, into a file in
// the frame's axes whose lower left is that of the edge as it is drawn, half of what is cut
// wider outside. They are put in the order of work, and the layers with them.
func Lay(file string, frame geom.Rigid, edge geom.Loop, cut Compensation, of Stock, shapes []Shape) Sheet {
	var drawn geom.Loop
	for _, s := range OffsetShapes(Edge, edge, (cut.KerfMM+cut.EdgeMM)/2) {
		drawn = append(drawn, s.Loop...)
	}
	place, size := ToFile(frame, drawn)
	out := Sheet{File: file, KerfMM: cut.KerfMM, EdgeMM: cut.EdgeMM, Stock: of, Coupon: cut.Coupon}
	at := place.Apply
	if one := (geom.Vec{X: 1, Y: 1}); cut.Drawn != one && cut.Drawn != (geom.Vec{}) {
		out.DrawnX, out.DrawnY = cut.Drawn.X, cut.Drawn.Y
		at = func(v geom.Vec) geom.Vec {
			v = place.Apply(v)
			return geom.Vec{X: v.X * cut.Drawn.X, Y: v.Y * cut.Drawn.Y}
		}
		size = geom.Vec{X: size.X * cut.Drawn.X, Y: size.Y * cut.Drawn.Y}
	}
	out.Size, out.Origin = size, at(geom.Vec{})
	for _, s := range shapes {
		if s.R > 0 {
			s.Center = at(s.Center)
		} else {
			s.Loop = slices.Clone(s.Loop)
			for i := range s.Loop {
				s.Loop[i].Vec = at(s.Loop[i].Vec)
			}
		}
		if b := s.bounds(); s.Layer == Edge && (b.Min.X > size.X || b.Min.Y > size.Y) { // a further part, beside the first
			out.Size = geom.Vec{X: math.Max(out.Size.X, b.Max.X), Y: math.Max(out.Size.Y, b.Max.Y)}
		}
		out.Shapes = append(out.Shapes, s)
	}
	slices.SortStableFunc(out.Shapes, func(a, b Shape) int {
		order := cmp.Compare(rank(a.Layer), rank(b.Layer))
		if order == 0 && rank(a.Layer) == cutHole {
			order = cmp.Compare(holeSize(a), holeSize(b))
		}
		return order
	})
	out.Shapes = append(out.caption(), out.Shapes...)
	out.Layers = out.layers()
	return out
}

// layers lists the layer of notes and those in use in the order of work, those of one rank as
// they come.
func (s *Sheet) layers() []Layer {
	out := []Layer{layers[s.note()]}
	for _, sh := range s.Shapes {
		if l := layers[sh.Layer]; !slices.Contains(out, l) {
			out = append(out, l)
		}
	}
	slices.SortStableFunc(out, func(a, b Layer) int { return cmp.Compare(rank(a.Name), rank(b.Name)) })
	return out
}

// Lying is a part on a sheet of stock.
type Lying struct {
	Part   Sheet
	Name   string   // engraved on it; a coupon has its own
	At     geom.Vec // its lower left
	Turned bool     // by a quarter, counter-clockwise
}

// Join draws parts on one sheet of stock, one after the other: what is cut in a part comes before
// its outline, so that no part is free before it is done. They are of one stock and one scale; what is
// applied to each is its own, nothing to a coupon. Parts of one name are copies, of which the first
// says its size.
func Join(file string, parts []Lying, notes ...string) Sheet {
	out := parts[0].Part
	out.File, out.Origin, out.Size, out.Notes, out.Shapes = file, geom.Vec{}, geom.Vec{}, notes, nil
	out.counts, out.Coupon = nil, false
	out.KerfMM, out.KerfToMM = span(parts, func(s Sheet) float64 { return s.KerfMM })
	out.EdgeMM, out.EdgeToMM = span(parts, func(s Sheet) float64 { return s.EdgeMM })
	var counted []Shape
	var pieces []string
	labels := map[string][]Shape{} // of parts that were met, by name
	for _, l := range parts {
		out.DrawnX, out.DrawnY = cmp.Or(out.DrawnX, l.Part.DrawnX), cmp.Or(out.DrawnY, l.Part.DrawnY)
		shapes := slices.Clone(l.Part.Shapes)
		label, met := labels[l.Name]
		if l.Part.Coupon || met { // a coupon's note would be held for that of all; copies need none
			shapes = slices.DeleteFunc(shapes, func(s Shape) bool { return s.Layer == l.Part.note() })
		}
		if l.Part.Coupon {
			pieces = append(pieces, fmt.Sprintf("%s: %s", l.Name, strings.Join(counts(l.Part.Shapes, true), ", ")))
		} else {
			first := slices.IndexFunc(shapes, func(s Shape) bool { return rank(s.Layer) > engraved })
			if !met {
				label = l.Part.Label(l.Name)
				labels[l.Name] = label
			}
			shapes = slices.Insert(shapes, first, label...)
			counted = append(counted, shapes...)
		}
		box := geom.EmptyBox()
		for _, s := range shapes {
			s = s.laid(l.At, l.Turned, l.Part.Size.Y)
			out.Shapes = append(out.Shapes, s)
			box = box.Union(s.bounds())
		}
		out.Size = geom.Vec{X: math.Max(out.Size.X, box.Max.X), Y: math.Max(out.Size.Y, box.Max.Y)}
	}
	out.apart = len(counted) > 0 && len(pieces) > 0
	out.counts = append(counts(counted, false), pieces...)
	out.Layers = out.layers()
	return out
}

// span is the least and the most of what is applied to parts, those apart to which nothing is; the
// most is 0 when all have the same.
func span(parts []Lying, of func(Sheet) float64) (least, most float64) {
	for _, l := range parts {
		if mm := of(l.Part); mm != 0 {
			if least == 0 {
				least, most = mm, mm
			}
			least, most = math.Min(least, mm), math.Max(most, mm)
		}
	}
	if most == least {
		most = 0
	}
	return least, most
}

// laid moves a shape of a part of the given height, turned by a quarter or not, so that
// the part's lower left comes to a place. A quarter turn changes places of numbers and no digit.
func (s Shape) laid(at geom.Vec, turned bool, height float64) Shape {
	move := func(p geom.Vec) geom.Vec {
		if turned {
			p = geom.Vec{X: height - p.Y, Y: p.X}
		}
		return p.Add(at)
	}
	s.Center = move(s.Center)
	loop := slices.Clone(s.Loop)
	for i := range loop {
		loop[i].Vec = move(loop[i].Vec)
	}
	s.Loop = loop
	return s
}

// OffsetShapes is the contour moved outward by d (inward for d < 0) with mitred corners, on a
// layer: the middle of the cut that leaves the contour itself. It falls apart where the cut
// is wider than what it runs in.
func OffsetShapes(layer string, l geom.Loop, d float64) []Shape {
	var out []Shape
	for _, m := range offset.Grow([]geom.Loop{l}, d, offset.Mitre) {
		out = append(out, Shape{Layer: layer, Loop: m.WithoutShort()})
	}
	return out
}

// holeSize is how large a hole is over all, to a micrometre, so that holes of one size keep
// their order.
func holeSize(s Shape) float64 {
	_, long := slotSize(s.Loop)
	return units.Round(math.Max(long, 2*s.R), 3)
}

// Hole is a hole to be cut: a circle, or a slot of the given travel.
func Hole(at geom.Vec, diameter, travel, angle float64) Shape {
	if travel > 0 {
		return Shape{Layer: SlotHoles, Loop: geom.Slot(at, angle, travel, diameter)}
	}
	return Shape{Layer: RoundHoles, Center: at, R: diameter / 2}
}

// Strokes are the single strokes of marks, each once.
func Strokes(marks []Mark) []Shape {
	var out []Shape
	for _, k := range marks {
		out = append(out, strokes(Marking, k.Strokes)...)
	}
	return out
}

func strokes(layer string, lines [][]geom.Vec) (out []Shape) {
	for _, s := range lines {
		// A ring, such as the bowl of a P, is a closed contour.
		ring := len(s) > 3 && s[0] == s[len(s)-1]
		if ring {
			s = s[:len(s)-1]
		}
		out = append(out, Shape{Layer: layer, Loop: geom.FromPoints(s), Open: !ring})
	}
	return out
}
