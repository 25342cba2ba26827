package job

import (
	"fmt"
	"strings"
	"testing"
)

// leastJob is the shortest job there is: what Defaults leaves over.
const leastJob = `
board: {length: 478, width: 42, thickness: 6, frets: {scale: 600, count: 12}, features: [{name: a, u: 5}]}
blank: {length: 600, width: 100, thickness: 20}
dowel: {diameter: 6}
template: {thickness: 6, make: {by: BY}}
rails: {height: 3}
`

// TestDefaultsTable holds the table that people read against what the reader
// does with a job that leaves everything out.
func TestDefaultsTable(t *testing.T) {
	parse := func(by string) *Job {
		j, err := Parse("pear.yaml", []byte(strings.Replace(leastJob, "BY", by, 1)))
		if err != nil {
			t.Fatal(err)
		}
		return j
	}
	laser, router, printed := parse("laser"), parse("router"), parse("print")
	mm := func(v float64) string { return fmt.Sprintf("%g mm", v) }
	absent := func(v float64) string {
		if v != 0 {
			return mm(v)
		}
		return "not given"
	}
	none := func(n int) string {
		if n != 0 {
			return fmt.Sprint(n)
		}
		return "none"
	}
	inch, err := Parse("a", []byte("units: in\nboard: {length: 18, width: 2, thickness: 1/4}\ndowel: {diameter: 1/4}\ntemplate: {thickness: 1/4, make: {by: laser}}\n"))
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]string{
		"title":                    map[bool]string{true: "the file's name"}[laser.Title == "pear"],
		"units":                    laser.Units.String(),
		"board.corner_radius":      mm(laser.Board.CornerRadiusMM),
		"board.crown_radius":       map[bool]string{true: "flat"}[laser.Board.CrownRadiusMM == 0],
		"board.wood":               map[bool]string{true: "not given"}[laser.Board.Wood == ""],
		"board.grain":              laser.Board.Grain,
		"board.movement_pct":       map[bool]string{true: "by board.wood and board.grain"}[laser.Board.MovementPct == 0],
		"machine.zero":             laser.Machine.Zero,
		"dowel.locate":             laser.Dowel.Locate,
		"template.make.shrink_pct": map[bool]string{true: "0, not measured"}[printed.Template.Make.ShrinkPct == 0],
		"template.make.joint":      map[bool]string{true: "0.1 mm per side"}[!printed.Template.Make.Given("joint")],
		"template.make.taper":      map[bool]string{true: "by thickness"}[!laser.Template.Make.Given("taper")],
		"template.make.position":   map[bool]string{true: "by process; machine.position on the router"}[!laser.Template.Make.Given("position")],
		"board.frets":              map[bool]string{true: "none"}[parseWithoutFrets(t).Board.Frets == nil],
		"board.frets.dots":         none(len(laser.Board.Frets.Dots)),
		"board.frets.dot.bore":     mm(laser.Board.Frets.DotBoreMM),
		"board.frets.dot.depth":    mm(laser.Board.Frets.DotDepthMM),
		"board.features":           none(len(parseWithoutFrets(t).Board.Features)),
		"board.features[].v":       mm(laser.Board.Features[0].VMM),
		"board.features[].bore":    absent(laser.Board.Features[0].BoreMM),
		"board.features[].depth":   absent(laser.Board.Features[0].DepthMM),
		"board.keep_out":           none(len(laser.Board.KeepOut)),
		"blank":                    map[bool]string{true: "none"}[parseWithoutFrets(t).Blank == nil],
		"blank.wood":               map[bool]string{true: "board.wood"}[parseWithWood(t).Blank.Wood == "pear"],
		"blank.make":               fmt.Sprintf("{by: %s}", laser.Blank.Make.By),
		"bed.material":             laser.Bed.Material,
		"bed.thickness":            mm(laser.Bed.ThicknessMM),
		"bed.length":               absent(laser.Bed.LengthMM),
		"bed.width":                absent(laser.Bed.WidthMM),
		"bed.make":                 fmt.Sprintf("{by: %s}", laser.Bed.Make.By),
		"machine.long_axis":        laser.Machine.LongAxis,
		"machine.travel":           map[bool]string{true: "not given"}[laser.Machine.TravelMM == [3]float64{}],
		"machine.position":         mm(laser.Machine.PositionMM),
		"machine.square":           mm(laser.Machine.SquareMM) + " over 300 mm",
		"machine.cutter":           mm(laser.Machine.CutterMM),
		"dowel.standard":           fmt.Sprintf("%s (in a job in inches: %s)", laser.Dowel.Standard, inch.Dowel.Standard),
		"dowel.class":              map[bool]string{true: "the standard's own"}[laser.Dowel.Class == ""],
		"dowel.length":             absent(laser.Dowel.LengthMM),
		"dowel.count":              fmt.Sprint(laser.Dowel.Count),
		"dowel.measured":           none(len(laser.Dowel.Measured)),
		"template.seat":            laser.Template.Seat,
		"template.flip":            laser.Template.Flip,
		"template.material":        fmt.Sprintf("by template.make.by: %s (laser), %s (router, drill, ream), %s (print)", laser.Template.Material, router.Template.Material, printed.Template.Material),
		"template.margin":          mm(laser.Template.MarginMM),
		"template.clearance":       mm(laser.Template.ClearanceMM),
		"template.push":            laser.Template.Push,
		"template.make.kerf":       mm(laser.Template.Make.KerfMM),
		"template.make.spread":     map[bool]string{true: "by process, material and thickness"}[!laser.Template.Make.Given("spread")],
		"template.make.bias":       map[bool]string{true: "by process, material and thickness"}[!laser.Template.Make.Given("bias")],
		"template.make.cutter":     map[bool]string{true: "machine.cutter"}[router.Template.Make.CutterMM == router.Machine.CutterMM],
		"template.make.nozzle":     mm(printed.Template.Make.NozzleMM),
		"template.make.bed":        map[bool]string{true: "not given"}[printed.Template.Make.BedMM == [3]float64{}],
		"rails":                    map[bool]string{true: "none"}[parseWithoutFrets(t).Rails == nil],
		"rails.strip":              mm(laser.Rails.StripMM),
		"rails.gap":                mm(laser.Rails.GapMM),
		"rails.glue":               laser.Rails.Glue,
		"climate":                  map[bool]string{true: "none"}[laser.Climate == nil],
		"cutting.feed_mm_min":      map[bool]string{true: "600"}[laser.Cutting.FeedMMmin == 0],
		"cutting.plunge_mm_min":    map[bool]string{true: "150"}[laser.Cutting.PlungeMMmin == 0],
		"cutting.spindle_rpm":      map[bool]string{true: "10000"}[laser.Cutting.SpindleRPM == 0],
		"cutting.turn":             map[bool]string{true: "a fifth of the cutter, at most 1 mm"}[laser.Cutting.TurnMM == 0],
		"cutting.finish":           map[bool]string{true: "0.1 mm"}[laser.Cutting.FinishMM == 0],
		"cutting.safe":             map[bool]string{true: "5 mm"}[laser.Cutting.SafeMM == 0],
		"cutting.dialect":          laser.Cutting.Dialect,
		"cutting.teeth":            fmt.Sprint(laser.Cutting.Teeth),
		"cutting.force_n_mm2":      map[bool]string{true: "by a cautious guess"}[laser.Cutting.ForceNmm2 == 0],
		"pockets.cutter":           map[bool]string{true: "machine.cutter"}[laser.Pockets.CutterMM == 0],
		"pockets.glue_gap":         mm(laser.Pockets.GlueGapMM),
		"pockets.first_under":      mm(laser.Pockets.FirstUnderMM),
		"pockets.step":             mm(laser.Pockets.StepMM),
		"pockets.proud":            mm(laser.Pockets.ProudMM),
		"pockets.opaque":           mm(laser.Pockets.OpaqueMM),
		"board.features[].inlay":   map[bool]string{true: "none"}[laser.Board.Features[0].Inlay == nil],
		"board.frets.dot.inlay":    map[bool]string{true: "none"}[laser.Board.Frets.DotInlay == nil],
		"accuracy":                 mm(laser.AccuracyMM),
	}
	for _, d := range Defaults() {
		v, ok := got[d.Path]
		if !ok {
			t.Errorf("%s: the table has it, the test does not", d.Path)
		}
		if v != d.Value {
			t.Errorf("%s: the table says %q, the reader gives %q", d.Path, d.Value, v)
		}
		if d.Why == "" {
			t.Errorf("%s: no reason", d.Path)
		}
		delete(got, d.Path)
	}
	for path := range got {
		t.Errorf("%s is not in the table", path)
	}
	if inch.Template.MarginMM != laser.Template.MarginMM || inch.AccuracyMM != laser.AccuracyMM {
		t.Error("defaults in a job in inches differ from those in millimetres")
	}
}

func parseWithoutFrets(t *testing.T) *Job {
	t.Helper()
	j, err := Parse("a", []byte("board: {length: 478, width: 42, thickness: 6}\ndowel: {diameter: 6}\ntemplate: {thickness: 6, make: {by: laser}}\n"))
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func parseWithWood(t *testing.T) *Job {
	t.Helper()
	text := strings.Replace(strings.Replace(leastJob, "BY", "laser", 1), "thickness: 6,", "thickness: 6, wood: pear,", 1)
	j, err := Parse("a", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// TestDefaultsCoverSchema: every key either has a default or is one that must be
// there, in the words of Defaults.
func TestDefaultsCoverSchema(t *testing.T) {
	covered := map[string]bool{}
	for _, d := range Defaults() {
		covered[d.Path] = true
	}
	must := " board board.length board.width board.width.start board.width.end board.thickness board.frets.scale " +
		"board.frets.count board.frets.dots[].fret board.features[].name board.features[].u board.keep_out[].name board.keep_out[].from " +
		"board.keep_out[].to blank.length blank.width blank.thickness dowel dowel.diameter template template.thickness template.make " +
		"template.make.by rails.height climate.made climate.now climate.made.temp climate.made.rh climate.now.temp climate.now.rh " +
		"board.features[].inlay.measured board.features[].inlay.thickness board.frets.dot.inlay.measured board.frets.dot.inlay.thickness "
	// Sections whose parts have defaults, and parts told with their section.
	parts := " bed machine cutting pockets board.frets.dot board.frets.dots[].spread machine.travel.x machine.travel.y machine.travel.z " +
		"template.make.bed.x template.make.bed.y template.make.bed.z "
	for section, keys := range keysOf {
		if section == "blank.make" || section == "bed.make" {
			continue // as template.make
		}
		for _, k := range keys {
			p := join(section, k)
			if !covered[p] && !strings.Contains(must, " "+p+" ") && !strings.Contains(parts, " "+p+" ") {
				t.Errorf("%s has no default and is not among the keys that must be there", p)
			}
			if covered[p] && strings.Contains(must, " "+p+" ") {
				t.Errorf("%s has a default and must be there", p)
			}
		}
	}
}
