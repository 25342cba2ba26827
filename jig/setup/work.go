package setup

import "reseat/jig/geom"

// Work is what the set-ups are derived from. Contours and places are in the machine
// frame, with the top face up; lengths in mm.
type Work struct {
	Nest  bool // the board lies in the plate's window; otherwise its blank stands on the pins
	Turn  Turn
	Frame geom.Rigid // board frame, top up -> machine frame

	Board, Bed Part
	Template   Part  // with its window
	Blank      *Part // nil: none
	Cradle     bool  // of the crown's shape, that lies under the board when it is turned over
	Together   bool  // bed and blank are bored in one clamping

	CrownMM     float64    // by how much the board's edges lie lower than its middle; 0: flat
	Bow         Bow        // of the board
	WindowMM    [2]float64 // width of the window at the board's start and far end; 0: none
	Outlined    bool       // the board is not straight-sided: WindowMM is the window's length and width over all
	WindowOffMM float64    // by how much the process may be off such a width, 95 %
	KerfMM      float64    // taken off in the plate's file; 0: drawn to true size
	EdgeMM      float64    // the like of its window and outline alone
	AsCoupon    bool       // kerf or edge are those of a coupon
	// PlateCutterMM is the cutter that a routed plate's corners are relieved for; 0: not routed.
	PlateCutterMM float64
	Push          string  // "none", "left", "right"
	PushDeg       float64 // of a board that is not straight-sided: off the datum line
	Sticks        bool    // friction may hold it short of its stops
	WrongWay      bool    // the board goes into its window another way round too
	KeyLegMM      float64 // of the board's corner that is cut off and that the window fills; 0: none
	KeySide       string  // of the start end that corner is on, seen along the datum line: "left", "right"
	DatumTolMM    float64 // runout of the datum line over the board's length that is allowed
	PositionMM    float64 // of a hole of the bed, 95 %
	ZeroBy        string  // how zero is found again: "pin", "kept", "edge finder", "paper", "eye"

	Pattern          []Place
	PinName          string  // "iso 8734 6 m6"
	PinMM, PinMostMM float64 // diameter: mean, largest
	Stand            Stand   // of the pins in the bed
	BedScrap         bool    // a tool comes out below the bed

	Runs       []Run   // the programs there are
	BoreOffMM  float64 // by how much a feature's bore may be off, 95 %
	PlateFiles []string

	// Sentences of the steps that other packages know best.
	Openings             []string // how the plate's holes are made, and opened after cutting
	BedSteps, BlankSteps []string // the like of bed and blank
	Lifting              []string // how what is taped comes off
	TapeMM2              float64  // under each part; 0: none is used
	OldInlays            string   // what becomes of inlays that are in; "": none are
	Bores, Inlaid        bool     // features are bored again; discs go into some of them

	Glue *Gluing // nil: the job glues nothing

	// BridgesAt are the stations of the bridges that keep a board in its frame, the same on either
	// side; BridgeMM how wide and how thick they are.
	BridgesAt []float64
	BridgeMM  [2]float64
}

// Part is one part that lies in a stack.
type Part struct {
	Material    string
	ThicknessMM float64
	MadeBy      string // "laser", "router", "drill", "ream", "print"
	Outline     geom.Loop
	Window      geom.Loop

	Rails     []geom.Loop // that stand on it, when it is a printed plate
	RailTopMM float64     // over its underside
}

// Place is where a pin stands.
type Place struct {
	ID   string
	Role string // "round", "slot", "clear"
	At   geom.Vec
}

// Run is a program.
type Run struct {
	File      string
	Tool      string // "end mill"
	CutterMM  float64
	DeepestMM float64 // below Z0
	Holes     []Bore
}

// The programs that there can be, by what runs them.
const (
	BedFile   = "bores.nc"
	BlankFile = "bores-blank.nc"
	TopFile   = "pockets.nc"
	UnderFile = "pockets-under.nc"
)

// Bore is a hole that a program makes in its first cut.
type Bore struct {
	Name   string
	BoreMM float64
	FallMM float64 // how far the board's face lies lower there than at Z0, by its bow
}

// Gluing is how the board is glued onto the blank.
type Gluing struct {
	Plate      Part        // that guides the board
	Wedges     []geom.Loop // pairs that push the board against its stops, as they just touch
	AtEnd      bool        // one of them pushes from the far end
	Stand      Stand       // of the pins in the blank
	StripMM    float64
	OpenMin    [2]float64
	PlateFiles []string
	Press      *Press // nil: not known

	// Of a plate that is not the template.
	Openings       []string // how its holes are opened
	KerfMM, EdgeMM float64  // taken off in its file, as of Work
	AsCoupon       bool
	CutterMM       float64
	Across         []Across // between what guides the board on either side
	OffMM          float64  // by how much the process may be off such a width, 95 %
	Pair           Drive    // of the wedges; zero: there are none
	WedgeFiles     []string // of printed ones, one for each

	FilmMM float64 // release film, one layer under the plate and up its walls; 0: none
}

// Across is a width between two walls.
type Across struct {
	What string
	MM   float64
}

// Drive is how far a wedge stands out of its pair when it just touches, and by how much that may be
// off for a window, a board and wedges that are, 95 %.
type Drive struct{ OutMM, OffMM float64 }

// Press is how the board is pressed on, and when the plate comes off.
type Press struct {
	Clamps         int
	ClampN         float64 // of each
	ApartMM, EndMM float64 // between clamps, and from the caul's ends to the first
	CaulOf         string
	CaulMM         float64 // least height
	PadMM          float64 // between it and the board
	HollowMM       float64 // radius of its underside; 0: flat
	HeldMM         float64 // most between screws that hold the plate to the waste; 0: its pins do
	CupMM, BowMM   float64 // that the glue's water would bend the board by, across and along, at most
	LiftMin        [2]float64
	ClampedMin     float64
	LoadH          float64
	Oily           []string   // woods that are wiped first
	Taped          bool       // tape would hold the plate as well
	WedgeN         [2]float64 // that a pair of wedges presses with when tapped; 0: there are none
	StripMM        [2]float64 // what is left of the strips beside the board, 95 %; 0: not known
}
