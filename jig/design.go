package jig

import (
	"reseat/dowel"
	"reseat/jig/assembly"
	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/glued"
	"reseat/jig/holddown"
	"reseat/jig/job"
	"reseat/jig/layout"
	"reseat/jig/outlined"
	"reseat/jig/part"
	"reseat/jig/plate"
	"reseat/jig/rail"
	"reseat/jig/setup"
)

// Design is the whole answer to one job. It is read-only: exporters copy from
// it and compute nothing. Points are in the board frame (X = u, Y = v) unless a
// field says otherwise.
//
// The tags are the keys of design.json; a field without one is not written there. A
// tag axes names the keys of a point's two coordinates. Angles are radians here, and
// degrees under a key that ends in _deg.
type Design struct {
	Title     string   `json:"title"`
	JobFile   string   `json:"job_file,omitempty"`   // name without its directory
	JobSHA256 string   `json:"job_sha256,omitempty"` // of the bytes that were read, lower-case hexadecimal
	Frame     Frame    `json:"frame"`
	Board     Board    `json:"board"`
	Template  Template `json:"template"`
	Blank     *Blank   `json:"blank,omitempty"` // nil when the job names no blank
	Bed       Bed      `json:"bed"`
	Pins      []Pin    `json:"pins"`
	// MachinePin is how the pins stand in the bed, GluingPin how those of gluing stand in the
	// blank; nil without.
	MachinePin *setup.Stand `json:"machine_pin,omitempty"`
	GluingPin  *setup.Stand `json:"gluing_pin,omitempty"`

	// BoardFoolproof is how much farther out every wall of the window must stand before the
	// board goes in the wrong way round; negative: what it has to spare. Nil without a window.
	BoardFoolproof *Foolproof `json:"board_foolproof,omitempty"`
	// BoardWays are the ways of a board of any outline that come nearest; its half turn stands
	// for every angle, and foolproof.MostLackMM for what lacks as much or more.
	BoardWays outlined.WrongWays `json:"board_ways,omitempty"`

	Seat      Seat           `json:"seat"`
	Foolproof Foolproof      `json:"foolproof"`
	Pattern   Pattern        `json:"pattern"`
	Assembly  []Assembly     `json:"assemblies"`        // one for each pair of parts that the pins join
	Budget    *budget.Budget `json:"budget,omitempty"`  // nil when the board cannot be seated
	Climate   *Climate       `json:"climate,omitempty"` // nil unless the job tells the climates and the board's wood
	Rails     *Rails         `json:"rails,omitempty"`   // nil when the job asks for none
	Rules     []Rule         `json:"rules"`
	Setups    []setup.Setup  `json:"setups"`                 // the order of work
	Sheets    []CutSheet     `json:"sheets"`                 // one per DXF, in writing order
	Programs  []Program      `json:"programs"`               // for the router, in writing order
	Unwritten []Unwritten    `json:"unwritten,omitempty"`    // programs that there are not, and why
	Parts     []Print        `json:"print,omitempty"`        // the files that the plate is printed from: the whole, or its parts
	Wedges    []Print        `json:"print_wedges,omitempty"` // two of each printed pair
	Split     *Split         `json:"split,omitempty"`        // nil unless the plate is printed in parts
	Notes     []string       `json:"notes"`                  // sentences a maker should read; no rule failed

	HoldDown *holddown.Result // of the tape under board and template; nil without pockets, or where the blank is clamped
	Lifting  []string         // how to lift them off it afterwards, step by step
	Pockets  []*Pockets       // of the faces that have features to be bored again, the top first
	Print    *Print           // the plate as a print, whole
}

// Frame ties the board frame to the machine.
type Frame struct {
	LongAxis  string     `json:"long_axis"` // "x" or "y": the machine axis that u runs along
	ToMachine geom.Rigid // board frame -> machine frame, zero at the datum's start
}

// Board is the part that must go back.
type Board struct {
	LengthMM      float64     `json:"length_mm"`
	WidthStartMM  float64     `json:"width_start_mm"`
	WidthEndMM    float64     `json:"width_end_mm"`
	ThicknessMM   float64     `json:"thickness_mm"`
	CrownRadiusMM float64     `json:"crown_radius_mm"` // 0: flat
	Outline       geom.Loop   `json:"outline"`         // counter-clockwise
	Holes         []geom.Loop `json:"holes,omitempty"` // of its drawing, right through it, clockwise
	// Outlined: the job draws it, and length and both widths are those of its bounds; otherwise the
	// board is straight-sided.
	Outlined bool      `json:"outlined,omitempty"`
	Wood     string    `json:"wood,omitempty"`
	Features []Feature `json:"features"`
	KeepOut  []KeepOut `json:"keep_out"`
}

// KeepOut is a place that no pin hole may touch.
type KeepOut struct {
	Name string `json:"name"`
	geom.Box
}

// Feature is a place on the board that must come back.
type Feature struct {
	Name    string   `json:"name"`
	At      geom.Vec `axes:"u_mm,v_mm"`
	BoreMM  float64  `json:"bore_mm"`
	DepthMM float64  `json:"depth_mm"`
	Side    string   `json:"side"` // "top" or "under": the face that it is cut into
}

// Template is the plate that locates the board.
type Template struct {
	Outline     geom.Loop `json:"outline"`
	Window      geom.Loop `json:"window,omitempty"` // nil when the board seats on its own pins
	ThicknessMM float64   `json:"thickness_mm"`
	ClearanceMM float64   `json:"clearance_mm"` // window to board, per side
	MarginMM    float64   `json:"margin_mm"`    // plate beyond the window as designed, never below the job's
	Material    string    `json:"material"`
	MakeBy      string    `json:"make"`
	KerfMM      float64   `json:"kerf_mm"`           // applied to what is drawn; 0: drawn to size
	EdgeMM      float64   `json:"edge_mm,omitempty"` // the like of window and outline alone, router and print
	ReliefMM    float64   `json:"relief_mm"`         // radius of the corner reliefs; 0: none
	Stops       []Stop    `json:"stops"`             // window walls that the board is pushed against
	// KeyLegMM is cut off the corner of the board's start end that the window fills, along
	// either edge; 0: none. KeySide is that corner's: "left" or "right" along the datum line.
	KeyLegMM float64 `json:"key_leg_mm,omitempty"`
	KeySide  string  `json:"key_side,omitempty"`
	Marks    []Mark
}

// Stop is a window wall that the board is pushed against.
type Stop struct {
	Wall string   `json:"wall"` // "start", "left" or "right"
	A    geom.Vec `json:"from_mm"`
	B    geom.Vec `json:"to_mm"`
}

// Blank is the stock whose waste frame carries the pin holes.
type Blank struct {
	LengthMM    float64     `json:"length_mm"`
	WidthMM     float64     `json:"width_mm"`
	ThicknessMM float64     `json:"thickness_mm"`
	Wood        string      `json:"wood,omitempty"`
	Outline     geom.Loop   `json:"outline"`
	Strips      []geom.Loop `json:"strips"`            // beside the glue land, trimmed later
	Bridges     []geom.Loop `json:"bridges,omitempty"` // of wood that keep the board in its frame as it is cut free
	Marks       []Mark
}

// Bed is the sacrificial board on the machine.
type Bed struct {
	Material    string    `json:"material"`
	ThicknessMM float64   `json:"thickness_mm"`
	Outline     geom.Loop `json:"outline"` // least size that carries the pattern, or the job's own
	Marks       []Mark
}

// What a hole is, and what the climate did, as package part works them out.
type (
	Hole    = part.Hole
	Climate = part.Climate
)

// Role says what a pin does in the template.
type Role = layout.Role

// The three roles.
const (
	Round = layout.Round // locates both ways
	Slot  = layout.Slot  // locates across the line between the two locating pins
	Clear = layout.Clear // does not locate
)

// Pin is one dowel pin with its holes.
type Pin struct {
	ID       string    `json:"id"`
	Role     Role      `json:"role"`
	At       geom.Vec  `axes:"u_mm,v_mm"` // board frame
	Machine  geom.Vec  `axes:"x_mm,y_mm"` // machine frame
	Dowel    dowel.Pin `json:"pin"`
	Template Hole      `json:"template_hole"`
	Blank    *Hole     `json:"blank_hole,omitempty"` // nil without a blank
	Bed      Hole      `json:"bed_hole"`
	Print    Hole      `json:"print_hole"`           // in the printed plate; the same as Template when the job prints it
	Rails    *Hole     `json:"rails_hole,omitempty"` // in the plate from sheet that the board is glued in; nil without one
}

// In is the pin's hole in a part: "template", "print", "rails", "blank" or "bed"; nil without one.
func (p *Pin) In(part string) *Hole {
	return map[string]*Hole{
		"template": &p.Template, "print": &p.Print, "rails": p.Rails, "blank": p.Blank, "bed": &p.Bed,
	}[part]
}

// Seat is the float of the seated board.
type Seat struct {
	Kind     string         `json:"kind"`          // "nest" or "pins"
	ThetaMax float64        `json:"theta_max_rad"` // each way
	Features []FeatureFloat `json:"features"`
}

// FeatureFloat is how far a feature can move from float alone, each way.
type FeatureFloat struct {
	Name     string   `json:"name"`
	At       geom.Vec `axes:"u_mm,v_mm"`
	Side     string   `json:"side"`
	AlongMM  float64  `json:"along_mm"`
	AcrossMM float64  `json:"across_mm"`
	WorstMM  float64  `json:"worst_mm"`
}

// Label is the feature's name, and its face unless that is the top.
func (f FeatureFloat) Label() string {
	if f.Side == string(setup.Under) {
		return f.Name + ", underside"
	}
	return f.Name
}

// Assembly is the odds that every pin enters when one part is put over the pins that
// stand in another.
type Assembly struct {
	Part         string  `json:"part"`     // goes over the pins: "template"
	On           string  `json:"on"`       // they stand in it: "bed"
	Odds         float64 `json:"odds"`     // that every pin enters
	OddsLow      float64 `json:"odds_low"` // 95 % interval that the trials leave
	OddsHigh     float64 `json:"odds_high"`
	Trials       int     `json:"trials"`
	Seed         uint64  `json:"seed"`
	ExtraFor99MM float64 `json:"extra_clearance_for_99_mm"` // on the diameter, for every pin; negative: in reserve
	Failed       int     `json:"failed"`                    // of the trials
	assembly.Critical
}

// Foolproof holds, for each wrong way to put the plate on the pins, the largest
// miss of a pin from its hole in the best possible placement.
type Foolproof struct {
	HalfTurnMM  float64 `json:"half_turn_mm"`
	FlipLongMM  float64 `json:"flip_long_mm"`
	FlipShortMM float64 `json:"flip_short_mm"`
}

// Rails keep the board from sliding while the glue sets.
type Rails struct {
	StripMM      float64       `json:"strip_mm"`
	HeightMM     float64       `json:"height_mm"`
	GapMM        float64       `json:"gap_mm"`
	WallMM       float64       `json:"wall_mm"`    // top of rail or plate above the glue land, whichever is higher
	EdgeMM       float64       `json:"edge_mm"`    // lowest board edge above the glue land
	BearingMM    float64       `json:"bearing_mm"` // EdgeMM - WallMM: the pressure bears on the board when positive
	Glue         string        `json:"glue"`
	Plate        string        `json:"plate"`                   // what the rails are: "template", "sheet" or "print"
	Outlines     []geom.Loop   `json:"outlines"`                // that stand on a printed plate, or the wall beside the board
	Sheet        *RailSheet    `json:"sheet,omitempty"`         // nil: not from a sheet of its own
	Pairs        []plate.Wedge `json:"printed_pairs,omitempty"` // of wedges, in the pockets of a printed plate
	Glued        *glued.Plan   `json:"glued,omitempty"`         // nil: nothing is glued, or it could not be computed
	*rail.Gluing               // nil when it could not be computed
}

// RailSheet is the plate from sheet that the board is glued in.
type RailSheet struct {
	Material    string        `json:"material"`
	ThicknessMM float64       `json:"thickness_mm"`
	MakeBy      string        `json:"make"`
	KerfMM      float64       `json:"kerf_mm"`
	EdgeMM      float64       `json:"edge_mm,omitempty"`
	Window      geom.Loop     `json:"window"`
	Lands       [][2]geom.Vec `json:"lands"`      // where it touches the board
	SetbackMM   float64       `json:"setback_mm"` // of the window between them
	RoomML      float64       `json:"squeeze_out_room_ml"`
	Wedges      []plate.Wedge `json:"wedges,omitempty"` // pairs
	Marks       []Mark        `json:"-"`
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
	ID    string  `json:"id"`
	Level Level   `json:"level"`
	Value float64 `json:"value"`
	Limit float64 `json:"limit"`
	Unit  string  `json:"unit"`
	Says  string  `json:"says"`           // what was found, in sentences; for warn and fail then "Remedy: ..."
	Line  int     `json:"line,omitempty"` // line of the job file that a remedy would change; 0: none
	// Remedies are changes of the job file by which the rule passes and no other is worse
	// than before, the cheapest first. Each is in Says too.
	Remedies []Remedy `json:"remedies,omitempty"`
	// Blocks: while the rule fails a cut is dangerous, and the program of File is not
	// written; without a file none of the features.
	Blocks bool   `json:"blocks,omitempty"`
	File   string `json:"file,omitempty"` // the program that it is about; empty: none, or any of the features'
}

// Remedy is one way out: all of its changes together.
type Remedy struct {
	Set []job.Change `json:"set"`
}

// What cut sheets and prints are made of, and the marks on a part, as package plate draws
// them.
type (
	CutSheet  = plate.Sheet
	Layer     = plate.Layer
	Shape     = plate.Shape
	Mark      = plate.Mark
	Print     = plate.Print
	PrintHole = plate.PrintHole
	PrintRail = plate.PrintRail
	PrintMark = plate.PrintMark
)

// Split says where a printed plate is cut.
type Split struct {
	SeamsMM     []float64 `json:"seams_u_mm"`       // stations
	ClearanceMM float64   `json:"key_clearance_mm"` // of a key in its socket, per side
	ApartMM     float64   // least distance between the outer keys of a seam
}
