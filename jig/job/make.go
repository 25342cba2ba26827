package job

// Make is how a part's holes and outlines are made. Whether a value was given
// or is a default is told by Given, since a given spread or bias overrides the
// process model and an absent one does not.
type Make struct {
	By         string     // "laser", "router", "drill", "ream" or "print"
	KerfMM     float64    // width of the cut, laser only; 0: files are drawn to true size
	SpreadMM   float64    // of a hole's diameter, plus or minus, 95 %
	BiasMM     float64    // finished diameter less the diameter asked for
	PositionMM float64    // how far a hole lies from its place, per axis, plus or minus, 95 %
	TaperMM    float64    // laser only: difference of a hole's diameters at the two faces
	ShrinkPct  float64    // print only: what a print comes out short of what is drawn, percent of a length
	JointMM    float64    // print only: clearance of a key between two parts, per side
	CutterMM   float64    // router only: diameter; machine.cutter when not given
	NozzleMM   float64    // print only
	BedMM      [3]float64 // print only: the printer's bed x, y, z; 0: not given

	given makeKey
}

// makeKey is a set of keys of a make section.
type makeKey uint16

var makeKeys = map[string]makeKey{
	"by": 1 << 0, "kerf": 1 << 1, "spread": 1 << 2, "bias": 1 << 3,
	"cutter": 1 << 4, "nozzle": 1 << 5, "bed": 1 << 6, "position": 1 << 7, "taper": 1 << 8, "joint": 1 << 9, "shrink_pct": 1 << 10,
}

// Given reports whether the job file itself has the key ("by", "kerf", "spread",
// "bias", "position", "taper", "joint", "shrink_pct", "cutter", "nozzle" or "bed") in this make section. It is
// false for every other word.
func (m Make) Given(key string) bool { return m.given&makeKeys[key] != 0 }
