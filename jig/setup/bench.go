package setup

import (
	"fmt"
	"slices"
	"strings"
)

// The set-ups of gluing. Heights count from the bench.

// Layers of the gluing beside blank and board, from below. Pad and caul are as wide as the board, and
// on a crowned one follow it.
const (
	Film   = "release film"
	Wedges = "wedges"
	Pad    = "pad"
	Caul   = "caul"
)

// glueStack is the blank, and the board that lies on it.
func (w Work) glueStack(board bool) []Layer {
	top := w.Blank.ThicknessMM
	out := []Layer{{Name: "blank", Material: w.Blank.Material, ToMM: top, Outline: w.Blank.Outline}}
	if board {
		out = append(out, Layer{
			Name: "board", Material: w.Board.Material, FromMM: top, ToMM: top + w.Board.ThicknessMM, Outline: w.Board.Outline,
		})
	}
	return out
}

// closed is the stack under the clamps: film, plate and what stands on it beside the board, pad and caul
// over it.
func (w Work) closed() []Layer {
	g, out := w.Glue, w.glueStack(true)
	at, top := w.Blank.ThicknessMM, w.Blank.ThicknessMM+w.Board.ThicknessMM
	if g.FilmMM > 0 {
		out = append(out, Layer{
			Name: Film, Material: filmOf, FromMM: at, ToMM: at + g.FilmMM, Outline: g.Plate.Outline, Window: g.Plate.Window,
		})
		at += g.FilmMM
	}
	out = append(out, Layer{
		Name: GluingPlate, Material: g.Plate.Material, FromMM: at, ToMM: at + g.Plate.ThicknessMM, Outline: g.Plate.Outline,
		Window: g.Plate.Window,
	})
	out = append(out, w.rails(g.Plate, at, Top)...)
	for _, k := range g.Wedges { // film lies under them too
		out = append(out, Layer{
			Name: Wedges, Material: g.Plate.Material, FromMM: at, ToMM: at + g.Plate.ThicknessMM, Outline: k,
		})
	}
	if p := g.Press; p != nil {
		out = append(out, Layer{Name: Pad, Material: padOf, FromMM: top, ToMM: top + p.PadMM, Outline: w.Board.Outline})
		top += p.PadMM
		out = append(out, Layer{
			Name: Caul, Material: p.CaulOf, FromMM: top, ToMM: top + p.CaulMM, Outline: w.Board.Outline,
		})
	}
	return out
}

// What film and pad are taken to be of. Common practice, no source.
const (
	filmOf = "packing tape"
	padOf  = "cork"
)

func (w Work) boreForGluing() Setup {
	top, g := w.Blank.ThicknessMM, w.Glue
	s := Setup{
		ID: BoreBlank, Title: "Bore the blank for gluing, glue land up", Place: "machine", Part: "blank", LocatedBy: fixed,
		Stack: w.glueStack(false), Pins: w.standing(g.Stand, top, true), Program: w.file(BlankFile),
		Zero: w.zeroOnStock(w.Blank.Outline, "blank", top), Cautions: cutting(),
		Steps: []string{"Put the blank in the bed's place. Clamp it, its long side along the axis."},
	}
	s.Steps = append(s.Steps, w.boring(BlankFile, "blank.dxf", w.BlankSteps)...)
	s.Steps = append(s.Steps, w.pressed("blank", g.Stand)+" They come out again: by hand, not driven.")
	s.Checks = pinHeight(g.Stand, "blank", g.Plate.ThicknessMM)
	return s
}

// ownPlate: the plate that guides the board is another than the template.
func (w Work) ownPlate() bool {
	return !slices.Equal(w.Glue.PlateFiles, w.PlateFiles) && len(w.Glue.PlateFiles) > 0
}

// cutGluingPlate makes the plate that guides the board, where it is another than the template.
func (w Work) cutGluingPlate() Setup {
	g := w.Glue
	s := w.made(GluingPlate, cut{Part: g.Plate, Files: g.PlateFiles, KerfMM: g.KerfMM, EdgeMM: g.EdgeMM,
		AsCoupon: g.AsCoupon, CutterMM: g.CutterMM})
	s.ID = CutGluingPlate
	s.Steps = append(s.Steps, g.Openings...)
	s.joined(g.PlateFiles)
	if len(g.Wedges) > 0 && len(g.WedgeFiles) == 0 {
		s.Steps[0] += fmt.Sprintf(" The %d wedges lie beside it in the file: two to a pocket, slope on slope.", 2*len(g.Wedges))
	}
	w.wedgesToo(&s)
	s.Checks = append(s.Checks, g.driven()...)
	for _, a := range g.Across {
		s.Checks = append(s.Checks, Check{
			What: a.What, With: "caliper", Expected: a.MM, Low: a.MM - g.OffMM, High: a.MM + g.OffMM, Unit: "mm",
		})
	}
	s.Checks = append(s.Checks, yes("plate lies flat over all pins", "by hand"))
	return s
}

// wedgesToo prints the wedges with the plate that they go into.
func (w Work) wedgesToo(s *Setup) {
	if w.Glue == nil || len(w.Glue.WedgeFiles) == 0 {
		return
	}
	var each []string
	all := w.Glue.WedgeFiles // those alike follow each other
	for i := 0; i < len(all); {
		n := 1
		for i+n < len(all) && all[i+n] == all[i] {
			n++
		}
		each, s.Files = append(each, fmt.Sprintf("%d of %s", n, all[i])), append(slices.Clip(s.Files), all[i])
		i += n
	}
	s.Steps[0] += " Wedges too: " + strings.Join(each, ", ") + "; two to a pocket, slope on slope."
}

// wedgesIn and wedgesOut name the wedges in a list of what is done; "" without any.
func (w Work) wedgesIn() string {
	if len(w.Glue.Wedges) == 0 {
		return ""
	}
	return "wedges, "
}

func (w Work) wedgesOut() string {
	if len(w.Glue.Wedges) == 0 {
		return ""
	}
	return "wedges loose, "
}

// driven is how far a wedge stands out of its pair.
func (g Gluing) driven() []Check {
	k := g.Pair
	if k.OutMM == 0 {
		return nil
	}
	return []Check{{
		What: "board in, a wedge stands out", With: "rule", Expected: k.OutMM, Low: max(0, k.OutMM-k.OffMM),
		High: k.OutMM + k.OffMM, Unit: "mm",
	}}
}

func (w Work) dryRun() Setup {
	s := Setup{
		ID: DryRun, Title: "Dry run without glue", Place: "bench", Part: "board", FaceUp: Top,
		LocatedBy: "the plate's window, on pins in the blank", Stack: w.closed(),
		Pins: w.standing(w.Glue.Stand, w.Blank.ThicknessMM, false),
		Checks: []Check{
			yes("board lies on the glue land all round", "0.05 mm feeler"),
			yes("caul bears on the board alone", "paper"),
		},
	}
	if !w.ownPlate() {
		s.Checks = append(w.Glue.driven(), s.Checks...)
	}
	over := "Lay the plate over the pins."
	if p := w.Glue.Press; p != nil {
		s.Steps = []string{p.caul()}
		if p.HeldMM > 0 {
			over += fmt.Sprintf(" Between its pins it would give way sideways: hold it to the blank's waste with "+
				"screws or small clamps, %s apart at most.", short(p.HeldMM))
			if !p.Taped {
				over += " Tape alone lets go."
			}
		}
	}
	s.Steps = append(s.Steps, over, "Put in the board, "+w.wedgesIn()+"caul and clamps. Mark what is where, and take it apart again.")
	if high := w.Glue.FilmMM + w.Glue.Plate.ThicknessMM - (w.Board.ThicknessMM - w.CrownMM); high > 0 {
		s.Cautions = []string{fmt.Sprintf("The plate stands %s above the board's lowest edge: only a caul narrower than "+
			"the board presses on the board.", short(high))}
	}
	return s
}

func (w Work) glueUp() Setup {
	g := w.Glue
	s := Setup{
		ID: GlueUp, Title: "Glue and close", Place: "bench", Part: "board", FaceUp: Top,
		LocatedBy: "the plate's window, on pins in the blank", Stack: w.closed(),
		Pins: w.standing(g.Stand, w.Blank.ThicknessMM, false), Cautions: []string{gluing},
		Steps: []string{
			"Wax plate, rails and pins. Glue must not hold them.",
			"Spread the glue on the land, board in, " + w.wedgesIn() + "caul on, close from the middle outwards",
		},
	}
	if g.FilmMM > 0 {
		s.Steps[0] = fmt.Sprintf("Wax the pins; lay film, %s thick, under the plate and up its walls. Under wedges too: glue must not "+
			"hold them.", short(g.FilmMM))
	}
	if p := g.Press; p != nil {
		s.Steps[1] = fmt.Sprintf("Spread the glue on the land, board in, %scaul on, %d clamps %s apart from the middle "+
			"outwards", w.wedgesIn(), p.Clamps, short(p.ApartMM))
	}
	if g.OpenMin[1] > 0 {
		s.Steps[1] += fmt.Sprintf(" within %s min. Its open time is %s to %s min", short(g.OpenMin[0]),
			short(g.OpenMin[0]), short(g.OpenMin[1]))
	}
	s.Steps[1] += "."
	if p := g.Press; p != nil {
		s.Steps[1] += p.closing()
		if n := p.WedgeN; n[1] > 0 {
			where := "by the side first, then at the far end"
			if !g.AtEnd { // too short for a pair
				s.Steps[1] += " Hold the board to the start end by hand."
				where = "by the side"
			}
			s.Steps[1] += fmt.Sprintf(" Wedges %s, with light taps: each presses with some %s to %s N. They stay dry: wax "+
				"would let them slip.", where, short(n[0]), short(n[1]))
		}
		for _, wood := range p.Oily {
			s.Steps[0] += fmt.Sprintf(" Right before: wipe the %s with acetone, or plane it again; its oil keeps glue off.",
				wood)
		}
	}
	s.Checks = []Check{yes("squeeze-out all round", "by eye")}
	if len(g.Wedges) > 0 {
		s.Checks[0].What = "board against its stops, squeeze-out all round"
	}
	return s
}

func (w Work) release() Setup {
	steps := []string{
		"Lift the plate straight up while the squeeze-out is soft, then pull the pins. Clean the holes.",
	}
	checks := []Check{yes("the board stands over as much left as right", "caliper")}
	if p := w.Glue.Press; p != nil {
		steps[0] = p.off(w.wedgesOut())
		if p.StripMM[1] > 0 {
			checks[0] = Check{What: "strip beside the board, left and right", With: "caliper", Expected: w.Glue.StripMM,
				Low: p.StripMM[0], High: p.StripMM[1], Unit: "mm"}
		}
	}
	if w.Glue.StripMM > 0 {
		steps = append(steps, fmt.Sprintf("When the glue is hard, trim the strips. Flush with the board, %s each side.", short(w.Glue.StripMM)))
	}
	return Setup{
		ID: ReleaseGlue, Title: "Release and trim", Place: "bench", Part: "board", FaceUp: Top,
		LocatedBy: "glued", Stack: w.glueStack(true), Steps: steps,
		Checks: checks,
	}
}

// caul says what the caul must be.
func (p Press) caul() string {
	out := fmt.Sprintf("Make a caul as wide as the board: %s, %s high or more. Take %d clamps of %s N, %s apart, the "+
		"outer ones %s from its ends.", p.CaulOf, short(p.CaulMM), p.Clamps, short(p.ClampN), short(p.ApartMM), short(p.EndMM))
	if p.HollowMM > 0 {
		out += fmt.Sprintf(" Hollow its underside to a radius of %s and lay cork between; flat it presses on the crown's "+
			"middle alone.", short(p.HollowMM))
	}
	return out
}

// off says when clamps and plate come off: together, while the squeeze-out is soft, or where the
// clamps must stay longer by film and wax alone.
func (p Press) off(wedges string) string {
	from := max(p.LiftMin[0], p.ClampedMin)
	out := fmt.Sprintf("Clamps off, %splate up after %s to %s min, pins out. Lift straight up: the squeeze-out is still soft then.",
		wedges, short(from), short(p.LiftMin[1]))
	if from >= p.LiftMin[1] {
		out = fmt.Sprintf("Clamps off, %splate up after %s min, pins out. Lift straight up: the squeeze-out is hard by then, film "+
			"and wax alone let the plate go.", wedges, short(from))
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
