package job

import (
	"reseat/jig/geom"
	"reseat/jig/process"

	"reseat/jig/units"
)

// Job is a job file as read: complete, with defaults filled in, every value
// possible in itself. Lengths are millimetres in the board frame (u along the
// datum line from the start end, v to its left).
type Job struct {
	File   string // as given to Parse or Read; for messages
	SHA256 string // of the bytes that were read, those of files that the job names too; lower-case hexadecimal
	Title  string
	Units  units.Unit // of bare numbers in the file; the fields here are mm all the same

	Board      Board
	Blank      *Blank // nil: the job names none
	Bed        Bed
	Machine    Machine
	Dowel      Dowel
	Template   Template
	Rails      *Rails   // nil: no gluing rails wanted
	Climate    *Climate // nil: not given
	Cutting    Cutting
	Pockets    Pockets
	AccuracyMM float64 // largest error wanted at any feature

	src   *source           // nil in a job that was not read from text
	open  Opener            // of the files that it names
	files map[string][]byte // what they held
}

// Board is the part that must go back.
type Board struct {
	// Outline is the contour of a board that is not straight-sided, counter-clockwise; nil: none.
	// Length and both widths are then those of its bounds.
	Outline        geom.Loop
	Holes          []geom.Loop // right through the board, clockwise; of a drawing alone
	OutlineNotes   []string    // what is to be known of the drawing that it was read from
	LengthMM       float64
	Measured       *Air    // that length and width were measured in; nil: not given
	WidthStartMM   float64 // at u = 0
	WidthEndMM     float64 // at u = LengthMM; equal to WidthStartMM without taper
	WidthErrorMM   float64 // of each width as measured, plus or minus, 95 %
	ThicknessMM    float64
	CornerRadiusMM float64 // 0: sharp
	CrownRadiusMM  float64 // 0: flat
	BowMM          float64 // how far its middle stands above its ends, top up; negative: below
	Wood           string  // "" when not given
	Grain          string  // "quarter" or "flat"
	MovementPct    float64 // change of the width per 1 % of moisture, percent; 0: by wood and grain
	Frets          *Frets  // nil: none
	Features       []Feature
	KeepOut        []KeepOut
}

// Frets places dots by fret number. Distances are taken from u = 0, the nut end.
type Frets struct {
	ScaleMM    float64 // nut to bridge
	Count      int
	Dots       []Dot
	DotBoreMM  float64 // of every dot
	DotDepthMM float64
	DotInlay   *Inlay // nil: not given
}

// Dot is a dot, or a pair of dots, midway between frets Fret-1 and Fret.
type Dot struct {
	Fret     int
	SpreadMM float64 // distance between the two of a pair; 0: a single dot on the datum line
}

// Feature is a place on the board that must come back.
type Feature struct {
	Name     string
	UMM, VMM float64
	BoreMM   float64 // diameter; 0: not given
	DepthMM  float64 // 0: not given
	Side     string  // "top" or "under": the face that it is cut into; u, v are as seen on the top
	Inlay    *Inlay  // nil: not given
	Key      string  // where it stands in the job: "board.features[2]", "board.frets.dots[0]"
}

// KeepOut is a rectangle that no pin hole may touch. From.X < To.X and
// From.Y < To.Y; X is u, Y is v.
type KeepOut struct {
	Name     string
	From, To geom.Vec
}

// Blank is the stock that the board is cut from.
type Blank struct {
	LengthMM, WidthMM, ThicknessMM float64
	Wood                           string // the board's when not given
	Make                           Make
	BoredWithBed                   bool // their pin holes are bored in one clamping
}

// Bed is the sacrificial board on the machine.
type Bed struct {
	Material          string
	ThicknessMM       float64
	LengthMM, WidthMM float64 // along u and across it; 0: not given
	Make              Make
}

// Machine is the router.
type Machine struct {
	LongAxis   string     // "x" or "y": the axis that u runs along
	TravelMM   [3]float64 // x, y, z; 0: not given
	PositionMM float64    // a move repeats to plus or minus this, 95 %
	SquareMM   float64    // axes out of square, mm over 300 mm
	StraightMM float64    // bow of the long axis over the pattern, plus or minus, 95 %
	TramMM     float64    // spindle out of square to the bed, per axis, mm over 150 mm, 95 %
	Cutter     Cutter     // that profiles the board
	Cutters    []Cutter   // all that are there; empty: not given
	Zero       string     // how X and Y zero are found again: "pin", "kept", "edge finder", "paper" or "eye"
}

// Cutter is an end mill.
type Cutter struct {
	DiameterMM float64 // over the cutting edges
	ReachMM    float64 // how deep it goes before shank or holder touches; 0: not given
	Teeth      int     // 0: not given
	ColletMM   float64 // diameter of collet nut or holder; 0: not given
	BelowMM    float64 // how far the tip stands below that; 0: not given
}

// Dowel is the kind of pin and how many.
type Dowel struct {
	Standard   string // in lower case: "iso 8734", "iso 2338", "din 6325", "asme b18.8.2", ...; package dowel knows them
	Class      string // tolerance class such as "h8"; "" means the standard's own
	DiameterMM float64
	LengthMM   float64   // 0: not given
	Count      int       // 0: the fewest that block every wrong way
	Locate     string    // "round and slot" or "all round": which pins locate
	LeanRad    float64   // of a pin, per axis, plus or minus, 95 %
	Measured   []float64 // micrometer readings in mm; empty: the class holds
}

// Template is the plate that locates the board.
type Template struct {
	Seat        string // "nest" or "pins"
	Flip        string // "none", "long" or "short": the axis the board is turned over about
	Cradle      bool   // a cradle of the crown's shape lies under a crowned board that is turned over
	Material    string
	ThicknessMM float64
	MarginMM    float64 // least plate beyond the window
	ClearanceMM float64 // window to board, per side
	Push        string  // "none", "left" or "right"
	Key         string  // "none" or "corner": what lets the board in one way only
	Lift        bool    // finger reliefs in the window's long walls, where they have room
	Make        Make
}

// Rails are the walls that keep the board from sliding while it is glued.
type Rails struct {
	StripMM    float64 // left beside the glue land, trimmed later
	Plate      string  // "template", "sheet" or "print": what they are; "" when the template has no window
	HeightMM   float64 // above the glue land
	GapMM      float64 // rail to board, the film in it
	FilmMM     float64 // one layer of release film
	Push       string  // "none", "left" or "right"
	AccuracyMM float64 // largest error wanted of the glued board
	Glue       string
	ClampN     float64 // what one clamp presses with
	Caul       Caul

	// Of a plate from sheet.
	Material    string
	ThicknessMM float64
	Make        Make
}

// Caul is the bar between clamps and board.
type Caul struct {
	Material string
	HeightMM float64 // 0: as high as it must be
}

// Inlay is the disc that goes into a feature's bore.
type Inlay struct {
	MeasuredMM  []float64 // diameters, at least one
	ThicknessMM float64
}

// Cutting is how the machine cuts wood. Zero: the tool path's own cautious default.
type Cutting struct {
	FeedMMmin, PlungeMMmin, SpindleRPM float64
	TurnMM                             float64 // depth of one turn
	FinishMM                           float64 // radial stock of the last turn
	SafeMM                             float64 // height of sideways rapids over the highest thing of the set-up
	Dialect                            string  // "plain" or "ngc"
	Teeth                              int     // of the cutter
	ForceNmm2                          float64 // specific cutting force
}

// Pockets says how features are bored again.
type Pockets struct {
	Cutter       Cutter  // its diameter measured, 0: not given
	GlueGapMM    float64 // on the diameter
	FirstUnderMM float64 // the first cut is so much under size, on the diameter
	StepMM       float64 // and the next ones grow by this
	ProudMM      float64 // the inlay stands so much above the face, all round
	OpaqueMM     float64 // thinner, the ground shows through

	// What is still to be taken off the face after inlaying.
	FinalCrownRadiusMM float64 // 0: board.crown_radius
	SandMM             float64 // off the datum line
}

// Climate is the air when the board was made and the air now.
type Climate struct {
	Made, Now Air
}

// Air is the climate of a workshop.
type Air struct {
	TempC float64 // degrees Celsius
	RHPct float64 // relative humidity, percent
}

// Make is how a part's holes and outlines are made. Whether a value was given
// or is a default is told by Given, since a given spread or bias overrides the
// process model and an absent one does not.
type Make struct {
	By         string  // "laser", "router", "drill", "ream" or "print"
	KerfMM     float64 // width of the cut, laser only; 0: files are drawn to true size
	SpreadMM   float64 // of a hole's diameter, plus or minus, 95 %
	BiasMM     float64 // finished diameter less the diameter asked for
	PositionMM float64 // how far a hole lies from its place, per axis, plus or minus, 95 %
	TaperMM    float64 // laser only: difference of a hole's diameters at the two faces
	EdgeMM     float64 // router and print: how much wider than drawn an opening with straight walls comes out
	Cutter     Cutter  // router only; machine.cutter when not given

	Measured *Measured // what a coupon told; nil: no process file

	// Of the template: a wall of its window at either end, and the plate out of square over
	// 300 mm, plus or minus, 95 %.
	StraightMM, SquareMM float64

	// The printer of the template, or of the gluing plate when the template is cut from sheet.
	NozzleMM  float64
	BedMM     [3]float64 // the printer's bed x, y, z; 0: not given
	JointMM   float64    // clearance of a key between two parts, per side
	ShrinkPct float64    // what a print comes out short of what is drawn, percent of a length

	given map[string]bool
}

// Measured is a process file and which of its figures keys of the job override.
type Measured struct {
	process.File
	Overridden []string // keys of the make section: "kerf"
}

// Printer is how the printer that a plate from sheet has for its gluing plate makes it:
// the printer's own keys, none of the sheet's.
func (m Make) Printer() Make {
	return Make{
		By: "print", NozzleMM: m.NozzleMM, BedMM: m.BedMM, JointMM: m.JointMM, ShrinkPct: m.ShrinkPct,
		given: map[string]bool{"joint": m.given["joint"], "shrink_pct": m.given["shrink_pct"]},
	}
}

// IsGiven reports whether the job file itself has the key ("by", "kerf", "spread" ...) in
// this make section.
func (m Make) IsGiven(key string) bool { return m.given[key] }
