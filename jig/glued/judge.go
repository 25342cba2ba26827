package glued

import (
	"fmt"

	"reseat/jig/budget"
	"reseat/jig/gluing"
	"reseat/jig/job"
	"reseat/jig/plate"
	"reseat/jig/setup"
	"reseat/jig/units"
	"reseat/jig/wedge"
)

// Judge holds the figures against what the job wants.
func (f Plan) Judge(j *job.Job) []setup.Finding {
	mm := func(v float64) string { return units.Decimal(v, 2) + " mm" }
	level := func(ok bool, bad string) string {
		if ok {
			return "pass"
		}
		return bad
	}
	c, lost := f.Clamps, ""
	if !c.Reaches {
		lost = ". " + c.Lost()
	}
	out := []setup.Finding{f.which(j), {
		ID: "clamp-pressure", Level: level(c.Reaches, "warn"), Value: c.PressureMPa, Limit: c.PressureMPa / c.Share,
		Unit: "MPa",
		Says: fmt.Sprintf("%d clamps of %s N, %s apart, press with %s MPa, which %s, %s MPa", c.Count,
			units.Significant(c.EachN, 3), mm(f.Caul.SpacingMM), units.Significant(c.PressureMPa, 2), c.Verdict(),
			units.Significant(c.PressureMPa/c.Share, 2)) + lost,
		Remedy: "clamps that press more (rails.clamps.force_n)", Key: "rails.clamps.force_n",
	}, {
		ID: "side-load", Level: level(f.Rail.Used <= 1, "warn"), Value: f.Rail.Used, Limit: 1,
		Says: fmt.Sprintf("clamps 2 degrees out of square push the board sideways with %s N: rail deflection %s, "+
			"%s %% of the load that the rail bears", units.Significant(f.SideN, 2), mm(f.Rail.DeflectionMM),
			units.Significant(100*f.Rail.Used, 2)),
		Remedy: "a wider margin beside the window, or a thicker plate",
		Key:    "template.margin",
	}, {
		ID: "cold-glue", Level: level(!f.Times.TooCold, "warn"), Value: f.TempC, Limit: f.Times.LeastC.Most, Unit: "C",
		Says:   fmt.Sprintf("%s sets at %s C", j.Rails.Glue, units.Decimal(f.TempC, 1)),
		Remedy: "warm board, blank and glue: below " + units.Decimal(f.Times.LeastC.Most, 0) + " C the glue may not set",
		Key:    "climate.now",
	}}
	if k := f.Wedges; k != nil {
		n := func(newtons float64) string { return units.Decimal(newtons, 0) + " N" }
		out = append(out, setup.Finding{
			ID: "wedge-holds", Level: level(k.Held, "warn"), Value: plate.WedgeSlope, Limit: k.MostSlope,
			Says: fmt.Sprintf("a pair of wedges tapped with %s presses with %s to %s and holds by friction; up to "+
				"%s free it", n(wedge.TapN), n(k.Press.Least), n(k.Press.Most), n(k.Free.Most)),
			Remedy: "wedges of a rougher sheet, dry", Key: "rails.material",
		})
	}
	if f.Unsure != "" {
		out = append(out, setup.Finding{
			ID: "wedge-holds", Level: "warn", Value: plate.WedgeSlope, Says: "whether the wedges hold is not computed: " +
				f.Unsure,
			Remedy: "wedges of another sheet; or try a pair: it must not slip out by itself", Key: "rails.material",
		})
	}
	if side := j.Template.Push; f.Wedges != nil && j.Rails.Plate == "print" && j.Template.Make.By == "print" &&
		side != j.Rails.Push {
		out = append(out, setup.Finding{
			ID: "rail-push", Level: "fail",
			Says:   fmt.Sprintf("the wedges push %s, and the printed window is drawn for a push: %s", j.Rails.Push, side),
			Remedy: "the same side for both, or a gluing plate of its own (rails.plate: sheet)", Key: "rails.push",
		})
	}
	if k := f.Finger; k != nil {
		out = append(out, setup.Finding{
			ID: "rail-push", Level: "warn", Value: k.Strain * 100, Limit: k.Allowed.Least * 100, Unit: "%",
			Says: fmt.Sprintf("rails.push is %s, and nothing in this plate pushes the board", j.Rails.Push),
			Remedy: fmt.Sprintf("plates from sheet and printed ones have wedges (rails.plate: sheet or print); or press it with a printed "+
				"spring finger, %s long, %s thick and %s high: bent by %s at its end it presses with %s N", mm(k.LengthMM), mm(k.ThickMM), mm(k.HeightMM),
				mm(k.BendMM), units.Decimal(k.ForceN, 0)),
			Key: "rails.push",
		})
	}
	if k := f.Relief; k != nil {
		out = append(out, setup.Finding{
			ID: "rail-contact", Level: level(k.ContactMM >= gluing.LeastContactMM, "warn"), Value: k.ContactMM,
			Limit: gluing.LeastContactMM, Unit: "mm",
			Says:   fmt.Sprintf("above a chamfer of %s at its foot %s of the rail face the board", mm(k.ChamferMM), mm(k.ContactMM)),
			Remedy: "higher rails, or less glue", Key: "rails.height",
		}, setup.Finding{
			ID: "rail-relief", Level: level(k.RoomMM2 >= k.RunsMM2, "warn"), Value: k.RoomMM2, Limit: k.RunsMM2, Unit: "mm2",
			Says: fmt.Sprintf("at the foot of the printed plate a chamfer of %s has room for %s mm2 of glue on either side; up to %s mm2 "+
				"run out", mm(k.ChamferMM), units.Decimal(k.RoomMM2, 2), units.Decimal(k.RunsMM2, 2)),
			Remedy: "film up the walls, and lift the plate while the glue is soft; or spread less, or a plate from sheet, whose window " +
				"stands back (rails.plate: sheet)", Key: "rails.plate",
		})
	}
	if f.Loose != "" {
		out = append(out, setup.Finding{
			ID: "rails-hold", Level: "fail", Says: "between the lands of the plate for gluing " + f.Loose,
			Remedy: "rails.plate: template, which touches it all round; if it turns in that too, lay it to a mark and hold it by hand",
			Key:    "rails.plate",
		})
	}
	if at := f.worst(); at >= 0 {
		p, miss := f.Place[at], "warn" // nobody asked for more
		if j.IsGiven("rails.accuracy") {
			miss = "fail"
		}
		out = append(out, setup.Finding{
			ID: "place-on-blank", Level: level(p.P95MM <= j.Rails.AccuracyMM, miss), Value: p.P95MM, Limit: j.Rails.AccuracyMM,
			Unit: "mm", Says: fmt.Sprintf("glued on, %s lies within %s of its place on the blank in 95 %% of gluings, %s "+
				"wanted; "+
				"largest part: %s", p.Name, mm(p.P95MM), mm(j.Rails.AccuracyMM), p.Largest),
			Remedy: p.Remedy, Key: "rails.accuracy",
		})
	}
	return out
}

// which says what the board is glued in, and why.
func (f Plan) which(j *job.Job) setup.Finding {
	r, edge := j.Rails, j.Board.LowestEdgeMM()
	what := map[string]string{"template": "the template itself", "sheet": "a plate of its own from sheet", "print": "a printed plate"}
	why := "as the job says (rails.plate)"
	switch t := j.Template; {
	case j.IsGiven("rails.plate"):
	case r.Plate == "sheet":
		why = "no printer is named"
	case t.Make.By == "print":
		why = "the template is printed"
	default:
		why = "a printer is named (template.make.bed or nozzle)"
	}
	return setup.Finding{
		ID: "rail-plate", Level: "pass", Value: r.HeightMM, Limit: edge, Unit: "mm",
		Says: fmt.Sprintf("the board is glued in %s, %s mm high beside an edge of %s mm: %s", what[r.Plate],
			units.Decimal(r.HeightMM, 2), units.Decimal(edge, 2), why),
		Remedy: "template, sheet or print", Key: "rails.plate",
	}
}

// worst is the feature with the largest error on the blank, the first of several alike; -1 without any.
func (f Plan) worst() int {
	at := -1
	for i, p := range f.Place {
		if at < 0 || p.P95MM > f.Place[at].P95MM+budget.TieMM {
			at = i
		}
	}
	return at
}
