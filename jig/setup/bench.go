package setup

import (
	"fmt"
	"slices"
)

// The set-ups of gluing. Heights count from the bench.

// Caul is the layer between the board and the clamps; on a crowned board its underside is hollow.
const Caul = "caul"

// glueStack is the blank with what lies on it.
func (w Work) glueStack(plate, board bool) []Layer {
	top := w.Blank.ThicknessMM
	out := []Layer{{Name: "blank", Material: w.Blank.Material, ToMM: top, Outline: w.Blank.Outline}}
	if plate {
		g := w.Glue.Plate
		out = append(out, Layer{
			Name: "gluing plate", Material: g.Material, FromMM: top, ToMM: top + g.ThicknessMM, Outline: g.Outline,
			Window: g.Window,
		})
	}
	if board {
		out = append(out, Layer{
			Name: "board", Material: w.Board.Material, FromMM: top, ToMM: top + w.Board.ThicknessMM, Outline: w.Board.Outline,
		})
	}
	if plate {
		out = append(out, w.rails(w.Glue.Plate, top, Top)...)
	}
	if g := w.Glue; plate && board {
		for _, k := range g.Wedges {
			out = append(out, Layer{Name: "wedges", Material: g.Plate.Material, FromMM: top, ToMM: top + g.Plate.ThicknessMM,
				Outline: k})
		}
	}
	return out
}

func (w Work) boreForGluing() Setup {
	top, g := w.Blank.ThicknessMM, w.Glue
	s := Setup{
		ID: BoreBlank, Title: "Bore the blank for gluing, glue land up", Place: "machine", Part: "blank", LocatedBy: fixed,
		Stack: w.glueStack(false, false), Pins: w.standing(g.Stand, top, true), Program: w.file(BlankFile),
		Zero: w.zeroOnStock(w.Blank.Outline, "blank", top), Cautions: cutting(),
		Steps: []string{"Blank in the bed's place. Clamp it, its long side along the axis."},
	}
	s.Steps = append(s.Steps, w.boring(BlankFile, "blank.dxf", w.BlankSteps)...)
	s.Steps = append(s.Steps, w.pressed("blank", g.Stand)+" They come out again: by hand, not driven.")
	s.Checks = pinHeight(g.Stand, "blank", g.Plate.ThicknessMM)
	return s
}

func (w Work) dryRun() Setup {
	s := Setup{
		ID: DryRun, Title: "Dry run without glue", Place: "bench", Part: "board", FaceUp: Top,
		LocatedBy: "the plate's window, on pins in the blank", Stack: w.glueStack(true, true),
		Pins: w.standing(w.Glue.Stand, w.Blank.ThicknessMM, false),
		Steps: []string{
			"Plate over the pins, board in, caul, clamps. Mark what is where, and take it apart again.",
		},
		Checks: []Check{
			yes("board lies on the glue land all round", "0.05 mm feeler"),
			yes("caul bears on the board alone", "paper"),
		},
	}
	if p := w.Glue.Press; p != nil {
		s.Steps[0] += " " + p.caul()
		if p.HeldMM > 0 {
			s.Steps[0] += fmt.Sprintf(" Between its pins the plate would give way sideways: hold it to the blank's waste with "+
				"screws or small clamps, %s apart at most.", short(p.HeldMM))
			if !p.Taped {
				s.Steps[0] += " Tape alone lets go."
			}
		}
	}
	if over := w.Glue.Plate.ThicknessMM - (w.Board.ThicknessMM - w.CrownMM); over > 0 {
		s.Cautions = []string{fmt.Sprintf("The plate stands %s above the board's lowest edge: only a caul narrower than "+
			"the board presses on the board.", short(over))}
	}
	if g := w.Glue; len(g.PlateFiles) > 0 && w.Template.MadeBy != "print" {
		s.Files = g.PlateFiles
		first := []string{"Print the gluing plate. Flat side down."}
		if g.Plate.MadeBy != "print" {
			first[0] = fmt.Sprintf("Cut the gluing plate from %s, %s thick.", g.Plate.Material, short(g.Plate.ThicknessMM))
			if len(g.Wedges) > 0 {
				first[0] += " Its wedges are beside it in the file."
			}
		}
		if len(g.PlateFiles) > 1 {
			first = append(first, pushKeys)
		}
		s.Steps = slices.Concat(first, g.Openings, s.Steps)
	}
	return s
}

func (w Work) glueUp() Setup {
	g := w.Glue
	s := Setup{
		ID: GlueUp, Title: "Glue and close", Place: "bench", Part: "board", FaceUp: Top,
		LocatedBy: "the plate's window, on pins in the blank", Stack: w.glueStack(true, true),
		Pins: w.standing(g.Stand, w.Blank.ThicknessMM, false), Cautions: []string{gluing},
		Steps: []string{
			"Wax plate, rails and pins, or lay film. Glue must not hold them.",
			"Spread the glue on the land, board in, caul on, close from the middle outwards",
		},
	}
	if p := g.Press; p != nil {
		top := w.Blank.ThicknessMM + w.Board.ThicknessMM
		s.Stack = append(s.Stack, Layer{
			Name: Caul, Material: p.CaulOf, FromMM: top, ToMM: top + p.CaulMM, Outline: w.Board.Outline,
		})
		s.Steps[1] = fmt.Sprintf("Spread the glue on the land, board in, caul on, %d clamps %s apart from the middle "+
			"outwards",
			p.Clamps, short(p.ApartMM))
	}
	if g.OpenMin[1] > 0 {
		s.Steps[1] += fmt.Sprintf(" within %s min. Its open time is %s to %s min", short(g.OpenMin[0]),
			short(g.OpenMin[0]), short(g.OpenMin[1]))
	}
	s.Steps[1] += "."
	if p := g.Press; p != nil {
		s.Steps[1] += p.closing()
		if n := p.WedgeN; n[1] > 0 {
			s.Steps[1] += fmt.Sprintf(" Wedges before the clamps, by the side first, then at the far end, with light taps: "+
				"each presses with some %s to %s N. They stay dry: wax would let them slip.", short(n[0]), short(n[1]))
		}
		for _, wood := range p.Oily {
			s.Steps[0] += fmt.Sprintf(" Right before: wipe the %s with acetone, or plane it again; its oil keeps glue off.",
				wood)
		}
	}
	s.Checks = []Check{yes("against its stops, squeeze-out all round", "by eye")}
	return s
}

func (w Work) release() Setup {
	steps := []string{
		"Lift the plate straight up while the squeeze-out is soft, pull the pins. Clean the holes.",
	}
	checks := []Check{yes("the board stands over as much left as right", "caliper")}
	if p := w.Glue.Press; p != nil {
		steps[0] = p.off()
		if p.StripMM[1] > 0 {
			checks[0] = Check{What: "strip beside the board, left and right", With: "caliper", Expected: w.Glue.StripMM,
				Low: p.StripMM[0], High: p.StripMM[1], Unit: "mm"}
		}
	}
	if w.Glue.StripMM > 0 {
		steps = append(steps, fmt.Sprintf("Glue hard: trim the strips flush, %s each side.",
			short(w.Glue.StripMM)))
	}
	return Setup{
		ID: ReleaseGlue, Title: "Release, trim the strips", Place: "bench", Part: "board", FaceUp: Top,
		LocatedBy: "glued", Stack: w.glueStack(false, true), Steps: steps,
		Checks: checks,
	}
}

// caul says what the caul must be.
func (p Press) caul() string {
	out := fmt.Sprintf("Caul as wide as the board: %s, %s high or more; %d clamps of %s N, %s apart, the outer ones %s "+
		"from its ends.", p.CaulOf, short(p.CaulMM), p.Clamps, short(p.ClampN), short(p.ApartMM), short(p.EndMM))
	if p.HollowMM > 0 {
		out += fmt.Sprintf(" Hollow its underside to a radius of %s and lay cork between; flat it presses on the crown's "+
			"middle alone.", short(p.HollowMM))
	}
	return out
}

// off says when clamps and plate come off: together, while the squeeze-out is soft, or where the
// clamps must stay longer by film and wax alone.
func (p Press) off() string {
	from := max(p.LiftMin[0], p.ClampedMin)
	out := fmt.Sprintf("Clamps off and plate straight up after %s min, before %s, the squeeze-out still soft; pull the pins.",
		short(from), short(p.LiftMin[1]))
	if from >= p.LiftMin[1] {
		out = fmt.Sprintf("Clamps off after %s min, plate straight up, pull the pins. The squeeze-out is hard by then: film and "+
			"wax alone let the plate go.", short(from))
	}
	return out + fmt.Sprintf(" Clean the holes. Nothing pulls at the joint for %s h.", short(p.LoadH))
}

// closing says why it is done quickly.
func (p Press) closing() string {
	if p.CupMM == 0 {
		return ""
	}
	return fmt.Sprintf(" The glue's water bends a board that lies free: by up to %s across and %s along.", short(p.CupMM),
		short(p.BowMM))
}
