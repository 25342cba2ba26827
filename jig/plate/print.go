package plate

import (
	"math"

	"reseat/jig/geom"
)

// All of these: common practice, no source.
const (
	FootMM        = 0.4  // chamfer on the bed side, where the first layers spread: 0.3 to 0.5 is usual
	entryMM       = 0.5  // chamfer that leads a pin in
	markReliefMM  = 0.4  // how high a mark stands, two layers: it can be felt, does not catch and weakens no wall
	leastStrokeMM = 0.8  // narrowest line that sticks
	mostFootShare = 0.5  // of the window's wall: the rest stays upright and locates the board
	gluingShare   = 0.75 // of one that the board is glued in alone: its rails guide it too
	chamferStepMM = 0.1  // what a caliper reads
)

// Print is the printed template in file coordinates: lower left at (0, 0), on z = 0.
type Print struct {
	File        string      `json:"file"`
	Origin      geom.Vec    `json:"origin_mm"` // where the datum line starts
	ThicknessMM float64     `json:"thickness_mm"`
	Thinner     bool        `json:"thinner"` // than the sheet, so that rails have something to stand on; for gluing
	Holes       []PrintHole `json:"holes"`
	Rails       []PrintRail `json:"rails"`
	NozzleMM    float64     `json:"nozzle_mm,omitempty"`
	BedMM       [3]float64  `json:"bed_mm,omitempty"` // printer's bed; zero: the job names no printer
	Turn        float64     `json:"turn_deg"`         // of the file's +X from the board's +u, counter-clockwise
	// Scale is how many times as large all plane lengths but hole diameters are drawn.
	Scale float64 `json:"scale"`

	// Chamfers of 45 degrees, leg length in mm; 0: none.
	FootMM       float64 `json:"foot_chamfer_mm"`        // bed side of outline and holes: the first layers spread
	WindowFootMM float64 `json:"window_foot_chamfer_mm"` // bed side of the window; takes up squeeze-out
	EntryMM      float64 `json:"hole_entry_chamfer_mm"`  // top of every pin hole

	Run   int      // of the printer, from 1, that prints it; 0: the job names no printer
	OnBed geom.Vec // its lower left corner there, the bed's at (0, 0)

	Place   geom.Rigid // board frame -> file, before Scale
	Outline geom.Loop
	Window  geom.Loop // nil: none
	Marks   []PrintMark
}

// PrintMark is a raised mark on the top of the plate: open strokes of one width. All
// marks of a print have one LevelMM.
type PrintMark struct {
	Says    string       // "P1", "start end"
	Strokes [][]geom.Vec // polylines in file coordinates, each at least two points
	WidthMM float64
	LevelMM float64 // their top above z = 0
}

// PrintHole is a straight hole through the printed plate; a slot when Travel > 0.
type PrintHole struct {
	ID       string   `json:"id"`
	Center   geom.Vec `axes:"x_mm,y_mm"`
	Diameter float64  `json:"diameter_mm"`
	Travel   float64  `json:"slot_mm"`
	Angle    float64  `json:"slot_angle_xy_deg"` // as Center, in the file's axes
}

// PrintRail stands on the plate.
type PrintRail struct {
	Outline geom.Loop `json:"outline"`
	TopMM   float64   `json:"top_mm"` // above z = 0
}

// Printing is what the parts of a printed plate are laid out from, in the board frame.
type Printing struct {
	Frame       geom.Rigid  // board frame -> machine frame
	Holes       []PrintHole // centres and angles in the board frame
	Rails       []geom.Loop // that stand on the plate
	RailTopMM   float64     // above the plate's underside
	ThicknessMM float64
	Thinner     bool
	SqueezeMM   float64 // leg of the chamfer that takes up the squeezed-out glue; 0: none
	Alone       bool    // it is for gluing alone
	BedMM       [3]float64
	NozzleMM    float64
	ShrinkPct   float64 // of the print, in the plane
}

// WindowFoot is the chamfer at the foot of a printed window that takes up squeezed-out glue, as far as its
// wall lets it; alone: of a plate for gluing alone.
func WindowFoot(squeezeMM, thickMM float64, alone bool) float64 {
	share := mostFootShare
	if alone {
		share = gluingShare
	}
	return max(FootMM, min(UpTo(squeezeMM, chamferStepMM), DownTo(share*thickMM, chamferStepMM)))
}

// Lay lays one piece of the plate, with marks in the board frame, into a file of its own:
// the frame's axes, lower left at (0, 0), turned by a quarter when only so it fits the
// printer's bed.
func (p Printing) Lay(file string, k Piece, marks []Mark) Print {
	frame := p.Frame
	place, size := ToFile(frame, k.Outline)
	if x, y := p.BedMM[0], p.BedMM[1]; x > 0 && (size.X > x || size.Y > y) && FitsBed(size, x, y) {
		frame.Angle -= math.Pi / 2
		place, _ = ToFile(frame, k.Outline)
	}
	// A print that shrinks is drawn larger in the plane, so that it shrinks to size. A
	// hole's diameter stays: what a printer makes of holes is measured apart, as its bias.
	scale := 1 / (1 - p.ShrinkPct/100)
	at := func(v geom.Vec) geom.Vec { return place.Apply(v).Scale(scale) }
	loop := func(l geom.Loop) geom.Loop { return place.Loop(l).Scale(scale) }
	out := Print{
		File: file, Origin: at(geom.Vec{}), Place: place, Turn: -place.Angle, Scale: scale, Outline: loop(k.Outline),
		ThicknessMM: p.ThicknessMM, Thinner: p.Thinner, BedMM: p.BedMM, NozzleMM: p.NozzleMM,
		FootMM: FootMM, WindowFootMM: FootMM, EntryMM: entryMM,
	}
	if k.Window != nil {
		out.Window = loop(k.Window)
		out.WindowFootMM = WindowFoot(p.SqueezeMM, p.ThicknessMM, p.Alone)
	}
	for _, h := range p.Holes {
		if k.Holds(h.Center) {
			h.Center, h.Travel, h.Angle = at(h.Center), h.Travel*scale, h.Angle+place.Angle
			out.Holes = append(out.Holes, h)
		}
	}
	for _, l := range p.Rails {
		if l = k.Trim(l); len(l) > 2 && k.Holds(l.Bounds().Center()) {
			out.Rails = append(out.Rails, PrintRail{Outline: loop(l), TopMM: p.RailTopMM})
		}
	}
	for _, m := range marks {
		q := PrintMark{Says: m.Says, WidthMM: math.Max(2*p.NozzleMM, leastStrokeMM), LevelMM: p.ThicknessMM + markReliefMM}
		inside := true
		for _, s := range m.Strokes {
			line := make([]geom.Vec, len(s))
			for i, v := range s {
				line[i] = at(v)
				inside = inside && k.Holds(v)
			}
			q.Strokes = append(q.Strokes, line)
		}
		if inside {
			out.Marks = append(out.Marks, q)
		}
	}
	return out
}
