package program

import (
	"reseat/fit"
	"reseat/jig/climate"
	"reseat/jig/job"
	"reseat/jig/toolpath"
)

// slowCaution is said of a drill that most routers cannot turn slowly enough, and
// slowestRPM is what those turn at least (common practice, no source).
const (
	slowCaution = "few router spindles turn so slowly, and a drill that turns too fast burns, wanders and bores " +
		"oversize: " +
		"with such a spindle bore with an end mill (make: {by: router})"
	slowestRPM = 8000
)

// drillOf is a drill with the speed and feed for its diameter and for the slowest of what it
// drills, unless the job gives them, and what the head says of both. A faster speed that
// the job gives does not make the feed faster.
func drillOf(j *job.Job, diameterMM float64, materials ...string) (r toolpath.Router, says string) {
	soft, unknown := true, ""
	for _, m := range materials {
		wood, err := climate.LookupWood(m)
		soft = soft && err == nil && wood.Conifer && !fit.IsBoard(m)
		if err != nil {
			unknown += " No speed for " + m + " was found: it is drilled as hardwood (common practice, no source)."
		}
	}
	d := toolpath.DrillIn(diameterMM, soft)
	says = d.Says + unknown
	c := j.Cutting
	if c.SpindleRPM > 0 {
		d.FeedMMmin *= min(1, c.SpindleRPM/d.RPM)
		d.RPM = c.SpindleRPM
		says = "Drill: the job's cutting.spindle_rpm. Without it: " + says
	}
	if c.PlungeMMmin > 0 {
		d.FeedMMmin = c.PlungeMMmin
	}
	c.SpindleRPM, c.PlungeMMmin = d.RPM, d.FeedMMmin
	return routerOf(c, "drill", diameterMM), says
}
