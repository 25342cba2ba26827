package coupon

import (
	"math"
	"slices"

	"reseat/jig/geom"
	"reseat/jig/plate"
)

// Names of the coupon's files.
const (
	SheetFile   = "coupon.dxf"
	PrintFile   = "coupon.stl"
	ProgramFile = "coupon.nc"
	PictureFile = "coupon.svg"
	FormFile    = "coupon.csv"
)

// cornerMM rounds the piece's corners for the hand. Common practice, no source.
const cornerMM = 2.0

// Outline is the piece's edge.
func (c *Coupon) Outline() geom.Loop {
	return geom.RoundCorners(geom.Rect(geom.Box{Max: c.Size}), cornerMM)
}

// Angle is that of a slot's long direction from +X.
func (f Feature) Angle() float64 {
	if f.Axis == "x" {
		return math.Pi / 2
	}
	return 0
}

// Travel is how far the end centres of a slot lie apart; 0 of a hole.
func (f Feature) Travel() float64 { return math.Max(0, f.LongMM-f.SizeMM) }

// Cuts are the features that are cut: holes and slots.
func (c *Coupon) Cuts() []Feature {
	var out []Feature
	for _, f := range c.Features {
		if f.Kind != Bar {
			out = append(out, f)
		}
	}
	return out
}

// Sheet is the piece as a cut file, to true size: no kerf is taken off, since it is to be
// measured. Marks are made first, while the piece still lies fast, the edge last. Holes are cut as
// they lie and not by their size, so that what a beam or a cutter drifts by as it warms is not
// taken for what it makes of sizes.
func (c *Coupon) Sheet() plate.Sheet {
	var shapes []plate.Shape
	for _, f := range c.Cuts() {
		shapes = append(shapes, plate.Hole(f.At, f.SizeMM, f.Travel(), f.Angle()))
	}
	edge := c.Outline()
	holes := slices.Clone(shapes)
	shapes = append(append(shapes, plate.Strokes(c.Marks())...), plate.Shape{Layer: plate.Edge, Loop: edge})
	s := plate.Lay(SheetFile, geom.Rigid{}, edge, plate.Compensation{Coupon: true},
		plate.Stock{Material: c.Material, ThicknessMM: c.PieceMM}, shapes)
	first := slices.IndexFunc(s.Shapes, func(k plate.Shape) bool { return k.Layer == holes[0].Layer })
	copy(s.Shapes[first:], holes) // the file's frame is the piece's own
	return s
}

// How marks stand on a print: half the height of a letter's stroke cannot be laid, so they
// are one line of a nozzle of 0.4 mm wide and two layers high. Common practice, no source.
const (
	rawWidthMM      = 0.6
	rawMarkReliefMM = 0.4
	rawNozzleMM     = 0.4
)

// Print is the piece as a solid. It has no chamfers: they would be in the way of the
// jaws at either face.
func (c *Coupon) Print() plate.Print {
	out := plate.Print{
		File: PrintFile, ThicknessMM: c.PieceMM, NozzleMM: rawNozzleMM, Scale: 1, Outline: c.Outline(),
	}
	for _, f := range c.Cuts() {
		out.Holes = append(out.Holes, plate.PrintHole{ID: f.ID, Center: f.At, Diameter: f.SizeMM, Travel: f.Travel(),
			Angle: f.Angle()})
	}
	for _, m := range c.Marks() {
		out.Marks = append(out.Marks, plate.PrintMark{Says: m.Says, Strokes: m.Strokes, WidthMM: rawWidthMM,
			LevelMM: c.PieceMM + rawMarkReliefMM})
	}
	return out
}

// LayingMM3s is the rate at which a print is laid, mm3/s, all of it solid: layers of 0.2 mm, lines of 0.45 mm at
// 50 mm/s, the travel between them in it. Common practice, no source.
const LayingMM3s = 4.5

// PrintingS is the time that a print of a volume takes, seconds.
func PrintingS(volumeMM3 float64) float64 { return volumeMM3 / LayingMM3s }

// SmallestMM is the least width of what is cut: a cutter must go in.
func (c *Coupon) SmallestMM() float64 {
	least := math.Inf(1)
	for _, f := range c.Cuts() {
		least = math.Min(least, f.SizeMM)
	}
	return least
}
