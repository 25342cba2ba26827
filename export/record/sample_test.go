package record

import (
	"math"

	"reseat/dowel"
	"reseat/export"
	"reseat/jig"
	"reseat/jig/assembly"
	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/rail"
	"reseat/jig/sourced"
)

// sample is a design of our own, small but with every part that the record knows.
// The machine's long axis is y: u runs along +Y, v along -X.
func sample() *jig.Design {
	frame := jig.Frame{LongAxis: "y", ToMachine: geom.Rigid{Angle: math.Pi / 2}}
	board := geom.Taper(200, 40, 50)
	window := geom.Relieve(board.Offset(0.1), 1.6)
	outline := geom.RoundCorners(board.Offset(24), 4)
	six := dowel.Pin{Standard: "iso 8734", Class: "m6", NominalMM: 6, MinMM: 6.004, MaxMM: 6.012, LengthMM: 24}
	hole := jig.Hole{
		Role: jig.Round, Class: "E8", MinMM: 6.02, MaxMM: 6.038, DrawnMM: 5.5,
		Made: "laser, then ream", Steps: []string{"cut 5.5 mm", "ream 6 E8"}, Odds: 1, Holds: true,
		Explain: []string{"a laser does not hold E8"}, ClearMinMM: 0.008, ClearMaxMM: 0.034,
	}
	slot := hole
	slot.Role, slot.SlotMM, slot.SlotAngleUV = jig.Slot, 0.5, math.Atan2(1, 150)
	slot.SlotAngleXY = slot.SlotAngleUV + math.Pi/2
	blind := hole
	blind.DepthMM, blind.Class, blind.Steps, blind.Explain = 12, "H7", nil, nil
	at := []geom.Vec{{X: 20, Y: -40}, {X: 170.0 + 1.0/3, Y: -39}}
	d := &jig.Design{
		Title: `Fingerboard "seven" <again>`, JobFile: "jobs/sample.yaml", Frame: frame,
		Board: jig.Board{
			LengthMM: 200, WidthStartMM: 40, WidthEndMM: 50, ThicknessMM: 6.5, CrownRadiusMM: 350, Wood: "pear",
			Outline:  board,
			Features: []jig.Feature{{Name: "dot 3", At: geom.Vec{X: 55.5}, BoreMM: 4, DepthMM: 1.5}},
			KeepOut:  []jig.KeepOut{{Name: "rod channel", Box: geom.Box{Min: geom.Vec{Y: -4}, Max: geom.Vec{X: 190, Y: 4}}}},
		},
		Template: jig.Template{
			Outline: outline, Window: window, ThicknessMM: 6, ClearanceMM: 0.1, MarginMM: 24,
			Material: "cast acrylic", MakeBy: "laser", KerfMM: 0.2, ReliefMM: 1.6,
			Stops: []jig.Stop{{Wall: "start", A: board[0].Vec, B: board[3].Vec}},
		},
		Blank: &jig.Blank{
			LengthMM: 300, WidthMM: 112, ThicknessMM: 26, Wood: "sapele",
			Outline: geom.Rect(geom.Box{Min: geom.Vec{X: -50, Y: -56}, Max: geom.Vec{X: 250, Y: 56}}),
			Strips:  []geom.Loop{geom.Rect(geom.Box{Min: geom.Vec{Y: 26}, Max: geom.Vec{X: 200, Y: 27}})},
		},
		Bed: jig.Bed{Material: "mdf", ThicknessMM: 18,
			Outline: geom.Rect(geom.Box{Min: geom.Vec{X: -80, Y: -80}, Max: geom.Vec{X: 280, Y: 80}})},
		Seat: jig.Seat{Kind: "nest", ThetaMax: 4.2198e-4, Features: []jig.FeatureFloat{
			{Name: "dot 3", At: geom.Vec{X: 55.5}, AlongMM: 0.1, AcrossMM: 0.10147, WorstMM: 0.1425},
		}},
		Budget: &budget.Budget{Trials: 1000, Seed: 7, Features: []budget.FeatureBudget{{
			Name: "dot 3", At: geom.Vec{X: 55.5}, WorstMM: 0.26, P95MM: 0.0873, Largest: "wood movement",
			Contributions: []budget.Contribution{
				{Source: "pin clearance", WorstMM: 0.03, SDMM: 0.01},
				{Source: "hole position, bed", WorstMM: 0.04, SDMM: 0.02},
				{Source: "wood movement", WorstMM: 0.05, AcrossBiasMM: 0.03, Remedy: "Let it rest."},
			},
		}}},
		Assembly: []jig.Assembly{
			{Part: "template", On: "bed", Odds: 0.998, OddsLow: 0.997, OddsHigh: 0.999, Trials: 1000, Seed: 7,
				ExtraFor99MM: -0.006, Failed: 2, Critical: assembly.Critical{Pin: "A", Share: 1, ByClearance: true}},
			{Part: "template", On: "blank", Odds: 1, OddsLow: 0.996, OddsHigh: 1, Trials: 1000, Seed: 7, Critical: assembly.Critical{Pin: "A", Share: 1, ByClearance: true}},
		},
		Climate: &jig.Climate{
			MadeC: 21, MadeRHPct: 45, NowC: 20, NowRHPct: 48, Wood: "pear", MoistureMadePct: 8.5, MoistureNowPct: 9,
			WidthMM: 0.0412, EntersBelowRHPct: 58.3, Source: "a table",
		},
		Foolproof: jig.Foolproof{HalfTurnMM: 2.5, FlipLongMM: 3, FlipShortMM: 2.125},
		Rails: &jig.Rails{
			StripMM: 1, HeightMM: 4.5, GapMM: 0.15, WallMM: 4.5, EdgeMM: 6, BearingMM: 1.5, Glue: "pva",
			Gluing: &rail.Gluing{Force: sourced.Value{Least: 5000, Most: 8000, Unit: "N", Mark: sourced.Standard,
				Source: "a handbook"}},
			Outlines: []geom.Loop{geom.Rect(geom.Box{Min: geom.Vec{Y: 27}, Max: geom.Vec{X: 200, Y: 31}})},
		},
		Rules: []jig.Rule{
			{ID: "web", Level: jig.Pass, Value: 7.25, Limit: 6, Unit: "mm", Says: "least web"},
			{ID: "accuracy", Level: jig.Warn, Value: 0.1425, Limit: 0.1, Unit: "mm", Says: "dot 3 moves", Line: 31},
		},
		Sheets: []jig.CutSheet{
			{
				File: "template.dxf", Size: geom.Vec{X: 98.2, Y: 248.2}, Origin: geom.Vec{X: 49.1, Y: 24.1}, KerfMM: 0.2,
				Layers: []jig.Layer{{Name: "EDGE", Colour: 1, Cut: true}, {Name: "GUIDE", Colour: 3}},
			},
			{File: "blank.dxf", Size: geom.Vec{X: 112, Y: 300}, Origin: geom.Vec{X: 56, Y: 50}},
			{File: "bed.dxf", Size: geom.Vec{X: 160, Y: 360}, Origin: geom.Vec{X: 80, Y: 80}},
		},
		Notes: []string{"measure the kerf first"},
	}
	for i, id := range []string{"A", "B"} {
		b, bed := blind, blind
		p := jig.Pin{ID: id, Role: jig.Round, At: at[i], Machine: frame.ToMachine.Apply(at[i]), Dowel: six, Template: hole,
			Print: hole, Blank: &b, Bed: bed}
		if i == 1 {
			p.Role, p.Template = jig.Slot, slot
		}
		d.Pins = append(d.Pins, p)
	}
	return d
}

// bare is the same design without what a design may lack.
func bare() *jig.Design {
	d := sample()
	d.Template.Window, d.Blank, d.Rails, d.Rules, d.Notes, d.JobFile = nil, nil, nil, nil, nil, ""
	d.Budget, d.Assembly, d.Climate = nil, nil, nil
	d.Seat = jig.Seat{Kind: "pins"}
	for i := range d.Pins {
		d.Pins[i].Blank = nil
	}
	d.Sheets = d.Sheets[2:]
	d.Template.MakeBy = "print"
	d.Print = &jig.Print{
		File: "template.stl", Origin: geom.Vec{X: 49, Y: 24}, ThicknessMM: 6, NozzleMM: 0.4,
		BedMM: [3]float64{220, 220, 250},
		Holes: []jig.PrintHole{{ID: "A", Center: geom.Vec{X: 89, Y: 44}, Diameter: 6.1},
			{ID: "B", Center: geom.Vec{X: 88, Y: 194}, Diameter: 6.1, Travel: 0.5, Angle: math.Pi / 2}},
		Rails: []jig.PrintRail{{Outline: geom.Rect(geom.Box{Max: geom.Vec{X: 4, Y: 200}}), TopMM: 10.5}},
	}
	d.Parts = []jig.Print{*d.Print}
	return d
}

var sampleFiles = []export.File{{Name: "template.dxf", Bytes: 12, SHA256: "ab"},
	{Name: "holes.csv", Bytes: 3, SHA256: "cd"}}
