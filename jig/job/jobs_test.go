package job

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"reseat/jig/geom"
	"reseat/jig/units"
)

// TestExampleJobs: the jobs that the README shows are good ones.
func TestExampleJobs(t *testing.T) {
	paths, err := filepath.Glob(filepath.Join("..", "..", "testdata", "jobs", "*.yaml"))
	if err != nil || len(paths) < 4 {
		t.Fatalf("want four example jobs, found %d (%v)", len(paths), err)
	}
	for _, p := range paths {
		t.Run(filepath.Base(p), func(t *testing.T) {
			j, err := Read(p)
			if err != nil {
				t.Fatal(err)
			}
			if j.File != p || j.Title == "" || len(j.Board.AllFeatures()) == 0 {
				t.Errorf("file %q, title %q, %d features", j.File, j.Title, len(j.Board.AllFeatures()))
			}
		})
	}
}

// measurements are the keys that only a measurement can fill.
var measurements = []string{
	"board.frets.dot.inlay", "machine.position", "machine.square", "dowel.measured", "climate", "board.width_error",
	"machine.straight", "machine.tram", "dowel.lean_deg", "template.make.straight", "template.make.square",
	"template.make.kerf", "template.make.spread", "template.make.bias", "template.make.taper", "template.make.position",
}

func TestStarter(t *testing.T) {
	for _, tc := range []struct {
		unit         units.Unit
		size, figure string // of pin and disc, and of all else that is measured
	}{{units.MM, "6", "1"}, {units.Inch, "1/4 in", "0.05"}} {
		u := tc.unit
		t.Run(u.String(), func(t *testing.T) {
			text := string(Starter(u))
			j, err := Parse("starter.yaml", []byte(text))
			if err != nil {
				t.Fatal(err)
			}
			if j.Units != u {
				t.Errorf("units %s", j.Units)
			}
			// The sections in comments must be good too, once the marks are gone.
			bare := regexp.MustCompile(`(?m)^  # (features:|keep_out:|  - )`).ReplaceAllString(text, "  $1")
			// What only a measurement fills is no key yet: a comment with dots for the figure.
			measured := regexp.MustCompile(`(?m)^( *)# (\w+: .*\.\..*)$`)
			bare = strings.ReplaceAll(measured.ReplaceAllString(bare, "$1$2"), "[.., .., ..]", "["+tc.size+"]")
			bare = strings.ReplaceAll(strings.ReplaceAll(bare, "rh: ..", "rh: 50"), "..", tc.figure)
			for _, key := range measurements {
				if j.IsGiven(key) {
					t.Errorf("the starter gives %s a figure, which only a measurement can", key)
				}
			}
			k, err := Parse("starter.yaml", []byte(bare))
			if err != nil {
				t.Fatal(err)
			}
			if len(k.Board.Features) != 1 || len(k.Board.KeepOut) != 1 {
				t.Errorf("%d features and %d keep-outs in comments", len(k.Board.Features), len(k.Board.KeepOut))
			}
			for _, key := range measurements {
				if !k.IsGiven(key) {
					t.Errorf("the starter does not say how %s is measured", key)
				}
			}
			for _, section := range keysBelow("") {
				if section != "blank" && !k.IsGiven(section) {
					t.Errorf("the starter does not show %s", section)
				}
			}
		})
	}
}

// TestParseWholeJob holds every field against a job written out by hand, in
// inches where that can show a mistake in conversion.
func TestParseWholeJob(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("testdata", "whole.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	j, err := Parse("whole.yaml", data)
	if err != nil {
		t.Fatal(err)
	}
	want := &Job{
		File: "whole.yaml", Title: "Everything at once", Units: units.Inch,
		Board: Board{
			LengthMM: 508, WidthStartMM: 50.8, WidthEndMM: 60, WidthErrorMM: 0.0508, ThicknessMM: 6.35, CornerRadiusMM: 3.175, CrownRadiusMM: 406.4,
			Wood: "pear", Grain: "flat", MovementPct: 0.18,
			Frets: &Frets{
				ScaleMM: 635, Count: 19, Dots: []Dot{{Fret: 3}, {Fret: 12, SpreadMM: 25.4}}, DotBoreMM: 5, DotDepthMM: 2,
				DotInlay: &Inlay{MeasuredMM: []float64{5}, ThicknessMM: 1.9},
			},
			Features: []Feature{{Name: "peg mark", UMM: 25.4, VMM: -6.35, BoreMM: 4, DepthMM: 1.5, Side: "under",
				Inlay: &Inlay{MeasuredMM: []float64{4.02, 3.98}, ThicknessMM: 2}, Key: "board.features[0]"}},
			KeepOut: []KeepOut{{Name: "rod", From: geom.Vec{X: 0, Y: -4}, To: geom.Vec{X: 431.8, Y: 4}}},
		},
		Blank: &Blank{
			LengthMM: 635, WidthMM: 127, ThicknessMM: 25.4, Wood: "sapele",
			Make: Make{By: "drill", SpreadMM: 0.0254, BiasMM: -0.0508},
		},
		Bed: Bed{Material: "plywood", ThicknessMM: 19.05, LengthMM: 762, WidthMM: 254,
			Make: Make{By: "router", PositionMM: 0.0508,
				Cutter: Cutter{DiameterMM: 3, ReachMM: 12.7, Teeth: 1, ColletMM: 20, BelowMM: 25.4}}},
		Machine: Machine{
			LongAxis: "x", TravelMM: [3]float64{1016, 0, 76.2}, PositionMM: 0.0254, SquareMM: 0.0508,
			StraightMM: 0.0254, TramMM: 0.0762, Cutter: Cutter{DiameterMM: 3.175},
			Cutters: []Cutter{{DiameterMM: 3.175}, {DiameterMM: 6}},
			Zero:    "edge finder",
		},
		Dowel: Dowel{
			Standard: "iso 8734", Class: "h8", DiameterMM: 6, LengthMM: 24, Count: 4, Locate: "all round",
			LeanRad:  0.5 * math.Pi / 180,
			Measured: []float64{5.998, 6.001},
		},
		Template: Template{
			Seat: "pins", Flip: "short", Cradle: true, Material: "petg", ThicknessMM: 6.35, MarginMM: 25.4, ClearanceMM: 0.1, Push: "none", Key: "none", Lift: true,
			Make: Make{By: "print", NozzleMM: 0.6, BedMM: [3]float64{300, 200, 0}, BiasMM: 0.1, StraightMM: 0.03, SquareMM: 0.06},
		},
		Rails: &Rails{
			StripMM: 1, HeightMM: 3.175, GapMM: 0.2, FilmMM: 0.05, Push: "none", AccuracyMM: 0.3, Glue: "hide",
			ClampN: 2000, Caul: Caul{Material: "plywood"}, Material: "petg",
			Make: Make{By: "print", NozzleMM: 0.6, BedMM: [3]float64{300, 200, 0}, BiasMM: 0.1, StraightMM: 0.03, SquareMM: 0.06},
		},
		Climate: &Climate{Made: Air{21, 45}, Now: Air{-3.5, 62.5}},
		Cutting: Cutting{FeedMMmin: 700, PlungeMMmin: 120, SpindleRPM: 12000, TurnMM: 0.508, FinishMM: 0.127, SafeMM: 6.35,
			Dialect: "ngc", Teeth: 3, ForceNmm2: 60},
		Pockets: Pockets{
			Cutter: Cutter{DiameterMM: 3.02}, GlueGapMM: 0.0508, FirstUnderMM: 0.254, StepMM: 0.0254, ProudMM: 0.254, OpaqueMM: 1.016,
			FinalCrownRadiusMM: 304.8, SandMM: 0.254,
		},
		AccuracyMM: 0.127,
	}
	opts := cmp.Options{
		cmpopts.IgnoreUnexported(Job{}, Make{}), cmpopts.IgnoreFields(Job{}, "SHA256"),
		// An inch value is one product away from the decimal written here.
		cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) <= 4e-16*math.Max(math.Abs(a), math.Abs(b)) }),
	}
	if d := cmp.Diff(want, j, opts); d != "" {
		t.Error(d)
	}
	for key, given := range map[string]bool{"by": true, "bias": true, "spread": false, "position": false, "taper": false,
		"joint": false, "shrink_pct": false, "kerf": false, "nozzle": true, "bed": true, "cutter": false,
		"nonsense": false} {
		if j.Template.Make.IsGiven(key) != given {
			t.Errorf("template.make Given(%q) = %v", key, !given)
		}
	}
}

// TestPos: design rules find the place in the file, or the nearest one around it.
func TestPos(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("testdata", "whole.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	j, err := Parse("whole.yaml", data)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(string(data), "\n")
	for _, c := range []struct{ name, path, starts string }{
		{"a value", "title", "Everything at once"},
		{"a value in a flow section", "board.width.end", "60 mm}"},
		{"a flow section", "board.width", "{start: 2"},
		{"a block section: its key", "board", "board:"},
		{"a block section inside", "template.make", "make:"},
		{"an entry of a list", "board.features[0]", "{name: peg mark"},
		{"a value in a list", "board.features[0].v", "-0.25"},
		{"a dot", "board.frets.dots[1]", "{fret: 12"},
		{"a coordinate", "board.keep_out[0].to[1]", "4 mm]"},
		{"a default: the section around it", "template.clearance", "template:"},
		{"a default in a default", "machine.travel.y", "{x: 40"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := j.Pos(c.path)
			if p.Line < 1 || p.Column < 1 {
				t.Fatalf("%s has no place", c.path)
			}
			if got := lines[p.Line-1][p.Column-1:]; !strings.HasPrefix(got, c.starts) {
				t.Errorf("%s is at %q, want %q", c.path, got, c.starts)
			}
		})
	}
	if p := j.Pos("nowhere"); p != (Position{}) {
		t.Errorf("nowhere is at %v", p)
	}
	if p := (&Job{}).Pos("board"); p != (Position{}) {
		t.Errorf("a job without text has places: %v", p)
	}
	if !j.IsGiven("board.width.end") || j.IsGiven("template.clearance") || (&Job{}).IsGiven("board") {
		t.Error("Given is wrong")
	}
}
