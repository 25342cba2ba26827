package job

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"reseat/jig/units"
)

// key is one key of the job file: what it can hold, and what the job has without it.
// The table keys is the one place that says so; reading, messages and the list of
// defaults follow from it.
type key struct {
	path  string   // dotted; "[]" stands for any entry of a list
	kind  kind     //
	span  span     // of a length in mm, a number or a count; of a list, its number of entries
	unit  string   // of a number that is no length, as told
	words []string // of a choice; the first is the default
	need  string   // what to write when it is missing; "": it can be left out
	value any      // what the job has without it: float64, int or string; nil: zero
	told  string   // the default in words, where value does not say it
	why   string   // of the default; "": a part told with its section
	only  string   // the process of a make section that the key goes with; "": any
}

// kind is what a key holds.
type kind int

const (
	aSection kind = iota
	aLength       // in the file's unit or its own
	aNumber       // plain, in the key's unit
	aCount        // a whole number
	aChoice       // one of the words
	aText         // one line
	aList         // of what the key with "[]" holds
	aPlace        // [u, v]
	aWidth        // a length, or a section with both ends
	aCrown        // a length; 0 is flat
	aDot          // a fret number, or a section
	someOf        // a section with at least one of its keys
)

// practice marks a figure of the trade that has no source.
const practice = "common practice, no source"

// span is a closed range that a value can lie in at all. Whether it is wise is
// for the rules to say.
//
// A board is anything from a small inlay plate to a neck of a double bass; a machine is
// one that stands in a workshop. All bounds: common practice, no source, chosen wide, so
// that only a slip (a wrong unit, a lost point) falls outside.
type span struct{ least, most float64 }

func (s span) holds(v float64) bool { return v >= s.least && v <= s.most }

// in tells the range in the unit u, for a message.
func (s span) in(u units.Unit) string {
	return fmt.Sprintf("%s to %s %s", units.Significant(s.least/u.MM(), 4), units.Significant(s.most/u.MM(), 4), u)
}

var (
	placeSpan    = span{-3000, 3000} // u or v
	boreSpan     = span{0.5, 100}
	depthSpan    = span{0.05, 200}
	cutterSpan   = span{0.1, 60}
	travelSpan   = span{10, 10000}
	printerSpan  = span{30, 3000}
	feedSpan     = span{10, 20000}
	degreesSpan  = span{-20, 60}
	percentSpan  = span{0, 100}
	positionSpan = span{0, 2}
	readingsSpan = span{0, maxReadings}
	fretSpan     = span{0, 40} // three octaves and a third
)

var (
	makers = []string{"laser", "router", "drill", "ream", "print"}
	borers = []string{"router", "laser", "drill", "ream"} // of blank and bed
)

// templateMaterial is what a plate is usually of, by how it is made.
var templateMaterial = map[string]string{
	"laser": "cast acrylic", "router": "birch plywood", "drill": "birch plywood", "ream": "birch plywood", "print": "pla",
}

// standardOf is the usual standard of pins in a job of either unit.
var standardOf = map[units.Unit]string{units.MM: "iso 8734", units.Inch: "asme b18.8.2"}

var keys = withMakes([]key{
	{path: "title", kind: aText, told: "the file's name", why: "every sheet needs one"},
	{path: "units", kind: aChoice, words: []string{"mm", "in"}, why: "bare numbers are millimetres"},

	{path: "board", need: "it has length, width and thickness at least"},
	{path: "board.length", kind: aLength, span: span{30, 3000}, need: "write length: and the board's length along the " +
		"datum line"},
	{path: "board.width", kind: aWidth, span: span{5, 600}, need: "write width: and one number, or {start: 41.5, end: " +
		"55} for a taper"},
	{path: "board.width.start", kind: aLength, span: span{5, 600}, need: "the width at the start end"},
	{path: "board.width.end", kind: aLength, span: span{5, 600}, need: "the width at the far end"},
	{path: "board.thickness", kind: aLength, span: span{0.5, 200}, need: "write thickness: and the board's thickness"},
	{path: "board.corner_radius", kind: aLength, span: span{0, 300}, value: 0.0, why: "sharp corners"},
	{path: "board.crown_radius", kind: aCrown, span: span{10, 20000}, told: "flat", why: "no crown"},
	{path: "board.wood", kind: aText, told: "not given", why: "movement with the climate is then not computed"},
	{path: "board.grain", kind: aChoice, words: []string{"quarter", "flat"}, why: "quarter-sawn boards are usual in " +
		"fingerboards; " + practice},
	// woods run from 0.1 to 0.45
	{path: "board.movement_pct", kind: aNumber, span: span{0.01, 1}, unit: "percent of the width",
		told: "by board.wood and board.grain", why: "percent of the width per 1 % of moisture, where the wood is in no " +
			"table here"},
	{path: "board.frets", told: "none", why: "no dots"},
	{path: "board.frets.scale", kind: aLength, span: span{100, 1500}, need: "the length of the open string, nut to " +
		"bridge"},
	{path: "board.frets.count", kind: aCount, span: fretSpan, need: "how many frets lie on the board"},
	{path: "board.frets.dots", kind: aList, span: span{0, fretSpan.most}, told: "none", why: "no dots"},
	{path: "board.frets.dots[]", kind: aDot, span: span{1, fretSpan.most}},
	{path: "board.frets.dots[].fret", kind: aCount, span: span{1, fretSpan.most},
		need: "the dot lies midway between this fret and the one before"},
	{path: "board.frets.dots[].spread", kind: aLength, span: span{0, 300}},
	{path: "board.frets.dot"},
	{path: "board.frets.dot.bore", kind: aLength, span: boreSpan, value: 6.0, why: "usual inlay dot; " + practice},
	{path: "board.frets.dot.depth", kind: aLength, span: depthSpan, value: 1.5,
		why: "a dot of 1.5 to 2 mm stands proud in it; " + practice},
	{path: "board.frets.dot.inlay", told: "none", why: "the bore is taken as it stands"},
	{path: "board.frets.dot.inlay.measured", kind: aList, span: readingsSpan,
		need: "write measured: [6.02, 5.99], one for each disc, or leave inlay out"},
	{path: "board.frets.dot.inlay.measured[]", kind: aLength, span: boreSpan},
	{path: "board.frets.dot.inlay.thickness", kind: aLength, span: span{0.1, 50}, need: "of the disc, measured"},
	{path: "board.features", kind: aList, span: span{0, maxFeatures}, told: "none",
		why: "start end, middle and far end are judged when there are no dots either"},
	{path: "board.features[]"},
	{path: "board.features[].name", kind: aText, need: "a short name that the sheets can show"},
	{path: "board.features[].u", kind: aLength, span: placeSpan, need: "the station, from the start end along the " +
		"datum line"},
	{path: "board.features[].v", kind: aLength, span: placeSpan, value: 0.0, why: "on the datum line"},
	{path: "board.features[].bore", kind: aLength, span: boreSpan, told: "not given", why: "a place without a bore"},
	{path: "board.features[].depth", kind: aLength, span: depthSpan, told: "not given", why: "a place without a depth"},
	{path: "board.features[].inlay", told: "none", why: "the bore is taken as it stands"},
	{path: "board.features[].inlay.measured", kind: aList, span: readingsSpan,
		need: "write measured: [6.02, 5.99], one for each disc, or leave inlay out"},
	{path: "board.features[].inlay.measured[]", kind: aLength, span: boreSpan},
	{path: "board.features[].inlay.thickness", kind: aLength, span: span{0.1, 50}, need: "of the disc, measured"},
	{path: "board.keep_out", kind: aList, span: span{0, 100}, told: "none", why: "pins may stand anywhere"},
	{path: "board.keep_out[]"},
	{path: "board.keep_out[].name", kind: aText, need: "what is there"},
	{path: "board.keep_out[].from", kind: aPlace, span: placeSpan, need: "one corner, [u, v]"},
	{path: "board.keep_out[].to", kind: aPlace, span: placeSpan, need: "the opposite corner, [u, v]"},

	{path: "blank", told: "none", why: "the board is free already"},
	{path: "blank.length", kind: aLength, span: span{30, 4000}, need: "along the datum line"},
	{path: "blank.width", kind: aLength, span: span{5, 1000}, need: "across the datum line"},
	{path: "blank.thickness", kind: aLength, span: span{0.5, 300}, need: "what the pin holes go through"},
	{path: "blank.wood", kind: aText, told: "board.wood", why: "the board is cut from it"},
	{path: "blank.make", told: "{by: router}", why: "bored on the machine itself"},

	{path: "bed"},
	{path: "bed.material", kind: aText, value: "mdf", why: practice},
	{path: "bed.thickness", kind: aLength, span: span{1, 200}, value: 18.0, why: "the usual MDF board; " + practice},
	{path: "bed.length", kind: aLength, span: span{30, 5000}, told: "not given", why: "as long as the pattern needs"},
	{path: "bed.width", kind: aLength, span: span{30, 5000}, told: "not given", why: "as wide as the pattern needs"},
	{path: "bed.make", told: "{by: router}", why: "bored on the machine itself"},

	{path: "machine"},
	{path: "machine.long_axis", kind: aChoice, words: []string{"y", "x"}, why: "the long axis of most small routers; " +
		practice},
	{path: "machine.travel", kind: someOf, told: "not given", why: "the pattern is not held against it"},
	{path: "machine.travel.x", kind: aLength, span: travelSpan},
	{path: "machine.travel.y", kind: aLength, span: travelSpan},
	{path: "machine.travel.z", kind: aLength, span: travelSpan},
	{path: "machine.position", kind: aLength, span: positionSpan, value: 0.05,
		why: "plus or minus, 95 %: a cautious figure for a small router; " + practice},
	{path: "machine.square", kind: aLength, span: span{0, 5}, value: 0.0, told: "0 mm over 300 mm",
		why: "axes taken as square until measured"},
	{path: "machine.cutter", kind: aLength, span: cutterSpan, value: 6.0, why: practice},
	{path: "machine.zero", kind: aChoice, words: []string{"pin", "kept", "edge finder", "paper", "eye"},
		why: "X and Y zero are found again on the round pin; " + practice},

	{path: "dowel", need: "it has the pins' diameter at least"},
	{path: "dowel.standard", kind: aText, told: "iso 8734 (in a job in inches: asme b18.8.2)",
		why: "hardened ground pins, the ones sold everywhere"},
	{path: "dowel.class", kind: aText, told: "the standard's own", why: "m6 for iso 8734"},
	{path: "dowel.diameter", kind: aLength, span: span{1, 25}, need: "the pins' nominal diameter"},
	{path: "dowel.length", kind: aLength, span: span{3, 200}, told: "not given", why: "the length is then not checked"},
	// more is a misprint
	{path: "dowel.count", kind: aCount, span: span{2, 12}, value: 6, why: "two locate, four hold down; " + practice},
	{path: "dowel.locate", kind: aChoice, words: []string{"round and slot", "all round"},
		why: "two pins locate without strain"},
	{path: "dowel.measured", kind: aList, span: readingsSpan, told: "none", why: "the standard's limits hold"},
	{path: "dowel.measured[]", kind: aLength, span: span{0, 1e6}}, // the pin's size is the real bound

	{path: "template", need: "it has thickness and make: {by: ...} at least"},
	{path: "template.seat", kind: aChoice, words: []string{"nest", "pins"}, why: "a window needs nothing of the board"},
	{path: "template.flip", kind: aChoice, words: []string{"none", "long", "short"},
		why: "the board comes back the same way up"},
	{path: "template.material", kind: aText,
		told: "by template.make.by: cast acrylic (laser), birch plywood (router, drill, ream), pla (print)", why: practice},
	{path: "template.thickness", kind: aLength, span: span{0.5, 100}, need: "the plate's thickness"},
	{path: "template.margin", kind: aLength, span: span{0, 500}, value: 24.0, why: "room for pins beside the window; " +
		practice},
	{path: "template.clearance", kind: aLength, span: span{0, 5}, value: 0.1,
		why: "per side: goes in by hand, does not rattle; " + practice},
	{path: "template.push", kind: aChoice, words: []string{"none", "left", "right"},
		why: "the board floats in the window"},
	{path: "template.make", need: "write make: {by: laser}, or router, drill, ream, print"},

	{path: "rails", told: "none", why: "no gluing rails"},
	{path: "rails.strip", kind: aLength, span: span{0, 50}, value: 1.0, why: practice},
	{path: "rails.height", kind: aLength, span: span{0.2, 200}, need: "above the glue land, below the board's lowest " +
		"edge"},
	{path: "rails.gap", kind: aLength, span: span{0, 10}, value: 0.15, why: "a release film and a little air; " +
		practice},
	{path: "rails.glue", kind: aChoice, words: []string{"pva", "epoxy", "hide", "casein"}, why: practice},

	{path: "climate", told: "none", why: "movement of the wood is not computed"},
	{path: "climate.made", need: "write {temp: 20, rh: 50}: degrees Celsius and percent"},
	{path: "climate.made.temp", kind: aNumber, span: degreesSpan, unit: "degrees Celsius", need: "degrees Celsius"},
	{path: "climate.made.rh", kind: aNumber, span: percentSpan, unit: "percent", need: "percent"},
	{path: "climate.now", need: "write {temp: 20, rh: 50}: degrees Celsius and percent"},
	{path: "climate.now.temp", kind: aNumber, span: degreesSpan, unit: "degrees Celsius", need: "degrees Celsius"},
	{path: "climate.now.rh", kind: aNumber, span: percentSpan, unit: "percent", need: "percent"},

	{path: "cutting"},
	{path: "cutting.feed_mm_min", kind: aNumber, span: feedSpan, unit: "mm per minute", told: "600",
		why: "small routers in wood; " + practice},
	{path: "cutting.plunge_mm_min", kind: aNumber, span: feedSpan, unit: "mm per minute", told: "150", why: practice},
	{path: "cutting.spindle_rpm", kind: aNumber, span: span{100, 100000}, unit: "revolutions per minute",
		told: "10000", why: "the slow end of most trim routers; " + practice},
	{path: "cutting.turn", kind: aLength, span: span{0.01, 20}, told: "a fifth of the cutter, at most 1 mm",
		why: "depth of one pass"},
	{path: "cutting.finish", kind: aLength, span: span{0.01, 5}, told: "0.1 mm",
		why: "radial stock of the finishing pass; " + practice},
	{path: "cutting.safe", kind: aLength, span: span{2, 200}, told: "5 mm", why: "height of sideways moves over the " +
		"stock; " + practice},
	{path: "cutting.dialect", kind: aChoice, words: []string{"plain", "ngc"},
		why: "the smallest common subset of G-code"},
	{path: "cutting.teeth", kind: aCount, span: span{1, 12}, value: 2, why: practice},
	{path: "cutting.force_n_mm2", kind: aNumber, span: span{1, 1000}, unit: "N per mm2",
		told: "by a cautious guess", why: "specific cutting force; no figure for hardwood was found"},

	{path: "pockets"},
	{path: "pockets.cutter", kind: aLength, span: cutterSpan, told: "machine.cutter",
		why: "measure yours: it is what the bore comes out by"},
	{path: "pockets.glue_gap", kind: aLength, span: span{0, 2}, value: 0.05, why: "on the diameter; " + practice},
	{path: "pockets.first_under", kind: aLength, span: span{0, 5}, value: 0.2,
		why: "a bore too small is cut again, one too large is not; " + practice},
	{path: "pockets.step", kind: aLength, span: span{0.005, 2}, value: 0.05, why: practice},
	{path: "pockets.proud", kind: aLength, span: span{0, 10}, value: 0.2, why: "the inlay is sanded flush with the " +
		"face; " + practice},
	{path: "pockets.final_crown_radius", kind: aLength, span: span{10, 20000}, told: "board.crown_radius",
		why: "of a face that is radiused after the inlays are in"},
	{path: "pockets.sand", kind: aLength, span: span{0, 20}, value: 0.0, why: "taken off the datum line after inlaying"},
	{path: "pockets.opaque", kind: aLength, span: span{0, 20}, value: 1.0, why: "thinner, the ground shows through; " +
		practice},

	{path: "accuracy", kind: aLength, span: span{0.001, 10}, value: 0.1, why: "a tenth is what the eye sees beside an " +
		"inlay; " + practice},
})

// makeKeys are those of template.make; the make sections of blank and bed have the
// ones that go with a process of theirs, told with the template's.
var makeKeys = []key{
	{path: "by", kind: aChoice, words: makers, need: "how it is made: laser, router, drill, ream or print"},
	{path: "kerf", kind: aLength, span: span{0, 5}, value: 0.0, only: "laser",
		why: "files are drawn to true size: most cutters add the kerf themselves"},
	{path: "spread", kind: aLength, span: span{0, 2}, told: "by process, material and thickness",
		why: "the process model's figure"},
	{path: "bias", kind: aLength, span: span{-2, 2}, told: "by process, material and thickness",
		why: "the process model's figure"},
	{path: "position", kind: aLength, span: positionSpan, told: "by process; machine.position on the router",
		why: "measure the distance of two holes and it is yours"},
	{path: "taper", kind: aLength, span: span{0, 2}, only: "laser", told: "by thickness",
		why: "the process model's figure; a laser's cut is a little wider on its side; laser only"},
	{path: "cutter", kind: aLength, span: cutterSpan, only: "router", told: "machine.cutter",
		why: "the same spindle; router only"},
	{path: "nozzle", kind: aLength, span: span{0.1, 3}, only: "print", value: 0.4,
		why: "the usual nozzle; print only; " + practice},
	{path: "bed", kind: someOf, only: "print", told: "not given", why: "the plate is not held against the printer's " +
		"bed; print only"},
	{path: "bed.x", kind: aLength, span: printerSpan},
	{path: "bed.y", kind: aLength, span: printerSpan},
	{path: "bed.z", kind: aLength, span: printerSpan},
	{path: "joint", kind: aLength, span: span{0, 5}, only: "print", told: "0.1 mm per side",
		why: "keys of a plate printed in parts; 0.1 to 0.2 mm elsewhere (web); print only"},
	{path: "shrink_pct", kind: aNumber, span: span{-2, 5}, unit: "percent", only: "print", // filaments run from 0 to 3
		told: "0, not measured", why: "a print is drawn as it shall be; measure a long one and it is drawn larger; print " +
			"only"},
}

// withMakes puts the keys of the make sections behind their sections.
func withMakes(in []key) []key {
	var out []key
	for _, k := range in {
		out = append(out, k)
		if !strings.HasSuffix(k.path, ".make") {
			continue
		}
		for _, m := range makeKeys {
			if k.path != "template.make" {
				if m.only == "print" || strings.Contains(m.path, ".") {
					continue
				}
				m.why = ""
				if m.path == "by" {
					m.words, m.need = borers, "how it is made: "+listed(borers)
				}
			}
			m.path = join(k.path, m.path)
			out = append(out, m)
		}
	}
	return out
}

var (
	keyAt     = map[string]key{}      // by path
	keysBelow = map[string][]string{} // the names of a section's keys, in the order in which they are told
)

func init() {
	for _, k := range keys {
		keyAt[k.path] = k
		i := strings.LastIndexByte(k.path, '.')
		if name := k.path[i+1:]; !strings.HasSuffix(name, "[]") {
			keysBelow[k.path[:max(i, 0)]] = append(keysBelow[k.path[:max(i, 0)]], name)
		}
	}
}

// sectionsWith returns the sections that have a key of the name, sorted; for a key that
// stands in the wrong one.
func sectionsWith(name string) []string {
	var out []string
	for path, names := range keysBelow {
		if path != "" && slices.Contains(names, name) {
			out = append(out, path)
		}
	}
	sort.Strings(out)
	return out
}

// Default is the value that a key has when the job file leaves it out.
type Default struct {
	Path  string `json:"key"`     // dotted; "[]" stands for any entry of a list
	Value string `json:"default"` // with its unit
	Why   string `json:"why"`
}

// Defaults lists every key that may be left out, in the order of the job file.
// The three sections board, dowel and template must be there, and in them
// board.length, board.width, board.thickness, dowel.diameter, template.thickness
// and template.make.by. Lengths are the same in a job in inches: a default of
// 24 mm is 24 mm there too.
func Defaults() []Default {
	var out []Default
	for _, k := range keys {
		if k.why != "" {
			out = append(out, Default{k.path, k.defaultInWords(), k.why})
		}
	}
	return out
}

func (k key) defaultInWords() string {
	switch v := k.value.(type) {
	case float64:
		if k.told == "" {
			return units.Short(v) + " mm"
		}
	case int, string:
		return fmt.Sprint(v)
	}
	if k.told == "" && k.words != nil {
		return k.words[0]
	}
	return k.told
}
