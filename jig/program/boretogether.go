package program

import (
	"fmt"

	"reseat/jig/job"
	"reseat/jig/toolpath"
)

// together plans the pin holes of blank and bed in one clamping: the blank lies on the bed,
// Z0 on its top. One tool bores both holes of a pin before it goes on to the next, so that
// the two err together.
//
// An end mill bores the blank's hole or slot exactly through, then the bed's narrower hole
// below it. A drill of the bed's size goes through both; the blank's holes are opened
// afterwards, each about the one that is drilled.
func together(j *job.Job, blank, bed BoredPart) (Program, error) {
	r, drilling := millOf(j, bed.Tool.Cutter), ""
	if bed.Drilled {
		r, drilling = drillOf(j, bed.Holes[0].DiameterMM, blank.Material, bed.Material)
		bed.Tool = CutterChoice{Why: drilling}
	}
	r.SafeMM += bed.OverMM
	over, through := blank.ThicknessMM, false
	apart := over + breakThroughMM
	var cuts []*toolpath.Cut
	var round []Hole
	var wrong faultsByID
	add := func(id string, c *toolpath.Cut, err error) {
		wrong.add(id, err)
		cuts = append(cuts, c)
	}
	for i, low := range bed.Holes {
		up := blank.Holes[i]
		deep := over + bed.depth(low)
		apart = max(apart, deep-over)
		through = through || deep+low.PointMM >= over+bed.ThicknessMM
		below := toolpath.Hole{ID: low.ID, At: low.At, DiameterMM: low.DiameterMM, DepthMM: deep}
		room := up.DiameterMM
		if bed.Drilled {
			room = up.LeastMM // that it is opened to
		}
		if room < low.DiameterMM {
			wrong.add(low.ID, fmt.Errorf("the bed's hole of %.4g mm is wider than the blank's of %.4g mm above it: bore them "+
				"apart (blank.bored_with_bed: false)", low.DiameterMM, room))
			continue
		}
		if bed.Drilled {
			c, err := r.Drill(below)
			add(low.ID, c, err)
			round = append(round, Hole{ID: low.ID, At: low.At, DiameterMM: low.DiameterMM, DepthMM: deep})
			continue
		}
		if up.SlotMM > 0 {
			c, err := r.Slot(toolpath.Slot{ID: up.ID + " blank", At: up.At, WidthMM: up.DiameterMM, DepthMM: over,
				AngleRad: up.AngleRad, TravelMM: up.SlotMM})
			add(up.ID, c, err)
		} else {
			c, err := r.Bore(toolpath.Hole{ID: up.ID + " blank", At: up.At, DiameterMM: up.DiameterMM, DepthMM: over})
			add(up.ID, c, err)
			round = append(round, Hole{ID: up.ID, At: up.At, DiameterMM: up.DiameterMM, DepthMM: over})
		}
		below.ID, below.FromMM = low.ID+" bed", over
		c, err := r.Bore(below)
		add(low.ID, c, err)
		round = append(round, Hole{ID: low.ID, At: low.At, DiameterMM: low.DiameterMM, DepthMM: deep})
	}
	if err := wrong.err(); err != nil {
		return Program{}, err
	}
	says := append([]string(nil), cautions...)
	says = append(says,
		fmt.Sprintf("Stock: blank, %s, %.4g mm thick%s, clamped on the bed, %s, %.4g mm thick: bored together.",
			blank.Material, over, blank.up(j), bed.Material, bed.ThicknessMM),
		"Zero: X0 Y0 where the datum line starts, Z0 on top of the blank.",
		"Order: clamp the blank on the bed, clamps clear of the holes; run this; lift the blank, clear the chips;",
	)
	if bed.Drilled {
		says = append(says, "open the blank's holes, each about the one drilled here;")
	}
	says = append(says, "press the pins into the bed; put the blank back on.")
	if bed.Drilled {
		says = append(says, drilling)
	}
	if through {
		says = append(says, "The tool comes out below: lay scrap under the bed.")
	}
	if bed.Pressed {
		says = append(says, "The pins are driven into the bed's holes; try one in scrap first.")
	}
	path, err := r.Program(toolpath.Head{File: bed.File, Title: j.Title, Says: says}, cuts)
	cautionTool(path, err)
	return Program{path, j.Cutting.Dialect, bed.Part, round, bed.Tool, apart}, err
}
