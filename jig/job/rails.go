package job

import (
	"cmp"
	"fmt"
	"math"

	"reseat/jig/rail"
)

// makes are the sections that say how a part is made.
var makes = []string{"template.make", "blank.make", "bed.make", "rails.make"}

// sheetsMM are the usual sheets that a plate for gluing is cut from. Common practice, no source.
var sheetsMM = []float64{1, 1.5, 2, 3, 4, 5, 6, 8, 10}

// rails takes the rails' section. What is not given follows from the board: whatever stands
// beside it ends below its lowest edge, so that the pressure bears on the board alone.
func (r *reader) rails(b Board, t Template) *Rails {
	j := &Rails{
		StripMM: r.mm("rails.strip"), HeightMM: r.mm("rails.height"), GapMM: r.mm("rails.gap"), FilmMM: r.mm("rails.film"),
		Push: r.word("rails.push"), AccuracyMM: r.mm("rails.accuracy"), Glue: r.word("rails.glue"),
		ClampN:   r.mm("rails.clamps.force_n"),
		Caul:     Caul{Material: r.word("rails.caul.material"), HeightMM: r.mm("rails.caul.height")},
		Material: cmp.Or(r.word("rails.material"), t.Material), ThicknessMM: r.mm("rails.thickness"), Make: t.Make,
	}
	if r.has("rails.make") {
		j.Make = r.make("rails.make")
	}
	most := b.LowestEdgeMM() - rail.LeastBearingMM - j.FilmMM
	if r.has("rails.height") {
		most = j.HeightMM
	}
	switch {
	case t.Seat != "nest":
		return j
	case r.has("rails.plate"):
		j.Plate = r.word("rails.plate")
	case b.Outline != nil && t.Make.By == "print":
		j.Plate = "template"
	case b.Outline == nil && (t.Make.By == "print" || t.Make.IsGiven("bed") ||
		t.Make.IsGiven("nozzle")): // there is a printer
		j.Plate = "print"
	default:
		j.Plate = "sheet"
	}
	switch j.Plate {
	case "template":
		j.HeightMM = t.ThicknessMM
	case "sheet":
		r.sheetRails(j, b.LowestEdgeMM()-j.FilmMM, most)
	default:
		j.HeightMM = most
	}
	return j
}

// thickest is how thick a sheet may come: cast acrylic has the widest tolerance of those that
// plates are cut from, +-(0.4 + 0.1 t) (ISO 7823-1:2003; web: a maker's page of tolerances).
func thickest(sheetMM float64) float64 { return sheetMM + 0.4 + float64(0.1*sheetMM) }

// sheetRails takes the thickness and the process of a plate from sheet at most so high, that
// ends below the board's edge even where the sheet comes at its thickest.
func (r *reader) sheetRails(j *Rails, edge, most float64) {
	if by := j.Make.By; by != "laser" && by != "router" && r.isFaultless("template.make.by", "rails", "rails.make.by") {
		r.faultKey("rails", fmt.Sprintf("a plate from sheet cannot be made by: %s, as the template is", by),
			"give rails.make: {by: laser} or {by: router}, or rails.plate: print")
	}
	if j.ThicknessMM == 0 {
		j.ThicknessMM = sheetsMM[0] // whether that is thin enough is for a rule to say
		for _, s := range sheetsMM {
			if s <= most && thickest(s) <= edge {
				j.ThicknessMM = s
			}
		}
	}
	j.HeightMM = j.ThicknessMM
}

// GlueLand is the area that is glued, and the edges that glue runs out at: both long sides, or all
// round a board of any outline.
//
//	A = L (w_start + w_end)/2;   both sides: 2 sqrt(L^2 + ((w_end - w_start)/2)^2)
func (b Board) GlueLand() (areaMM2, edgeMM float64) {
	if b.Outline == nil {
		return b.LengthMM * (b.WidthStartMM + b.WidthEndMM) / 2, 2 * math.Hypot(b.LengthMM, (b.WidthEndMM-b.WidthStartMM)/2)
	}
	areaMM2, edgeMM = b.Outline.Area(), b.Outline.Length()
	for _, h := range b.Holes {
		areaMM2, edgeMM = areaMM2-math.Abs(h.Area()), edgeMM+h.Length()
	}
	return areaMM2, edgeMM
}

// NarrowestMM is the least width, of a board of any outline along the middle nine tenths.
func (b Board) NarrowestMM() float64 {
	if b.Outline == nil {
		return min(b.WidthStartMM, b.WidthEndMM)
	}
	const tenths = 20
	box, least := b.Outline.Bounds(), math.Inf(1)
	for i := 1; i < tenths; i++ {
		right, left := b.SidesMM(box.Min.X + box.Size().X*float64(i)/tenths)
		least = min(least, left-right)
	}
	return least
}

// LowestEdgeMM is the height of the board's top above its underside where it is lowest: a crown
// has fallen most at the widest place.
//
//	edge = t - (R - sqrt(R^2 - reach^2))
func (b Board) LowestEdgeMM() float64 {
	return b.ThicknessMM - rail.CrownDrop(b.CrownRadiusMM, b.ReachMM())
}
