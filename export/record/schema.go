package record

import "reseat/export"

// The structs give the keys and their order. Keys that the contract names come in
// its order; more follow where the design knows more.

type point [2]mm // [u, v] in the board frame, or [x, y] in a file

type document struct {
	MadeBy     string          `json:"made_by"`
	Title      string          `json:"title"`
	JobFile    string          `json:"job_file,omitempty"` // name without its directory
	JobSHA256  string          `json:"job_sha256,omitempty"`
	Units      string          `json:"units"`
	Precision  precision       `json:"precision"`
	Frame      frame           `json:"frame"`
	Board      board           `json:"board"`
	Template   template        `json:"template"`
	Blank      *blank          `json:"blank,omitempty"`
	Bed        bed             `json:"bed"`
	Pins       []pin           `json:"pins"`
	Seat       seat            `json:"seat"`
	Foolproof  foolproof       `json:"foolproof"`
	Pattern    pattern         `json:"pattern"`
	Assembly   *assembly       `json:"assembly,omitempty"` // of what seats on the bed; absent: the board cannot be seated
	Assemblies []assembly      `json:"assemblies"`         // of every pair of parts that the pins join
	Budget     []featureBudget `json:"budget"`
	Simulation *simulation     `json:"simulation,omitempty"` // of the budget
	Climate    *climate        `json:"climate,omitempty"`
	Rails      *rails          `json:"rails,omitempty"`
	Rules      []rule          `json:"rules"`
	Sheets     []sheet         `json:"sheets"`
	Programs   []program       `json:"programs"`        // for the router
	Print      []printed       `json:"print,omitempty"` // one for each file that the plate is printed from
	Split      *split          `json:"split,omitempty"`
	Notes      []string        `json:"notes"`
	Files      []file          `json:"files"`
	Seal       string          `json:"seal_sha256"` // last: export.Seal fills it in
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

type pattern struct {
	ObjectiveMM mm         `json:"objective_mm"` // worst error at any feature from the locating pins
	Objective   string     `json:"objective"`
	Limits      string     `json:"limits"` // what keeps it from being smaller
	Room        []pinLimit `json:"room"`
}

// pinLimit is what more room would bring the locating pins.
type pinLimit struct {
	Rule    string   `json:"rule"`
	Pins    []string `json:"pins"`
	Keys    []string `json:"keys"` // of the job file
	MoreMM  mm       `json:"more_mm"`
	WouldMM mm       `json:"objective_would_be_mm"`
}

type assembly struct {
	Part         string `json:"part"`     // goes over the pins
	On           string `json:"on"`       // they stand in it
	Odds         ratio  `json:"odds"`     // that every pin enters
	OddsLow      ratio  `json:"odds_low"` // 95 % interval that the trials leave
	OddsHigh     ratio  `json:"odds_high"`
	Trials       int    `json:"trials"`
	Seed         uint64 `json:"seed"`
	ExtraFor99MM mm     `json:"extra_clearance_for_99_mm"` // on the diameter; negative: to spare
	Tightest     string `json:"tightest"`
}

type featureBudget struct {
	Feature       string `json:"feature"`
	UMM           mm     `json:"u_mm"`
	VMM           mm     `json:"v_mm"`
	Terms         []term `json:"terms"`
	WorstMM       mm     `json:"worst_mm"` // sum of the terms
	AlongWorstMM  mm     `json:"along_worst_mm"`
	AcrossWorstMM mm     `json:"across_worst_mm"`
	P95MM         mm     `json:"p95_mm"` // simulated
	AlongP95MM    mm     `json:"along_p95_mm"`
	AcrossP95MM   mm     `json:"across_p95_mm"`
	Largest       string `json:"largest"` // source with the largest share of the mean square error
	LargestShare  ratio  `json:"largest_share"`
	Remedy        string `json:"remedy"`
}

type term struct {
	Source        string `json:"source"`
	WorstMM       mm     `json:"worst_mm"`
	SDMM          mm     `json:"sd_mm"` // both axes together
	AlongWorstMM  mm     `json:"along_worst_mm"`
	AcrossWorstMM mm     `json:"across_worst_mm"`
	AlongSDMM     mm     `json:"along_sd_mm"`
	AcrossSDMM    mm     `json:"across_sd_mm"`
	AlongOffMM    mm     `json:"along_off_mm"` // what is known to be off, signed
	AcrossOffMM   mm     `json:"across_off_mm"`
	Share         ratio  `json:"share"`
}

type simulation struct {
	Trials int    `json:"trials"`
	Seed   uint64 `json:"seed"`
}

type climate struct {
	MadeC            figure `json:"made_temp_c"`
	MadeRHPct        figure `json:"made_rh_pct"`
	NowC             figure `json:"now_temp_c"`
	NowRHPct         figure `json:"now_rh_pct"`
	Wood             string `json:"wood"`
	MoistureMadePct  figure `json:"made_moisture_pct"`
	MoistureNowPct   figure `json:"now_moisture_pct"`
	WidthMM          mm     `json:"board_width_grows_mm"`
	LengthMM         mm     `json:"board_length_grows_mm"`
	WindowMM         mm     `json:"window_width_grows_mm"`
	ClearanceLeftMM  mm     `json:"clearance_left_mm"`
	EntersBelowRHPct figure `json:"enters_below_rh_pct,omitempty"`
	Source           string `json:"source"`
	FromMemory       bool   `json:"from_memory"` // recalled, not seen
	Note             string `json:"note,omitempty"`
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
	*gluing             // absent when it could not be computed
}

// gluing has the least figures where a range is usual, and the most under a key of
// its own.
type gluing struct {
	PressureMPa       mm     `json:"pressure_mpa"`
	ClosingForceN     mm     `json:"closing_force_n"`
	ClosingForceMostN mm     `json:"closing_force_most_n"`
	ClampForceN       mm     `json:"clamp_force_n"`
	Clamps            mm     `json:"clamps"`
	GlueG             mm     `json:"glue_g"`
	GlueMostG         mm     `json:"glue_most_g"`
	SqueezeOutML      mm     `json:"squeeze_out_ml"` // at most
	ChamferMM         mm     `json:"squeeze_out_chamfer_mm"`
	SideLoadN         mm     `json:"side_load_n"`   // on one rail, at most
	DeflectionMM      mm     `json:"deflection_mm"` // of the rail's top, at most
	Sources           string `json:"gluing_sources"`
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

type program struct {
	File       string        `json:"file"`
	Part       string        `json:"part"`
	Dialect    string        `json:"dialect"`
	ToolMM     mm            `json:"tool_mm"`
	SpindleRPM mm            `json:"spindle_rpm"`
	SafeZMM    mm            `json:"safe_z_mm"`
	LeastMM    [3]mm         `json:"least_mm"` // corner of the box of the tip's way, work zero
	MostMM     [3]mm         `json:"most_mm"`
	DeepestMM  mm            `json:"deepest_mm"` // below the stock's top
	PerTurnMM  mm            `json:"per_turn_mm"`
	Turns      int           `json:"turns"`
	TimeS      mm            `json:"time_s"`
	Holes      []programHole `json:"holes"` // round ones
}

type programHole struct {
	ID         string `json:"id"`
	XMM        mm     `json:"x_mm"`
	YMM        mm     `json:"y_mm"`
	DiameterMM mm     `json:"diameter_mm"`
	DepthMM    mm     `json:"depth_mm"` // below the stock's top
}

type split struct {
	SeamsMM     []mm `json:"seams_u_mm"`
	ClearanceMM mm   `json:"key_clearance_mm"` // per side
	Parts       int  `json:"parts"`
}

type printed struct {
	File         string      `json:"file"`
	OriginMM     point       `json:"origin_mm"` // where the datum line starts in the file
	ThicknessMM  mm          `json:"thickness_mm"`
	Thinner      bool        `json:"thinner"` // than the sheet, so that its rails have something to stand on
	Holes        []printHole `json:"holes"`
	Rails        []printRail `json:"rails"`
	NozzleMM     mm          `json:"nozzle_mm,omitempty"`
	BedMM        *[3]mm      `json:"bed_mm,omitempty"` // absent: the job names no printer
	TurnDeg      deg         `json:"turn_deg"`         // of the file's +X from the board's +u, counter-clockwise
	Scale        ratio       `json:"scale"`            // of plane lengths but hole diameters, against shrinkage
	FootMM       mm          `json:"foot_chamfer_mm"`
	WindowFootMM mm          `json:"window_foot_chamfer_mm"`
	EntryMM      mm          `json:"hole_entry_chamfer_mm"`
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
	*body
}

// body is what reading a printed part's file again found.
type body struct {
	Facets     int        `json:"facets"`
	Shells     int        `json:"shells"`
	Closed     bool       `json:"closed"` // every edge has two facets that run through it either way
	VolumeMM3  mm         `json:"volume_mm3"`
	FormulaMM3 mm         `json:"formula_mm3,omitempty"` // absent: parts overlap, and no formula holds
	SizeMM     [3]mm      `json:"size_mm"`
	Holes      []bodyHole `json:"holes"`
}

type bodyHole struct {
	ID      string `json:"id"`
	DrawnMM mm     `json:"drawn_mm"`
	FreeMM  mm     `json:"free_mm"` // of the largest pin that passes
}

// Body is what reading a printed part's file again found; lengths in mm.
type Body struct {
	Facets, Shells        int
	Closed                bool
	VolumeMM3, FormulaMM3 float64 // FormulaMM3 is 0 when no formula holds
	SizeMM                [3]float64
	Holes                 []BodyHole
}

// BodyHole is a hole of a printed part: drawn, and the largest pin that passes.
type BodyHole struct {
	ID              string
	DrawnMM, FreeMM float64
}

func listFiles(in []export.File, bodies map[string]Body) []file {
	out := make([]file, len(in))
	for i, f := range in {
		out[i] = file{f.Name, f.Bytes, f.SHA256, nil}
		if b, ok := bodies[f.Name]; ok {
			out[i].body = &body{
				b.Facets, b.Shells, b.Closed, mm(b.VolumeMM3), mm(b.FormulaMM3),
				[3]mm{mm(b.SizeMM[0]), mm(b.SizeMM[1]), mm(b.SizeMM[2])},
				convert(b.Holes, func(h BodyHole) bodyHole { return bodyHole{h.ID, mm(h.DrawnMM), mm(h.FreeMM)} }),
			}
		}
	}
	return out
}
