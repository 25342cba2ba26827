package setup

import (
	"fmt"
	"math"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/units"
)

// The set-ups on the machine.

// fixed is how what nothing locates yet is held.
const fixed = "clamped flat to the table where it suits you; from then on nothing moves it"

func (w Work) boreBed() Setup {
	s := Setup{
		ID: BoreBed, Title: "Bore the bed, press the pins in", Place: "machine", Part: "bed", LocatedBy: fixed,
		Stack: []Layer{w.bed()}, Pins: w.standing(w.Stand, w.bedTop(), true), Program: w.file(BedFile),
		Zero: w.zeroOnStock(w.Bed.Outline, "bed", w.bedTop()), Cautions: cutting(),
	}
	if seal := Sealing(w.Bed.Material); seal != "" && w.Nest { // the template is taped onto it
		s.Steps = []string{seal}
	}
	s.Steps = append(s.Steps, "Clamp the bed to the table"+w.bedScrap()+". It stays until the board is done: what is "+
		"bored in it holds everything else.")
	s.Steps = append(s.Steps, w.boring(BedFile, "bed.dxf", w.BedSteps)...)
	s.Steps = append(s.Steps, w.pressed("bed", w.Stand))
	s.Checks = append(pinHeight(w.Stand, "bed", w.carrier().ThicknessMM), w.pinDistance()...)
	if w.Nest && w.plateOnMachine() {
		s.Checks = append(s.Checks, yes("template lies flat over all pins", "by hand"))
	}
	return s
}

// carrier is what goes over the pins on the machine.
func (w Work) carrier() Part {
	if w.Nest {
		return w.Template
	}
	return *w.Blank
}

// pressed tells how the pins go in.
func (w Work) pressed(part string, s Stand) string {
	down, under := short(s.DepthMM)+" deep", "scrap"
	if part == "blank" {
		under = "bench"
	}
	if s.Through {
		down = "down to the " + under + ", which they stand on"
	}
	return fmt.Sprintf("Put the pins in, %s long, %s. They are %s and stand square, %s above the %s.", short(s.LengthMM), down,
		w.PinName, short(s.LengthMM-s.DepthMM), part)
}

// file is the program where there is one.
func (w Work) file(name string) string {
	if w.runs(name) {
		return name
	}
	return ""
}

// boring tells how pin holes are made, by a program or from a drawing.
func (w Work) boring(program, drawing string, steps []string) []string {
	if !w.runs(program) {
		return append([]string{fmt.Sprintf("Make the holes by %s; holes.csv has sizes and depths.", drawing)}, steps...)
	}
	return []string{fmt.Sprintf("Dry run, then run %s. Clear the chips out of every hole, chamfer the mouths 0.5.",
		program)}
}

func (w Work) bedScrap() string {
	if !w.BedScrap {
		return ""
	}
	return ", scrap under it: the tool comes out below"
}

func (w Work) boreBlank() Setup {
	top := w.Blank.ThicknessMM
	s := Setup{
		ID: BoreBlank, Title: "Bore the blank, top up", Place: "machine", Part: "blank", FaceUp: Top, LocatedBy: fixed,
		Stack:   []Layer{{Name: "blank", Material: w.Blank.Material, ToMM: top, Outline: w.Blank.Outline}},
		Program: w.file(BlankFile), Zero: w.zeroOnStock(w.Blank.Outline, "blank", top), Cautions: cutting(),
		Steps: []string{
			"Write TOP and START on the blank. They must stay to be read.",
			"Clamp it on scrap, its long side along the axis. Its holes go right through.",
		},
		Checks: []Check{yes("every pin goes through its hole by hand", "a pin")},
	}
	s.Steps = append(s.Steps, w.boring(BlankFile, "blank.dxf", w.BlankSteps)...)
	return s
}

func (w Work) boreTogether() Setup {
	top := w.bedTop() + w.Blank.ThicknessMM
	s := Setup{
		ID: BoreBoth, Title: "Bore blank and bed together, top up", Place: "machine", Part: "blank and bed", FaceUp: Top,
		LocatedBy: fixed, Stack: w.onBed(Top), Pins: w.standing(w.Stand, w.bedTop(), true), Program: w.file(BedFile),
		Zero: w.zeroOnStock(w.Blank.Outline, "blank", top), Cautions: cutting(),
		Steps: []string{
			"Clamp the bed to the table" + w.bedScrap() + ". It stays until the board is done.",
			"Write TOP and START on the blank, clamp it on the bed, its long side along the axis. Clamps stay clear of the " +
				"holes.",
		},
	}
	s.Steps = append(s.Steps, w.boring(BedFile, "bed.dxf", w.BedSteps)...)
	s.Steps = append(s.Steps, "Lift the blank off and clear the chips between the two.")
	if w.Bed.MadeBy == "drill" || s.Program == "" {
		s.Steps = append(s.Steps, "Open the blank's holes, each about the one that is there.")
		s.Steps = append(s.Steps, w.BlankSteps...)
	}
	s.Steps = append(s.Steps, w.pressed("bed", w.Stand))
	s.Checks = append(pinHeight(w.Stand, "bed", w.Blank.ThicknessMM), w.pinDistance()...)
	s.Checks = append(s.Checks, yes("every pin goes through its hole of the blank by hand", "a pin"))
	return s
}

func (w Work) cutPlate() Setup {
	s := w.made("template", cut{Part: w.Template, Files: w.PlateFiles, KerfMM: w.KerfMM, EdgeMM: w.EdgeMM,
		AsCoupon: w.AsCoupon, CutterMM: w.PlateCutterMM})
	s.ID = CutPlate
	if w.Glue != nil && !w.ownPlate() {
		w.wedgesToo(&s)
	}
	s.Steps = append(s.Steps, w.Openings...)
	s.joined(w.PlateFiles)
	if !w.plateOnMachine() { // otherwise the pins are still to come
		s.Checks = []Check{yes("plate lies flat over all pins", "by hand")}
	}
	at := []string{"width, start end", "width, far end"}
	if w.Outlined {
		at = []string{"length over all", "width over all"}
	}
	for i, what := range at {
		s.Checks = append(s.Checks, Check{
			What: "window's " + what, With: "caliper", Expected: w.WindowMM[i],
			Low: w.WindowMM[i] - w.WindowOffMM, High: w.WindowMM[i] + w.WindowOffMM, Unit: "mm",
		})
	}
	return s
}

// cut is a plate as its file has it: kerf and edge are off in the file, CutterMM is what its corners
// are relieved for.
type cut struct {
	Part
	Files          []string
	KerfMM, EdgeMM float64
	AsCoupon       bool
	CutterMM       float64
}

// made is how a plate is cut or printed.
func (w Work) made(name string, t cut) Setup {
	s := Setup{
		Title: "Cut the " + name, Part: name, LocatedBy: "not located: it is cut from sheet", Files: t.Files,
		Stack: []Layer{{Name: name, Material: t.Material, ToMM: t.ThicknessMM, Outline: t.Outline, Window: t.Window}},
		Place: t.MadeBy,
	}
	switch t.MadeBy {
	case "print":
		s.Title, s.Place, s.LocatedBy = "Print the "+name, "printer", "printed on the printer's bed"
		s.Steps = []string{fmt.Sprintf("Print it in %s, flat side down. No brim inside the window.", t.Material)}
		s.Cautions = []string{printing}
	case "laser":
		kerf := "the file is drawn to true size. The laser's program takes the kerf off."
		if t.AsCoupon && t.KerfMM != 0 {
			kerf = fmt.Sprintf("the file has the kerf of %s taken off. Use the settings that the coupon was cut with.",
				short(t.KerfMM))
		} else if t.KerfMM > 0 {
			kerf = fmt.Sprintf("the file has the kerf of %s taken off. The laser's program must take none off.", short(t.KerfMM))
		}
		s.Steps = []string{fmt.Sprintf("Cut it from %s, %s thick; %s", t.Material, short(t.ThicknessMM), kerf)}
		s.Cautions = []string{laser, manual}
	default:
		s.Place = "machine"
		with := ""
		if t.CutterMM > 0 {
			with = fmt.Sprintf(" with a cutter of %s or less", units.Decimal(t.CutterMM, 3))
		}
		s.Steps = []string{fmt.Sprintf("Cut it from %s, %s thick, by your own program%s. Holes first, then window and "+
			"outline.", t.Material, short(t.ThicknessMM), with)}
		if t.EdgeMM != 0 {
			s.Steps = append(s.Steps, fmt.Sprintf("The file has an edge of %s taken off window and outline: offset by the cutter "+
				"as for the coupon.", short(t.EdgeMM)))
		}
		s.Cautions = cutting()
	}
	return s
}

// joined tells how a plate's parts are joined: with open holes, as the pins line them up.
func (s *Setup) joined(files []string) {
	if s.Place == "printer" && len(files) > 1 {
		s.Steps = append(s.Steps, pushKeys)
	}
}

func (w Work) seatBoard() Setup {
	s := Setup{
		ID: SeatBoard, Place: "machine", Part: "board", FaceUp: Top, Lies: w.lies(Top), Stack: w.onBed(Top),
		Pins: w.standing(w.Stand, w.bedTop(), false), Zero: w.zeroOnPin(Top, w.boardFace(Top)), Cautions: cutting(),
	}
	datum := Check{
		What: "datum line's runout", With: "dial, reseat datum",
		Low: -w.DatumTolMM, High: w.DatumTolMM, Unit: "mm",
	}
	if !w.Nest {
		s.Title, s.Part, s.LocatedBy = "Put the blank on its pins, top up", "blank", "its own pin holes, on the bed's pins"
		s.Steps = []string{
			"Clear chips and dust off bed and blank.", w.findZero(),
			"Put the blank over the pins, top up, START " + w.startEnd() + ", clamp it to the bed.",
		}
		s.Checks = []Check{yes("blank lies on the bed all round", "0.05 mm feeler"), datum}
		return s
	}
	s.Title, s.LocatedBy = "Seat plate and board, find zero", "the template's window, on the bed's pins"
	board, top, start := "Lay the board in, on tape too", "top", "start end"
	if w.WrongWay {
		board, top, start = "Lay the board in, marked START and TOP, on tape too", "TOP", "START"
	}
	into := fmt.Sprintf("%s, %s up, %s %s", board, top, start, w.startEnd())
	if w.Push != "none" && w.Outlined {
		into += fmt.Sprintf(", pushed at its middle towards %s and the %s side, %.0f degrees to the datum line, until it "+
			"touches at all its stops (drawing)", start, w.pushSide(), w.PushDeg)
		if w.Sticks {
			into += ". Tap round its edge as you push: friction may hold it short of them"
		}
	} else if w.Push != "none" {
		into += fmt.Sprintf(", pushed flat to the %s wall, then along it to %s", w.pushSide(), start)
	}
	if w.KeyLegMM > 0 {
		s.Steps = []string{fmt.Sprintf("Cut %s off the %s corner of the board's start end. At 45 degrees, along either "+
			"edge: the window fills that corner, so that the board goes in one way only.", short(w.KeyLegMM), w.KeySide)}
	}
	s.Steps = append(s.Steps,
		w.findZero(),
		w.taped(),
		into+w.Bow.Laid(Top),
		"Touch off Z0. It lies on "+w.boardFace(Top)+".",
	)
	flat := "board and template lie flat"
	if !w.Bow.IsFlatOnTape() {
		flat = "template lies flat, board rests on its shims"
	}
	s.Checks = []Check{yes(flat, "0.05 mm feeler"), datum}
	return s
}

// taped is how the template goes onto its tape.
func (w Work) taped() string {
	tape, bed := "Lay tape", "clean bed"
	if w.TapeMM2 > 0 {
		tape = fmt.Sprintf("Lay tape, %.0f cm2 for each part,", math.Ceil(w.TapeMM2/100))
	}
	if Sealing(w.Bed.Material) != "" {
		bed = "clean, sealed bed"
	}
	return fmt.Sprintf("%s on the %s, template over the pins: notch %s, %s.", tape, bed, w.startEnd(), w.notchSide())
}

// Sealing says that a bed of fibres or chips wants a seal under tape; "" for another.
// Common practice, no source.
func Sealing(material string) string {
	m := strings.ToLower(material)
	for _, board := range []string{"mdf", "hdf", "particle", "chipboard"} {
		if strings.Contains(m, board) {
			return "Seal the bed's top with thin shellac or varnish; let it dry, wipe the dust off. Tape tears the fibres of raw " +
				material + "."
		}
	}
	return ""
}

// findZero is the sentence on X0 Y0.
func (w Work) findZero() string {
	p := w.Pattern[0]
	if w.ZeroBy == "kept" {
		return "Keep X0 Y0 as it was when the bed was bored."
	}
	return fmt.Sprintf("Zero first. Find X and Y while pin %s stands free, at half its height: X%.3f Y%.3f at its "+
		"centre.", p.ID,
		noMinusZero(p.At.X), noMinusZero(p.At.Y))
}

// startEnd is where the board's start end lies with its top up, and notchSide on which
// side of the datum line the notch is, as the operator sees them.
func (w Work) startEnd() string { return w.end(geom.Vec{}) }

func (w Work) notchSide() string { return w.side(1) }

// pushSide is where the wall lies that the board is pushed to, as the operator sees it.
func (w Work) pushSide() string {
	if w.alongX() {
		return map[string]string{"left": "far", "right": "near"}[w.Push]
	}
	return w.Push
}

func (w Work) bore(up Face, program string) Setup {
	s := Setup{
		ID: BoreTop, Title: "Bore the features, step by step", Place: "machine", Part: "board", FaceUp: up, Lies: w.lies(up),
		Stack: w.onBed(up), Pins: w.standing(w.Stand, w.bedTop(), false), Program: program,
		Zero: w.zeroOnPin(up, w.boardFace(up)), Cautions: cutting(), LocatedBy: "as in the set-up before",
	}
	next := "reseat pocket --step 2"
	if w.turned() {
		s.Title = "Bore the features of the top, step by step"
	}
	if up == Under {
		s.ID, s.Title = BoreUnder, "Bore the features of the underside, step by step"
		next = "reseat pocket --side under --step 2"
	}
	s.Steps = []string{
		fmt.Sprintf("Dry run, then run %s, under size.", program),
		"Measure and try; then " + next + ". Take nothing off the pins until all are right.",
	}
	if w.OldInlays != "" && up == Top {
		s.Steps = append([]string{w.OldInlays}, s.Steps...)
	}
	if r, ok := w.run(program); ok && len(r.Holes) > 0 {
		s.Checks = []Check{{
			What: "bore of " + r.Holes[0].Name + " after the first cut", With: "caliper",
			Expected: r.Holes[0].BoreMM, Low: r.Holes[0].BoreMM - w.BoreOffMM, High: r.Holes[0].BoreMM + w.BoreOffMM,
			Unit: "mm",
		}}
		s.Checks = append(w.Bow.heights(r), s.Checks...)
	}
	return s
}

// liftOff takes the board off its tape, or off its pins.
func (w Work) liftOff() Setup {
	s := Setup{
		ID: LiftOff, Title: "Lift the board out", Place: "machine", Part: "board", FaceUp: Top,
		LocatedBy: "nothing; the board comes off",
		Stack:     w.onBed(Top), Pins: w.standing(w.Stand, w.bedTop(), false), Steps: w.Lifting,
		Checks: []Check{yes("every feature is done and measured, before anything is lifted", "the drawing")},
	}
	if w.Inlaid {
		s.Checks[0] = yes("all inlays go in, before anything is lifted", "the inlays")
	}
	if len(s.Steps) == 0 {
		s.Steps = []string{"Lift it by hand at the far end."}
	}
	if !w.Bores {
		s.Steps = append([]string{"Do by your own program what the board came back for: no feature here is bored again."},
			s.Steps...)
	}
	if w.turned() {
		s.FaceUp, s.Stack = Under, w.onBed(Under)
	}
	return s
}

func (w Work) free() Setup {
	up := Top
	if w.turned() {
		up = Under
	}
	bridges := "bridges left to the frame"
	if n := len(w.BridgesAt); n > 1 {
		bridges = fmt.Sprintf("%d bridges to the frame left on either side, %s wide and %s thick, the first %s from START, "+
			"then every %s", n, short(w.BridgeMM[0]), units.Decimal(w.BridgeMM[1], 1), units.Decimal(w.BridgesAt[0], 0),
			units.Decimal(w.BridgesAt[1]-w.BridgesAt[0], 0))
	}
	return Setup{
		ID: Free, Title: "Cut the board free", Place: "machine", Part: "board", FaceUp: up, LocatedBy: "the same pins",
		Stack: w.onBed(up), Pins: w.standing(w.Stand, w.bedTop(), false), Zero: w.zeroOnPin(up, w.boardFace(up)),
		Steps: []string{
			"Finish all that needs the pins first. Once it is free, the board cannot go back onto them.",
			"Cut round the board by your own program, " + bridges + ". Saw and plane them off.",
		},
		Checks: []Check{yes("every feature is done and measured", "the drawing")}, Cautions: cutting(),
	}
}
