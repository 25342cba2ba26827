package jig

import (
	"fmt"
	"strings"

	"reseat/fit"
	"reseat/jig/glued"
	"reseat/jig/part"
	"reseat/jig/program"
	"reseat/jig/setup"
	"reseat/jig/site"
)

// work is what the order of work is derived from, but for the programs and how what is
// taped comes off, which follow from its heights.
func (m made) work() setup.Work {
	j, d, at := m.job, m.d, m.d.Frame.ToMachine.Loop
	w := setup.Work{
		Nest: j.Template.Seat == "nest", Together: m.Together, Turn: program.TurnOf(j), Cradle: j.Template.Cradle,
		Frame: d.Frame.ToMachine,
		Board: setup.Part{Material: j.Board.Wood, ThicknessMM: j.Board.ThicknessMM, Outline: at(d.Board.Outline)},
		Bed: setup.Part{Material: j.Bed.Material, ThicknessMM: j.Bed.ThicknessMM, MadeBy: j.Bed.Make.By,
			Outline: at(d.Bed.Outline)},
		Template: m.laid(m.Template), PlateFiles: d.plateFiles(j.Template.Make.By == "print"),
		OldInlays: program.OldInlays(j), Push: j.Template.Push, DatumTolMM: DatumToleranceMM(j), ZeroBy: j.Machine.Zero,
		KerfMM:     d.Template.KerfMM,
		EdgeMM:     d.Template.EdgeMM,
		AsCoupon:   j.Template.Make.Measured != nil,
		PositionMM: m.Bed.PositionMM(j.Machine.PositionMM), CrownMM: j.Board.ThicknessMM - j.Board.LowestEdgeMM(),
		Bow:   program.BowOf(j),
		Stand: m.Stand, BedScrap: m.Stand.Through, PinMM: m.Pin.MeanMM(),
		PinMostMM: m.Pin.MaxMM, PinName: m.Pin.Name(),
	}
	for _, f := range j.Board.AllFeatures() {
		w.Bores, w.Inlaid = w.Bores || f.BoreMM > 0 || f.Inlay != nil, w.Inlaid || f.Inlay != nil
	}
	w.KeyLegMM, w.KeySide = d.Template.KeyLegMM, d.Template.KeySide
	for _, r := range m.boardWays() {
		w.WrongWay = w.WrongWay || r.Level != Pass
	}
	w.PlateCutterMM = 2 * site.PlateCutter(j)
	w.Openings = m.opened("template", false)
	w.BedSteps = m.opened("bed", false)
	w.BlankSteps = m.opened("blank", m.Together && m.Bed.Make.By == "drill")
	for _, q := range d.Pins {
		w.Pattern = append(w.Pattern, setup.Place{ID: q.ID, Role: string(q.Role), At: q.Machine})
	}
	if c := m.site.Walls; c != nil {
		// Its corners run from the start end's right one, counter-clockwise.
		w.WindowMM = [2]float64{c[3].Y - c[0].Y, c[2].Y - c[1].Y}
		w.WindowOffMM = m.Template.WindowHalf()
	} else if m.site.Window != nil {
		w.Outlined, w.WindowOffMM = true, m.Template.WindowHalf()
		w.PushDeg, w.Sticks = m.nest.PushDeg(), m.nest.Sticks()
		size := m.site.Outline.Bounds().Grow(j.Template.ClearanceMM).Size()
		w.WindowMM = [2]float64{size.X, size.Y}
	}
	if j.Template.Make.By == "print" {
		w.Template = m.railed(w.Template)
	}
	if k := d.Blank; k != nil {
		w.Blank = &setup.Part{Material: k.Wood, ThicknessMM: k.ThicknessMM, Outline: at(k.Outline)}
		if !w.Nest && k.ThicknessMM > j.Board.ThicknessMM {
			w.Blank.Window = w.Board.Outline // the frame stands higher than the board, turned over
		}
	}
	if m.GluesOnPins() {
		w.Glue = m.gluing()
	}
	if r, err := fit.DefaultProcess(fit.Router, j.Board.Wood, j.Board.ThicknessMM); err == nil {
		w.BoreOffMM = r.HalfWidth()
	}
	return w
}

// laid is a plate of the template's shape as it lies on the machine.
func (m made) laid(of part.Part) setup.Part {
	at := m.d.Frame.ToMachine.Loop
	out := setup.Part{
		Material: of.Material, ThicknessMM: of.ThicknessMM, MadeBy: of.Make.By, Outline: at(m.d.Template.Outline),
	}
	if w := m.d.Template.Window; w != nil {
		out.Window = at(w)
	}
	return out
}

// railed is a printed plate with the rails that stand on it.
func (m made) railed(plate setup.Part) setup.Part {
	if r := m.d.Rails; r != nil {
		for _, l := range r.Outlines {
			plate.Rails = append(plate.Rails, m.d.Frame.ToMachine.Loop(l))
		}
		plate.RailTopMM = r.HeightMM
	}
	return plate
}

// gluing is how the board is glued onto the blank that carries the pins.
func (m made) gluing() *setup.Gluing {
	g := &setup.Gluing{Plate: m.laid(m.Template), Stand: m.Glue}
	r := m.d.Rails
	if r == nil {
		return g
	}
	g.StripMM, g.FilmMM = r.StripMM, m.job.Rails.FilmMM
	if r.Gluing != nil {
		g.OpenMin = [2]float64{r.OpenTime.Least, r.OpenTime.Most}
		if r.Glued != nil {
			g.Press = r.Glued.Press()
		}
	}
	switch {
	case r.Sheet != nil:
		g.Plate, g.PlateFiles, g.Openings = m.laid(m.Rails), []string{RailsFile}, m.opened("rails", false)
		g.Plate.Window, g.OffMM = m.d.Frame.ToMachine.Loop(r.Sheet.Window), m.Rails.WindowHalf()
		g.KerfMM, g.EdgeMM, g.AsCoupon = r.Sheet.KerfMM, r.Sheet.EdgeMM, m.Rails.Make.Measured != nil
		g.Across = glued.Across("lands", m.site.Landed.Lands)
	case r.Plate == "print":
		g.Plate = m.railed(g.Plate)
		g.Plate.Window = m.d.Frame.ToMachine.Loop(m.site.Printed)
		g.Plate.Material, g.Plate.MadeBy, g.Plate.ThicknessMM = m.Print.Material, "print", part.GluePlateMM(m.job)
		g.PlateFiles, g.Openings = m.d.plateFiles(true), m.opened("print", false)
		g.Across, g.OffMM = glued.Across("rails", glued.Inner(r.Outlines)), m.Print.WindowHalf()
	}
	if k := m.site.Wedges(); len(k) > 0 {
		g.Pair = glued.Drive(k[0], m.GluePlate(m.job), m.job.Board.WidthErrorMM)
	}
	for _, k := range m.site.Wedges() {
		g.Wedges = append(g.Wedges, m.d.Frame.ToMachine.Loop(k.Pair()))
		g.AtEnd = g.AtEnd || k.Push.X*k.Push.X > k.Push.Y*k.Push.Y
	}
	for _, k := range m.d.Wedges {
		g.WedgeFiles = append(g.WedgeFiles, k.File)
	}
	return g
}

// RailsFile is the plate from sheet that the board is glued in, templateFile the template as it
// is cut from sheet.
const (
	RailsFile    = "rails.dxf"
	templateFile = "template.dxf"
)

// plateFiles are the files of the plate as a print or as a sheet.
func (d *Design) plateFiles(printed bool) []string {
	if !printed {
		return []string{templateFile}
	}
	var out []string
	for _, p := range d.Parts {
		out = append(out, p.File)
	}
	return out
}

// opened tells in one step how the holes of a part become what the pins need: first the
// sizes, of those that are opened after cutting alone where there are any and not all are,
// then every move.
func (m made) opened(part string, all bool) []string {
	var sizes, open, moves []string
	for _, g := range m.d.HoleGroups() {
		if g.Part != part {
			continue
		}
		who, h := g.Who(), g.Hole
		size := fmt.Sprintf("%s %.3f to %.3f", who, h.MinMM, h.MaxMM)
		if h.SlotMM > 0 {
			size += " across"
		}
		if _, how, ok := strings.Cut(h.Made, ", then "); ok {
			open = append(open, size+" ("+how+")")
		} else if all {
			open = append(open, size)
		}
		sizes, moves = append(sizes, size), append(moves, who+": "+strings.Join(h.Steps, " "))
	}
	if len(sizes) == 0 {
		return nil
	}
	first := "Holes: " + strings.Join(sizes, ", ")
	if len(open) > 0 {
		first = "Open " + strings.Join(open, ", ")
	}
	return []string{first + ". " + strings.Join(moves, " ")}
}
