package record

import "reseat/export"

// The structs give the keys and their order. Keys that the contract names come in
// its order; more follow where the design knows more.

type point [2]mm // [u, v] in the board frame, or [x, y] in a file

type document struct {
	MadeBy    string    `json:"made_by"`
	Title     string    `json:"title"`
	JobFile   string    `json:"job_file,omitempty"` // name without its directory
	Units     string    `json:"units"`
	Precision precision `json:"precision"`
	Frame     frame     `json:"frame"`
	Board     board     `json:"board"`
	Template  template  `json:"template"`
	Blank     *blank    `json:"blank,omitempty"`
	Bed       bed       `json:"bed"`
	Pins      []pin     `json:"pins"`
	Seat      seat      `json:"seat"`
	Foolproof foolproof `json:"foolproof"`
	Rails     *rails    `json:"rails,omitempty"`
	Rules     []rule    `json:"rules"`
	Sheets    []sheet   `json:"sheets"`
	Print     *printed  `json:"print,omitempty"`
	Notes     []string  `json:"notes"`
	Files     []file    `json:"files"`
	Seal      string    `json:"seal_sha256"` // last: export.Seal fills it in
}

type precision struct {
	ArcsWithinMM mm `json:"arcs_within_mm"`
	LengthsToMM  mm `json:"lengths_to_mm"`
}

type frame struct {
	LongAxis string `json:"long_axis"`
}

type board struct {
	LengthMM      mm        `json:"length_mm"`
	WidthStartMM  mm        `json:"width_start_mm"`
	WidthEndMM    mm        `json:"width_end_mm"`
	ThicknessMM   mm        `json:"thickness_mm"`
	CrownRadiusMM mm        `json:"crown_radius_mm"` // 0: flat
	Outline       []point   `json:"outline"`
	Wood          string    `json:"wood,omitempty"`
	Features      []feature `json:"features"`
	KeepOut       []keepOut `json:"keep_out"`
}

type feature struct {
	Name    string `json:"name"`
	UMM     mm     `json:"u_mm"`
	VMM     mm     `json:"v_mm"`
	BoreMM  mm     `json:"bore_mm"`
	DepthMM mm     `json:"depth_mm"`
}

type keepOut struct {
	Name   string `json:"name"`
	FromMM point  `json:"from_mm"`
	ToMM   point  `json:"to_mm"`
}

type template struct {
	Outline     []point `json:"outline"`
	Window      []point `json:"window,omitempty"` // absent when the board seats on its own pins
	ThicknessMM mm      `json:"thickness_mm"`
	ClearanceMM mm      `json:"clearance_mm"`
	Material    string  `json:"material"`
	Make        string  `json:"make"`
	MarginMM    mm      `json:"margin_mm"`
	KerfMM      mm      `json:"kerf_mm"`   // taken out of what is drawn; 0: drawn to size
	ReliefMM    mm      `json:"relief_mm"` // radius of the corner reliefs; 0: none
	Stops       []stop  `json:"stops"`
}

type stop struct {
	Wall   string `json:"wall"`
	FromMM point  `json:"from_mm"`
	ToMM   point  `json:"to_mm"`
}

type blank struct {
	LengthMM    mm        `json:"length_mm"`
	WidthMM     mm        `json:"width_mm"`
	ThicknessMM mm        `json:"thickness_mm"`
	Wood        string    `json:"wood,omitempty"`
	Outline     []point   `json:"outline"`
	Strips      [][]point `json:"strips"`
}

type bed struct {
	Material    string  `json:"material"`
	ThicknessMM mm      `json:"thickness_mm"`
	Outline     []point `json:"outline"`
	PinDepthMM  mm      `json:"pin_depth_mm,omitempty"` // how deep a pin stands in it; absent: no pin length given
}

type pin struct {
	ID           string   `json:"id"`
	Role         string   `json:"role"`
	UMM          mm       `json:"u_mm"`
	VMM          mm       `json:"v_mm"`
	XMM          mm       `json:"x_mm"`
	YMM          mm       `json:"y_mm"`
	Pin          dowelPin `json:"pin"`
	TemplateHole hole     `json:"template_hole"`
	BlankHole    *hole    `json:"blank_hole,omitempty"`
	BedHole      hole     `json:"bed_hole"`
	PrintHole    *hole    `json:"print_hole,omitempty"` // in the printed plate
}

type dowelPin struct {
	NominalMM mm     `json:"nominal_mm"`
	MinMM     mm     `json:"min_mm"`
	MaxMM     mm     `json:"max_mm"`
	Standard  string `json:"standard,omitempty"`
	Class     string `json:"class,omitempty"`
	LengthMM  mm     `json:"length_mm,omitempty"` // absent: not given
}

type hole struct {
	Class          string   `json:"class"`
	MinMM          mm       `json:"min_mm"`
	MaxMM          mm       `json:"max_mm"`
	DrawnMM        mm       `json:"drawn_mm"`
	SlotMM         mm       `json:"slot_mm"`        // free travel: distance of the end centres
	SlotAngleDeg   deg      `json:"slot_angle_deg"` // from +u, counter-clockwise
	Role           string   `json:"role"`           // in this part
	DepthMM        mm       `json:"depth_mm"`       // 0: through
	ClearanceMinMM mm       `json:"clearance_min_mm"`
	ClearanceMaxMM mm       `json:"clearance_max_mm"`
	Pressed        bool     `json:"pressed"` // the pin is driven in and stays: no odds and no clearance wanted
	Odds           ratio    `json:"odds"`    // that the pin enters by hand
	Holds          bool     `json:"holds"`
	Made           string   `json:"made"`
	Steps          []string `json:"steps"`
	Explain        []string `json:"explain"`
}

type seat struct {
	Kind        string         `json:"kind"`
	ThetaMaxRad rad            `json:"theta_max_rad"`
	Features    []featureFloat `json:"features"`
}

type featureFloat struct {
	Name     string `json:"name"`
	UMM      mm     `json:"u_mm"`
	VMM      mm     `json:"v_mm"`
	AlongMM  mm     `json:"along_mm"`
	AcrossMM mm     `json:"across_mm"`
	WorstMM  mm     `json:"worst_mm"`
}

type foolproof struct {
	HalfTurnMM  mm `json:"half_turn_mm"`
	FlipLongMM  mm `json:"flip_long_mm"`
	FlipShortMM mm `json:"flip_short_mm"`
}

type rails struct {
	StripMM   mm        `json:"strip_mm"`
	HeightMM  mm        `json:"height_mm"`
	GapMM     mm        `json:"gap_mm"`
	WallMM    mm        `json:"wall_mm"`
	EdgeMM    mm        `json:"edge_mm"`
	BearingMM mm        `json:"bearing_mm"`
	Glue      string    `json:"glue"`
	Outlines  [][]point `json:"outlines"`
}

type rule struct {
	ID    string `json:"id"`
	Level string `json:"level"`
	Value figure `json:"value"`
	Limit figure `json:"limit"`
	Unit  string `json:"unit"`
	Says  string `json:"says"`
	Line  int    `json:"line,omitempty"` // of the job file
}

type sheet struct {
	File          string  `json:"file"`
	OriginMM      point   `json:"origin_mm"` // where the datum line starts in the file
	SizeMM        point   `json:"size_mm"`
	KerfAppliedMM mm      `json:"kerf_applied_mm"` // 0: true size
	Layers        []layer `json:"layers"`
}

type layer struct {
	Name   string `json:"name"`
	Colour int    `json:"colour"`
	Cut    bool   `json:"cut"`
}

type printed struct {
	File        string      `json:"file"`
	OriginMM    point       `json:"origin_mm"` // where the datum line starts in the file
	ThicknessMM mm          `json:"thickness_mm"`
	Thinner     bool        `json:"thinner"` // than the sheet, so that its rails have something to stand on
	Holes       []printHole `json:"holes"`
	Rails       []printRail `json:"rails"`
	NozzleMM    mm          `json:"nozzle_mm,omitempty"`
	BedMM       *[3]mm      `json:"bed_mm,omitempty"` // absent: the job names no printer
}

// printHole is in the file's coordinates, its angle from the file's +X.
type printHole struct {
	ID         string `json:"id"`
	XMM        mm     `json:"x_mm"`
	YMM        mm     `json:"y_mm"`
	DiameterMM mm     `json:"diameter_mm"`
	SlotMM     mm     `json:"slot_mm"`
	AngleDeg   deg    `json:"slot_angle_deg"`
}

type printRail struct {
	Outline []point `json:"outline"` // in the file's coordinates
	TopMM   mm      `json:"top_mm"`  // above z = 0
}

type file struct {
	Name   string `json:"name"`
	Bytes  int    `json:"bytes"`
	SHA256 string `json:"sha256"`
}

func listFiles(in []export.File) []file {
	out := make([]file, len(in))
	for i, f := range in {
		out[i] = file{f.Name, f.Bytes, f.SHA256}
	}
	return out
}
