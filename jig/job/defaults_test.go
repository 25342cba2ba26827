package job

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"reseat/jig/units"
)

// leastJob is the shortest job with every section that has keys of its own.
const leastJob = `
board: {length: 478, width: 42, thickness: 6, wood: pear, frets: {scale: 600, count: 12}, features: [{name: a, u: 5}]}
blank: {length: 600, width: 100, thickness: 20}
dowel: {diameter: 6}
template: {thickness: 6, make: {by: BY}}
rails: {height: 3}
`

func parseLeast(t *testing.T, by string) *Job {
	t.Helper()
	j, err := Parse("pear.yaml", []byte(strings.Replace(leastJob, "BY", by, 1)))
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// TestDefaults holds what a job has without its optional keys against values written
// out here.
func TestDefaults(t *testing.T) {
	want := &Job{
		File: "pear.yaml", Title: "pear", Units: units.MM,
		Board: Board{
			LengthMM: 478, WidthStartMM: 42, WidthEndMM: 42, WidthErrorMM: 0.02, ThicknessMM: 6, Wood: "pear", Grain: "quarter",
			Frets:    &Frets{ScaleMM: 600, Count: 12, DotBoreMM: 6, DotDepthMM: 1.5},
			Features: []Feature{{Name: "a", UMM: 5, Side: "top", Key: "board.features[0]"}},
		},
		Blank: &Blank{LengthMM: 600, WidthMM: 100, ThicknessMM: 20, Wood: "pear",
			Make: Make{By: "router", Cutter: Cutter{DiameterMM: 6}}},
		Bed:     Bed{Material: "mdf", ThicknessMM: 18, Make: Make{By: "router", Cutter: Cutter{DiameterMM: 6}}},
		Machine: Machine{LongAxis: "y", PositionMM: 0.05, StraightMM: 0.02, TramMM: 0.05, Cutter: Cutter{DiameterMM: 6}, Zero: "pin"},
		Dowel:   Dowel{Standard: "iso 8734", DiameterMM: 6, Locate: "round and slot", LeanRad: 0.2 * math.Pi / 180},
		Template: Template{
			Seat: "nest", Flip: "none", Material: "cast acrylic", ThicknessMM: 6, MarginMM: 24, ClearanceMM: 0.1, Push: "none", Key: "none", Lift: true,
			Make: Make{By: "laser", NozzleMM: 0.4, StraightMM: 0.02, SquareMM: 0.03},
		},
		Rails: &Rails{
			StripMM: 1, Plate: "sheet", HeightMM: 3, GapMM: 0.15, FilmMM: 0.05, Push: "none", AccuracyMM: 0.3, Glue: "pva",
			ClampN: 2000, Caul: Caul{Material: "plywood"},
			Material: "cast acrylic", ThicknessMM: 3, Make: Make{By: "laser", NozzleMM: 0.4, StraightMM: 0.02, SquareMM: 0.03},
		},
		Cutting:    Cutting{Dialect: "plain", Teeth: 2},
		Pockets:    Pockets{GlueGapMM: 0.05, FirstUnderMM: 0.2, StepMM: 0.05, ProudMM: 0.2, OpaqueMM: 1},
		AccuracyMM: 0.1,
	}
	got := parseLeast(t, "laser")
	if d := cmp.Diff(want, got, cmpopts.IgnoreUnexported(Job{}, Make{}), cmpopts.IgnoreFields(Job{}, "SHA256")); d != "" {
		t.Errorf("(-want +got):\n%s", d)
	}
	for _, key := range []string{"spread", "bias", "position", "taper", "kerf"} {
		if got.Template.Make.IsGiven(key) {
			t.Errorf("template.make.%s was not given", key)
		}
	}
	for _, c := range []struct {
		by, material     string
		cutterMM, nozzle float64
	}{
		{"router", "birch plywood", 6, 0.4}, // of the printer that prints the gluing plate
		{"print", "pla", 0, 0.4},
	} {
		tm := parseLeast(t, c.by).Template
		if tm.Material != c.material || tm.Make.Cutter.DiameterMM != c.cutterMM || tm.Make.NozzleMM != c.nozzle {
			t.Errorf("%s: %+v", c.by, tm)
		}
	}
	inch, err := Parse("a", []byte("units: in\nboard: {length: 18, width: 2, thickness: 1/4}\ndowel: {diameter: 1/4}\n"+
		"template: {thickness: 1/4, make: {by: laser}}\n"))
	if err != nil {
		t.Fatal(err)
	}
	if inch.Dowel.Standard != "asme b18.8.2" || inch.Template.MarginMM != 24 || inch.AccuracyMM != 0.1 {
		t.Errorf("in inches: %s, margin %g, accuracy %g", inch.Dowel.Standard, inch.Template.MarginMM, inch.AccuracyMM)
	}
}

// TestKeys: every key can be left out for a stated reason, must be there, is a part told
// with its section, or is an entry of a list.
func TestKeys(t *testing.T) {
	for _, k := range keys().rows {
		if k.why != "" && k.need != "" {
			t.Errorf("%s has a default and must be there", k.path)
		}
		if k.why != "" && k.defaultInWords() == "" {
			t.Errorf("%s: the default is not told", k.path)
		}
		if (k.kind == aLength || k.kind == aNumber || k.kind == aCount) && k.span.most == 0 {
			t.Errorf("%s has no bounds", k.path)
		}
	}
}

// TestKeysAreExplained: every key has a meaning, and a figure that it has without the job
// file's word says where it is from.
func TestKeysAreExplained(t *testing.T) {
	for _, k := range Keys() {
		if k.Meaning == "" {
			t.Errorf("%s has no meaning", k.Path)
		}
		if at := keyAt(k.Path); at.value != nil && at.value != 0.0 && at.kind != aText && k.Mark == "" {
			t.Errorf("%s: default %s has no mark of its source", k.Path, k.Default)
		}
		if !strings.Contains("standard web practice recalled derived", k.Mark) {
			t.Errorf("%s: mark %q", k.Path, k.Mark)
		}
	}
}
