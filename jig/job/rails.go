package job

import (
	"cmp"
	"fmt"

	"reseat/jig/rail"
)

// makes are the sections that say how a part is made.
var makes = []string{"template.make", "blank.make", "bed.make", "rails.make"}

// sheetsMM are the usual sheets that a plate for gluing is cut from. Common practice, no source.
var sheetsMM = []float64{2, 3, 4, 5, 6, 8, 10}

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
	case t.Make.By == "print", t.Make.Given("bed"), t.Make.Given("nozzle"): // there is a printer
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
	if by := j.Make.By; by != "laser" && by != "router" && r.good("template.make.by", "rails", "rails.make.by") {
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

// LowestEdgeMM is the height of the board's top above its underside where it is lowest: a crown
// has fallen most at the widest place.
//
//	edge = t - (R - sqrt(R^2 - reach^2))
func (b Board) LowestEdgeMM() float64 {
	return b.ThicknessMM - rail.CrownDrop(b.CrownRadiusMM, b.ReachMM())
}
