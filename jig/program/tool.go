package program

import (
	"cmp"
	"fmt"
	"slices"

	"reseat/jig/job"
	"reseat/jig/toolpath"
	"reseat/jig/units"
)

// CutterChoice is the cutter of a program, and why it is that one.
type CutterChoice struct {
	job.Cutter
	Named bool   // the job names it for this very program
	Key   string // of the job file that would name it
	Why   string
}

const (
	// holeShare is the largest cutter that a hole should be bored with, in shares of the
	// hole: with more the helix is nearly a plunge, chips do not rise and the work takes
	// hours. Common practice, no source.
	holeShare = 0.8

	// leastRoomMM is how much smaller than its hole a cutter must be to go in at all: twice
	// the smallest circle that a machine draws.
	leastRoomMM = 0.02
)

// usualMM are the diameters that end mills are sold in everywhere, metric and inch. Common
// practice, no source.
var usualMM = []float64{1, 1.5, 2, 2.5, 3, 3.175, 4, 5, 6, 6.35, 8, 10, 12}

// ChooseCutter takes the cutter of a program whose smallest hole is holeMM wide and whose deepest
// is depthMM deep: c, when the job names it for the program or lists no cutters; otherwise
// the best of machine.cutters. A cutter whose reach is not stated is taken to reach.
func ChooseCutter(j *job.Job, c job.Cutter, named bool, key string, holeMM, depthMM float64) CutterChoice {
	out := CutterChoice{Cutter: c, Named: named, Key: key}
	switch {
	case named:
		out.Why = key + " names it"
		// A diameter alone that the list has is that cutter, with its reach and its collet.
		bare := job.Cutter{DiameterMM: c.DiameterMM}
		for _, l := range j.Machine.Cutters {
			if c == bare && l != bare && l.DiameterMM == c.DiameterMM {
				out.Cutter = l
			}
		}
		return out
	case len(j.Machine.Cutters) == 0:
		out.Why = "machine.cutter: neither " + key + " nor machine.cutters is given"
		return out
	}
	hole, depth := short(holeMM), short(depthMM)
	goesIn := func(c job.Cutter) bool { return c.DiameterMM < holeMM-leastRoomMM }
	for _, want := range []struct {
		ok   func(job.Cutter) bool
		says string
	}{
		{func(c job.Cutter) bool { return c.DiameterMM <= holeShare*holeMM && reaches(c, depthMM) },
			fmt.Sprintf("that is at most %g of the smallest hole, %s mm, and reaches %s mm deep", holeShare, hole, depth)},
		{func(c job.Cutter) bool { return goesIn(c) && reaches(c, depthMM) },
			fmt.Sprintf("that goes into the smallest hole, %s mm, and reaches %s mm deep: none is at most %g of it too",
				hole, depth, holeShare)},
		{goesIn, fmt.Sprintf("that goes into the smallest hole, %s mm: none of these reaches %s mm deep", hole, depth)},
	} {
		if best, ok := largest(j.Machine.Cutters, want.ok); ok {
			out.Cutter, out.Why = best, fmt.Sprintf("the largest of %d in machine.cutters ", len(j.Machine.Cutters))+want.says
			return out
		}
	}
	out.Cutter = slices.MinFunc(j.Machine.Cutters,
		func(a, b job.Cutter) int { return cmp.Compare(a.DiameterMM, b.DiameterMM) })
	out.Why = fmt.Sprintf("the smallest of %d in machine.cutters: none goes into the smallest hole, %s mm",
		len(j.Machine.Cutters), hole)
	return out
}

// PlateCutter is the cutter of a routed template: its window's corners are relieved for it,
// and its smallest hole is as wide as a pin. Its holes must fit, whoever named the cutter.
func PlateCutter(j *job.Job) CutterChoice {
	mk := j.Template.Make
	c := ChooseCutter(j, mk.Cutter, mk.IsGiven("cutter"), "template.make.cutter", j.Dowel.DiameterMM,
		j.Template.ThicknessMM)
	c.Named = true
	return c
}

// largest returns the thickest of the cutters that are ok; of equals one whose reach is
// stated.
func largest(all []job.Cutter, ok func(job.Cutter) bool) (best job.Cutter, found bool) {
	for _, c := range all {
		more := c.DiameterMM > best.DiameterMM || c.DiameterMM == best.DiameterMM && best.ReachMM == 0
		if ok(c) && more {
			best, found = c, true
		}
	}
	return best, found
}

func reaches(c job.Cutter, depthMM float64) bool {
	deepest, known := toolOf("", c).DeepestMM()
	return !known || deepest >= depthMM
}

// better is the cutter to take instead of one that is too thick for its hole, and where it
// is from; ok is false when none is thin enough.
func better(j *job.Job, holeMM, depthMM float64) (c job.Cutter, from string, ok bool) {
	thin := func(c job.Cutter) bool { return c.DiameterMM <= holeShare*holeMM && reaches(c, depthMM) }
	if c, ok = largest(j.Machine.Cutters, thin); ok {
		return c, "in machine.cutters", true
	}
	c, ok = largest(usual(), thin)
	return c, "a usual size; common practice, no source", ok
}

// usual are the cutters that end mills are sold as everywhere.
func usual() (all []job.Cutter) {
	for _, d := range usualMM {
		all = append(all, job.Cutter{DiameterMM: d})
	}
	return all
}

// slimDiameters is the stick-out in diameters from which a cutter is spared. Source (web):
// testdata/reference/machining.csv, tool overhang.
const slimDiameters = 5

// cautionTool puts into the head what the tool asks for: a drill a slow spindle, a slim
// cutter lighter cuts. err is that of the program.
func cautionTool(p *toolpath.Program, err error) {
	switch {
	case err != nil:
	case p.Name == "drill" && p.SpindleRPM < slowestRPM:
		p.Cautions = append(p.Cautions, slowCaution)
	case p.Name != "drill" && p.Run.DeepestMM() > slimDiameters*p.DiameterMM:
		p.Cautions = append(p.Cautions, fmt.Sprintf("the cutter stands out %.1f diameters or more and bends: %s; lower "+
			"cutting.feed_mm_min and cutting.turn", p.Run.DeepestMM()/p.DiameterMM, overhang))
	}
}

// written is a cutter as the job file has it.
func written(c job.Cutter) string {
	out := fmt.Sprintf("{diameter: %s mm", exact(c.DiameterMM))
	if c.ReachMM > 0 {
		out += fmt.Sprintf(", reach: %s mm", exact(c.ReachMM))
	}
	if c.Teeth > 0 {
		out += fmt.Sprintf(", teeth: %d", c.Teeth)
	}
	if c.ColletMM > 0 {
		out += fmt.Sprintf(", collet: {diameter: %s mm, below: %s mm}", exact(c.ColletMM), exact(c.BelowMM))
	}
	return out + "}"
}

// toolOf is a cutter as the tool path has it.
func toolOf(name string, c job.Cutter) toolpath.Tool {
	return toolpath.Tool{
		Name: name, DiameterMM: c.DiameterMM, Teeth: c.Teeth, ReachMM: c.ReachMM, ColletMM: c.ColletMM, BelowMM: c.BelowMM,
	}
}

// millOf is an end mill with the job's cutting figures.
func millOf(j *job.Job, c job.Cutter) toolpath.Router {
	r := routerOf(j.Cutting, "end mill", c.DiameterMM)
	r.Tool = toolOf("end mill", c)
	return r
}

// exact writes a length to the micrometre.
func exact(mm float64) string { return units.Decimal(mm, 3) }

// short writes a length for a sentence.
func short(mm float64) string { return units.Decimal(mm, 2) }
