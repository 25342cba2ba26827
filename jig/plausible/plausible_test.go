package plausible

import (
	"strings"
	"testing"

	"reseat/jig/job"
)

// good is a job of our own in which nothing is doubtful.
const good = `
board:
  length: 345
  width: {start: 36.5, end: 47.2}
  thickness: 5.8
  frets: {scale: 511, count: 19, dots: [5], dot: {bore: 5, depth: 1.5, inlay: {measured: [5.1], thickness: 2.0}}}
  features: [{name: mark, u: 20, bore: 4, inlay: {measured: [4.1], thickness: 1.5}}]
  keep_out: [{name: rod, from: [0, -4], to: [330, 4]}]
blank: {length: 420, width: 70, thickness: 25, make: {by: laser, kerf: 0.2}}
bed: {make: {by: laser, kerf: 0.2}}
machine: {position: 0.05, square: 0.1}
dowel: {diameter: 5, length: 20}
template: {seat: nest, thickness: 5, clearance: 0.1, make: {by: laser, kerf: 0.2}}
climate: {made: {temp: 20, rh: 50}, now: {temp: 24, rh: 54}}
accuracy: 0.15
`

func doubts(t *testing.T, text string) (*job.Job, []Doubt) {
	t.Helper()
	j, err := job.Parse("test.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return j, Doubts(j)
}

// TestDoubts slips one value at a time: it alone is doubted, by its key. A row without a key
// lies just on the right side.
func TestDoubts(t *testing.T) {
	const widths, rod = "{start: 36.5, end: 47.2}", "from: [0, -4], to: [330, 4]"
	for _, c := range []struct{ name, from, to, key, says string }{
		{"nothing", "", "", "", ""},
		{"widths exchanged", widths, "{start: 47.2, end: 36.5}", "board.width", "start: 36.5, end: 47.2"},
		{"no taper", widths, "40", "", ""},
		{"u and v exchanged", rod, "from: [-4, 0], to: [4, 330]", "board.keep_out[0]", "along the board"},
		{"across the whole plate", rod, "from: [100, -90], to: [140, 90]", "", ""},
		{"beside the board", rod, "from: [0, 22], to: [20, 80]", "", ""},
		{"neck blank thinner than the board on it", "thickness: 25", "thickness: 5", "", ""},
		{"square of 5 mm", "square: 0.1", "square: 5", "machine.square", "0.95 degrees"},
		{"square of 1 mm", "square: 0.1", "square: 1", "", ""},
		{"a bar", "thickness: 5.8", "thickness: 58", "board.thickness", "width and thickness"},
		{"scale of a smaller one", "scale: 511, count: 19", "scale: 340, count: 10", "board.frets.scale", "nut to bridge"},
		{"loose window", "clearance: 0.1", "clearance: 1.1", "template.clearance", "0.05 to 0.2"},
		{"kerf of the plate", "0.1, make: {by: laser, kerf: 0.2}", "0.1, make: {by: laser, kerf: 2}",
			"template.make.kerf", "usual"},
		{"kerf of the bed", "bed: {make: {by: laser, kerf: 0.2}}", "bed: {make: {by: laser, kerf: 2}}", "bed.make.kerf",
			"usual"},
		{"kerf of the blank", "25, make: {by: laser, kerf: 0.2}", "25, make: {by: laser, kerf: 2}", "blank.make.kerf",
			"usual"},
		{"Fahrenheit", "now: {temp: 24", "now: {temp: 59", "climate.now.temp", "15 degrees Celsius"},
		{"a hot day", "made: {temp: 20", "made: {temp: 40", "", ""},
		{"disc as thick as wide", "thickness: 2.0", "thickness: 20", "board.frets.dot.inlay.thickness", "diameter"},
		{"thick disc of a feature", "thickness: 1.5", "thickness: 15", "board.features[0].inlay.thickness", "mark's"},
		{"coarse machine", "position: 0.05", "position: 0.5", "machine.position", "dial"},
		{"leaning pins", "dowel: {", "dowel: {lean_deg: 2, ", "dowel.lean_deg", "2 degrees"},
		{"pins that lean a little", "dowel: {", "dowel: {lean_deg: 0.9, ", "", ""},
		{"width by a rule", "thickness: 5.8", "thickness: 5.8\n  width_error: 0.5", "board.width_error", "known to 0.5 mm"},
		{"bowed axis", "position: 0.05", "position: 0.05, straight: 0.4", "machine.straight", "bowed by 0.4 mm"},
		{"spindle askew", "position: 0.05", "position: 0.05, tram: 1.2", "machine.tram", "over 150 mm by 1.2 mm"},
		{"wavy walls", "0.1, make: {by: laser", "0.1, make: {straight: 0.4, by: laser", "template.make.straight", "0.4 mm"},
		{"askew plate", "0.1, make: {by: laser", "0.1, make: {square: 1.2, by: laser", "template.make.square", "1.2 mm"},
		{"by eye", "accuracy: 0.15", "accuracy: 1.5", "accuracy", "by eye"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if !strings.Contains(good, c.from) {
				t.Fatal("nothing to change")
			}
			j, all := doubts(t, strings.Replace(good, c.from, c.to, 1))
			switch {
			case c.key == "" && len(all) > 0 || c.key != "" && len(all) != 1:
				t.Fatalf("doubts %+v", all)
			case c.key == "":
				return
			}
			d := all[0]
			if d.Key != c.key || !strings.Contains(d.Says+"; "+d.Remedy, c.says) || !(d.Value > d.Limit) {
				t.Errorf("%+v", d)
			}
			if j.Pos(d.Key).Line == 0 {
				t.Error("no line")
			}
		})
	}
}

// TestOfThePart: a board as wide as long, and one that is thicker than the blank that it is
// cut from.
func TestOfThePart(t *testing.T) {
	const plain = "board: {length: 300, width: 60, thickness: 12}\nblank: {length: 380, width: 140, thickness: 20}\n" +
		"dowel: {diameter: 6}\ntemplate: {seat: pins, thickness: 6, make: {by: router}}\n"
	for _, c := range []struct{ name, from, to, key string }{
		{"nothing", "", "", ""},
		{"a tile", "length: 300", "length: 50", "board.length"},
		{"blank too thin", "thickness: 20", "thickness: 11", "blank.thickness"},
		{"blank as thick", "thickness: 20", "thickness: 12", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, all := doubts(t, strings.Replace(plain, c.from, c.to, 1))
			if len(all) > 1 || len(all) == 1 && all[0].Key != c.key || len(all) == 0 && c.key != "" {
				t.Errorf("doubts %+v", all)
			}
		})
	}
}
