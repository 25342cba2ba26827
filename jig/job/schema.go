package job

import "sort"

// keysOf lists the keys of every section, in the order in which they are told.
// A section in a list has "[]" in its path.
var keysOf = map[string][]string{
	"": {
		"title", "units", "board", "blank", "bed", "machine", "dowel", "template", "rails", "climate", "cutting", "pockets", "accuracy",
	},
	"board": {
		"length", "width", "thickness", "corner_radius", "crown_radius", "wood", "grain", "movement_pct", "frets", "features", "keep_out",
	},
	"board.width":            {"start", "end"},
	"board.frets":            {"scale", "count", "dots", "dot"},
	"board.frets.dot":        {"bore", "depth", "inlay"},
	"board.frets.dot.inlay":  {"measured", "thickness"},
	"board.frets.dots[]":     {"fret", "spread"},
	"board.features[]":       {"name", "u", "v", "bore", "depth", "inlay"},
	"board.features[].inlay": {"measured", "thickness"},
	"board.keep_out[]":       {"name", "from", "to"},
	"blank":                  {"length", "width", "thickness", "wood", "make"},
	"bed":                    {"material", "thickness", "length", "width", "make"},
	"machine":                {"long_axis", "travel", "position", "square", "cutter", "zero"},
	"machine.travel":         {"x", "y", "z"},
	"dowel":                  {"standard", "class", "diameter", "length", "count", "locate", "measured"},
	"template": {
		"seat", "flip", "material", "thickness", "margin", "clearance", "push", "make",
	},
	"template.make":     {"by", "kerf", "spread", "bias", "position", "taper", "cutter", "nozzle", "bed", "joint", "shrink_pct"},
	"template.make.bed": {"x", "y", "z"},
	"blank.make":        {"by", "kerf", "spread", "bias", "position", "taper", "cutter"},
	"bed.make":          {"by", "kerf", "spread", "bias", "position", "taper", "cutter"},
	"rails":             {"strip", "height", "gap", "glue"},
	"cutting":           {"feed_mm_min", "plunge_mm_min", "spindle_rpm", "turn", "finish", "safe", "dialect", "teeth", "force_n_mm2"},
	"pockets":           {"cutter", "glue_gap", "first_under", "step", "proud", "opaque"},
	"climate":           {"made", "now"},
	"climate.made":      {"temp", "rh"},
	"climate.now":       {"temp", "rh"},
}

// homesOf returns the sections that have the key, sorted; for a key that stands
// in the wrong one.
func homesOf(key string) []string {
	var homes []string
	for path, keys := range keysOf {
		for _, k := range keys {
			if k == key && path != "" {
				homes = append(homes, path)
			}
		}
	}
	sort.Strings(homes)
	return homes
}
