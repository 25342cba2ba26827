package job

import (
	"fmt"

	"reseat/jig/units"
)

// What a job leaves out. Lengths are mm and are the same in a job in inches.
const (
	defaultGrain    = "quarter"
	defaultDotBore  = 6.0
	defaultDotDepth = 1.5

	defaultBedMaterial  = "mdf"
	defaultBedThickness = 18.0

	defaultLongAxis = "y"
	defaultPosition = 0.05
	defaultSquare   = 0.0
	defaultCutter   = 6.0

	defaultStandardMM   = "iso 8734"
	defaultStandardInch = "asme b18.8.2"
	defaultPinCount     = 6

	defaultMargin    = 24.0
	defaultClearance = 0.10
	defaultKerf      = 0.0
	defaultNozzle    = 0.4

	defaultStrip   = 1.0
	defaultRailGap = 0.15
	defaultGlue    = "pva"

	defaultAccuracy = 0.10

	defaultTeeth      = 2
	defaultGlueGap    = 0.05
	defaultFirstUnder = 0.20
	defaultStep       = 0.05
	defaultProud      = 0.2
	defaultOpaque     = 1.0
)

// templateMaterial is what a plate is usually of, by how it is made.
var templateMaterial = map[string]string{
	"laser": "cast acrylic", "router": "birch plywood", "drill": "birch plywood", "ream": "birch plywood", "print": "pla",
}

// Default is the value that a key has when the job file leaves it out.
type Default struct {
	Path  string // dotted; "[]" stands for any entry of a list
	Value string // with its unit
	Why   string
}

// Defaults lists every key that may be left out, in the order of the job file.
// The three sections board, dowel and template must be there, and in them
// board.length, board.width, board.thickness, dowel.diameter, template.thickness
// and template.make.by. Lengths are the same in a job in inches: a default of
// 24 mm is 24 mm there too.
func Defaults() []Default {
	const practice = "common practice, no source"
	mm := func(v float64) string { return fmt.Sprintf("%s mm", units.Short(v)) }
	return []Default{
		{"title", "the file's name", "every sheet needs one"},
		{"units", "mm", "bare numbers are millimetres"},
		{"board.corner_radius", mm(0), "sharp corners"},
		{"board.crown_radius", "flat", "no crown"},
		{"board.wood", "not given", "movement with the climate is then not computed"},
		{"board.grain", defaultGrain, "quarter-sawn boards are usual in fingerboards; " + practice},
		{"board.movement_pct", "by board.wood and board.grain", "percent of the width per 1 % of moisture, where the wood is in no table here"},
		{"board.frets", "none", "no dots"},
		{"board.frets.dots", "none", "no dots"},
		{"board.frets.dot.bore", mm(defaultDotBore), "usual inlay dot; " + practice},
		{"board.frets.dot.depth", mm(defaultDotDepth), "a dot of 1.5 to 2 mm stands proud in it; " + practice},
		{"board.features", "none", "start end, middle and far end are judged when there are no dots either"},
		{"board.features[].v", mm(0), "on the datum line"},
		{"board.features[].bore", "not given", "a place without a bore"},
		{"board.features[].depth", "not given", "a place without a depth"},
		{"board.keep_out", "none", "pins may stand anywhere"},
		{"blank", "none", "the board is free already"},
		{"blank.wood", "board.wood", "the board is cut from it"},
		{"blank.make", "{by: router}", "bored on the machine itself"},
		{"bed.material", defaultBedMaterial, practice},
		{"bed.thickness", mm(defaultBedThickness), "the usual MDF board; " + practice},
		{"bed.length", "not given", "as long as the pattern needs"},
		{"bed.width", "not given", "as wide as the pattern needs"},
		{"bed.make", "{by: router}", "bored on the machine itself"},
		{"machine.long_axis", defaultLongAxis, "the long axis of most small routers; " + practice},
		{"machine.travel", "not given", "the pattern is not held against it"},
		{"machine.position", mm(defaultPosition), "plus or minus, 95 %: a cautious figure for a small router; " + practice},
		{"machine.square", mm(defaultSquare) + " over 300 mm", "axes taken as square until measured"},
		{"machine.cutter", mm(defaultCutter), practice},
		{"machine.zero", zeros[0], "X and Y zero are found again on the round pin; " + practice},
		{"dowel.standard", fmt.Sprintf("%s (in a job in inches: %s)", defaultStandardMM, defaultStandardInch), "hardened ground pins, the ones sold everywhere"},
		{"dowel.class", "the standard's own", "m6 for iso 8734"},
		{"dowel.length", "not given", "the length is then not checked"},
		{"dowel.count", fmt.Sprint(defaultPinCount), "two locate, four hold down; " + practice},
		{"dowel.locate", locates[0], "two pins locate without strain"},
		{"dowel.measured", "none", "the standard's limits hold"},
		{"template.seat", seats[0], "a window needs nothing of the board"},
		{"template.flip", flips[0], "the board comes back the same way up"},
		{"template.material", "by template.make.by: " + "cast acrylic (laser), birch plywood (router, drill, ream), pla (print)", practice},
		{"template.margin", mm(defaultMargin), "room for pins beside the window; " + practice},
		{"template.clearance", mm(defaultClearance), "per side: goes in by hand, does not rattle; " + practice},
		{"template.push", pushes[0], "the board floats in the window"},
		{"template.make.kerf", mm(defaultKerf), "files are drawn to true size: most cutters add the kerf themselves"},
		{"template.make.spread", "by process, material and thickness", "the process model's figure"},
		{"template.make.bias", "by process, material and thickness", "the process model's figure"},
		{"template.make.position", "by process; machine.position on the router", "measure the distance of two holes and it is yours"},
		{"template.make.taper", "by thickness", "the process model's figure; a laser's cut is a little wider on its side; laser only"},
		{"template.make.cutter", "machine.cutter", "the same spindle; router only"},
		{"template.make.nozzle", mm(defaultNozzle), "the usual nozzle; print only; " + practice},
		{"template.make.bed", "not given", "the plate is not held against the printer's bed; print only"},
		{"template.make.joint", "0.1 mm per side", "keys of a plate printed in parts; published figures run from 0.1 to 0.2 mm; print only"},
		{"template.make.shrink_pct", "0, not measured", "a print is drawn as it shall be; measure a long one and it is drawn larger; print only"},
		{"rails", "none", "no gluing rails"},
		{"rails.strip", mm(defaultStrip), practice},
		{"rails.gap", mm(defaultRailGap), "a release film and a little air; " + practice},
		{"rails.glue", defaultGlue, practice},
		{"climate", "none", "movement of the wood is not computed"},
		{"cutting.feed_mm_min", "600", "small routers in wood; " + practice},
		{"cutting.plunge_mm_min", "150", practice},
		{"cutting.spindle_rpm", "10000", "the slow end of most trim routers; " + practice},
		{"cutting.turn", "a fifth of the cutter, at most 1 mm", "depth of one turn"},
		{"cutting.finish", "0.1 mm", "radial stock of the last turn; " + practice},
		{"cutting.safe", "5 mm", "height of sideways moves over the stock; " + practice},
		{"cutting.dialect", dialects[0], "the smallest common subset of G-code"},
		{"cutting.teeth", fmt.Sprint(defaultTeeth), practice},
		{"cutting.force_n_mm2", "by a cautious guess", "specific cutting force; no figure for hardwood was found"},
		{"pockets.cutter", "machine.cutter", "measure yours: it is what the bore comes out by"},
		{"pockets.glue_gap", mm(defaultGlueGap), "on the diameter; " + practice},
		{"pockets.first_under", mm(defaultFirstUnder), "a bore too small is cut again, one too large is not; " + practice},
		{"pockets.step", mm(defaultStep), practice},
		{"pockets.proud", mm(defaultProud), "the inlay is sanded flush with the face; " + practice},
		{"pockets.opaque", mm(defaultOpaque), "thinner, the ground shows through; " + practice},
		{"board.features[].inlay", "none", "the bore is taken as it stands"},
		{"board.frets.dot.inlay", "none", "the bore is taken as it stands"},
		{"accuracy", mm(defaultAccuracy), "a tenth is what the eye sees beside an inlay; " + practice},
	}
}
