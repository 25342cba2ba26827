package jig

import (
	"reseat/dowel"
	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/holddown"
	"reseat/jig/rail"
)

// Design is the whole answer to one job. It is read-only: exporters copy from
// it and compute nothing. Points are in the board frame (X = u, Y = v) unless a
// field says otherwise.
type Design struct {
	Title      string
	JobFile    string
	JobSHA256  string // of the job file's bytes, lower-case hexadecimal; "" when the design was not made from a file
	Frame      Frame
	Board      Board
	Template   Template
	Blank      *Blank // nil when the job names no blank
	Bed        Bed
	Pins       []Pin
	PinInBedMM float64 // how deep a pin stands in the bed; 0: the job names no pin length
	Seat       Seat
	Budget     *budget.Budget // nil when the board cannot be seated
	Assembly   []Assembly     // one for each pair of parts that the pins join
	Climate    *Climate       // nil unless the job tells the climates and the board's wood
	Foolproof  Foolproof
	Pattern    Pattern
	Rails      *Rails // nil when the job asks for none
	Rules      []Rule
	Sheets     []CutSheet       // one per DXF, in writing order
	HoldDown   *holddown.Result // of the tape under board and template; nil without pockets
	Lifting    []string         // how to lift them off it afterwards, step by step
	Pockets    *Pockets         // nil: no feature is to be bored again
	Programs   []Program        // for the router, in writing order
	Print      *Print           // the plate as a print, whole
	Parts      []Print          // the files it is printed from: the whole, or its parts
	Split      *Split           // nil unless the plate is printed in parts
	Notes      []string         // sentences a maker should read; no rule failed
}

// Frame ties the board frame to the machine.
type Frame struct {
	LongAxis  string     // "x" or "y": the machine axis that u runs along
	ToMachine geom.Rigid // board frame -> machine frame, zero at the datum's start
}

// Board is the part that must go back.
type Board struct {
	LengthMM, WidthStartMM, WidthEndMM, ThicknessMM float64
	CrownRadiusMM                                   float64 // 0: flat
	Wood                                            string
	Outline                                         geom.Loop // counter-clockwise
	Features                                        []Feature
	KeepOut                                         []KeepOut
}

// KeepOut is a place that no pin hole may touch.
type KeepOut struct {
	Name string
	Box  geom.Box
}

// Feature is a place on the board that must come back.
type Feature struct {
	Name            string
	At              geom.Vec
	BoreMM, DepthMM float64
}

// Template is the plate that locates the board.
type Template struct {
	Outline     geom.Loop
	Window      geom.Loop // nil when the board seats on its own pins
	ThicknessMM float64
	ClearanceMM float64 // window to board, per side
	MarginMM    float64 // plate beyond the window as designed, never below the job's
	Material    string
	MakeBy      string
	KerfMM      float64 // applied to what is drawn; 0: drawn to size
	ReliefMM    float64 // radius of the corner reliefs; 0: none
	Stops       []Stop  // window walls that the board is pushed against
	Marks       []Mark
}

// Stop is a window wall that the board is pushed against.
type Stop struct {
	Wall string // "start", "left" or "right"
	A, B geom.Vec
}

// Blank is the stock whose waste frame carries the pin holes.
type Blank struct {
	LengthMM, WidthMM, ThicknessMM float64
	Wood                           string
	Outline                        geom.Loop
	Strips                         []geom.Loop // beside the glue land, trimmed later
	Marks                          []Mark
}

// Bed is the sacrificial board on the machine.
type Bed struct {
	Material    string
	ThicknessMM float64
	Outline     geom.Loop // least size that carries the pattern, or the job's own
	Marks       []Mark
}

// Mark is a mark on a part: open strokes in the board frame, to engrave or to draw.
type Mark struct {
	Says     string // "P1", "START"
	HeightMM float64
	Strokes  [][]geom.Vec
}

// Role says what a pin does in the template.
type Role string

// The three roles.
const (
	Round Role = "round" // locates both ways
	Slot  Role = "slot"  // locates across the line between the two locating pins
	Clear Role = "clear" // does not locate
)

// Pin is one dowel pin with its holes.
type Pin struct {
	ID       string
	Role     Role
	At       geom.Vec // board frame
	Machine  geom.Vec // machine frame
	Dowel    dowel.Pin
	Template Hole
	Print    Hole  // in the printed plate; the same as Template when the job prints it
	Blank    *Hole // nil without a blank
	Bed      Hole
}

// Hole is one hole of the pattern in one part.
type Hole struct {
	Role         Role
	Class        string  // ISO 286 class, or a plain size when none serves
	MinMM, MaxMM float64 // finished limits on the diameter, or the slot's width
	MeanMM, SDMM float64 // what it comes out at where it is narrowest, and its standard deviation
	DrawnMM      float64 // diameter or width in the cut file, kerf taken out
	SlotMM       float64 // free travel: distance of the slot's end centres; 0 for a round hole
	SlotAngle    float64 // radians from +u
	Made         string  // "laser, then ream"
	Steps        []string
	CutterMM     float64  // of the router that bores it; 0: not routed
	CutterNamed  bool     // the job names that cutter for this part
	Pressed      bool     // the pin is driven in and stays
	Odds         float64  // that the pin enters, 0..1
	Holds        bool     // the process can hold the class
	Explain      []string // why this hole, at most five lines
	ClearMinMM   float64  // least clearance between hole and pin, on the diameter
	ClearMaxMM   float64
	DepthMM      float64 // 0: through
}

// Seat is the float of the seated board.
type Seat struct {
	Kind     string  // "nest" or "pins"
	ThetaMax float64 // radians, each way
	Features []FeatureFloat
}

// FeatureFloat is how far a feature can move from float alone, each way.
type FeatureFloat struct {
	Name                       string
	At                         geom.Vec
	AlongMM, AcrossMM, WorstMM float64
}

// Assembly is the odds that every pin enters when one part is put over the pins that
// stand in another.
type Assembly struct {
	Part, On                string  // "template", "bed"
	Odds, OddsLow, OddsHigh float64 // share of assemblies, and its 95 % interval
	Trials                  int
	Seed                    uint64
	ExtraFor99MM            float64 // more diametral clearance for every pin that 99 % enter; negative: to spare
	Tightest                string  // the pin that most often holds it up
}

// Climate is what the air did to the board between making and now.
type Climate struct {
	MadeC, MadeRHPct, NowC, NowRHPct float64
	Wood                             string // as the table names it
	MoistureMadePct, MoistureNowPct  float64
	WidthMM, LengthMM                float64 // growth of the board at its widest and along it
	WindowMM                         float64 // growth of the window across
	ClearanceLeftMM                  float64 // per side; 0 without a window
	EntersBelowRHPct                 float64 // humidity up to which it goes in; 0: any or none
	Source                           string
	FromMemory                       bool // the coefficients are recalled, not seen
	Note                             string
}

// Foolproof holds, for each wrong way to put the plate on the pins, the largest
// miss of a pin from its hole in the best possible placement.
type Foolproof struct{ HalfTurnMM, FlipLongMM, FlipShortMM float64 }

// Rails keep the board from sliding while the glue sets.
type Rails struct {
	StripMM, HeightMM, GapMM float64
	WallMM                   float64 // top of rail or plate above the glue land, whichever is higher
	EdgeMM                   float64 // lowest board edge above the glue land
	BearingMM                float64 // EdgeMM - WallMM: the pressure bears on the board when positive
	Glue                     string
	Outlines                 []geom.Loop
	Gluing                   *rail.Gluing // nil when it could not be computed
}

// Level is the verdict of a rule.
type Level string

// The verdicts, mildest first.
const (
	Pass Level = "pass"
	Warn Level = "warn"
	Fail Level = "fail"
)

// Rule is one named check of the design with its figure.
type Rule struct {
	ID           string
	Level        Level
	Value, Limit float64
	Unit         string
	Says         string // what was found; for warn and fail also what would do
	Line         int    // line of the job file that a remedy would change; 0: none
}

// CutSheet is one flat cut file: shapes in file coordinates, lower left at (0, 0).
type CutSheet struct {
	File   string
	Size   geom.Vec
	Origin geom.Vec // where the datum line's start lies in the file
	KerfMM float64  // 0: true size; otherwise holes are smaller and outlines larger by this, on the diameter
	Layers []Layer
	Shapes []Shape // holes first, outlines last, as they are to be cut
}

// Layer is one operation of a cut sheet.
type Layer struct {
	Name   string // A-Z 0-9 _ -, at most 31
	Colour int    // AutoCAD colour index 1..7, one per layer
	Cut    bool   // false: a mark or a guide, not cut
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

// Split says where a printed plate is cut.
type Split struct {
	SeamsMM     []float64 // stations
	ClearanceMM float64   // of a key in its socket, per side
	ApartMM     float64   // least distance between the outer keys of a seam
}

// Print is the printed template in file coordinates: lower left at (0, 0), on z = 0.
type Print struct {
	File        string
	Origin      geom.Vec   // where the datum line starts
	Place       geom.Rigid // board frame -> file, before Scale
	Scale       float64    // all plane lengths but hole diameters are drawn so many times as large; 1: as they shall be
	Outline     geom.Loop
	Window      geom.Loop // nil: none
	Holes       []PrintHole
	ThicknessMM float64
	Thinner     bool // than the sheet, so that rails have something to stand on; for gluing
	Rails       []PrintRail
	Marks       []PrintMark
	BedMM       [3]float64 // printer's bed
	NozzleMM    float64

	// Chamfers of 45 degrees, leg length in mm; 0: none.
	FootMM       float64 // bed side of outline and holes: the first layers spread
	WindowFootMM float64 // bed side of the window; takes up squeeze-out
	EntryMM      float64 // top of every pin hole
}

// PrintMark is a mark on the top of the plate: open strokes of one width, their
// ground at LevelMM above z = 0: raised when that is above the plate, else engraved.
type PrintMark struct {
	Says    string       // "P1", "start end"
	Strokes [][]geom.Vec // polylines in file coordinates, each at least two points
	WidthMM float64
	LevelMM float64
}

// PrintHole is a straight hole through the printed plate; a slot when Travel > 0.
type PrintHole struct {
	ID       string
	Center   geom.Vec
	Diameter float64
	Travel   float64
	Angle    float64
}

// PrintRail stands on the plate.
type PrintRail struct {
	Outline geom.Loop
	TopMM   float64 // above z = 0
}
