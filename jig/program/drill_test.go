package program

import (
	"strings"
	"testing"

	"reseat/jig/job"
)

// least is a job with nothing but what it must have, and more lines.
func least(t *testing.T, more string) *job.Job {
	t.Helper()
	j, err := job.Parse("job.yaml", []byte("board: {length: 400, width: 40, thickness: 6}\ndowel: {diameter: 8}\n"+
		"template: {thickness: 6, make: {by: laser}}\n"+more))
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// TestDrilling: a drill of 7.8 mm turns as a drill must, not as an end mill; what the job
// says wins, and a faster spindle alone does not drive the feed up.
func TestDrilling(t *testing.T) {
	for _, c := range []struct {
		name, more, material string
		rpm, feed            float64
		says                 string // in the head
	}{
		{"hardwood", "", "oak", 1500, 146, "Drill: 1500 rpm (web: woodiswood.com"},
		{"softwood", "", "spruce", 3000, 292, "in softwood"},
		{"board", "", "mdf", 1500, 146, "No speed for mdf was found: it is drilled as hardwood (common practice, no " +
			"source)."},
		{"acrylic", "", "cast acrylic", 1500, 146, "No speed for cast acrylic was found"},
		{"speed of the job", "cutting: {spindle_rpm: 10000}", "oak", 10000, 146, "the job's cutting.spindle_rpm"},
		{"slower than the table", "cutting: {spindle_rpm: 750}", "oak", 750, 73, "the job's cutting.spindle_rpm"},
		{"feed of the job", "cutting: {plunge_mm_min: 60}", "oak", 1500, 60, "Drill: 1500 rpm"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := Bores(least(t, c.more), BoredPart{File: "bores.nc", Part: "bed", Material: c.material, ThicknessMM: 30,
				Drilled: true, Holes: []PinHole{{ID: "P1", DiameterMM: 7.8, DepthMM: 20}}})
			if err != nil {
				t.Fatal(err)
			}
			if p.Path.SpindleRPM != c.rpm || p.Path.PlungeMMmin != c.feed {
				t.Errorf("%g rpm, %g mm/min, want %g and %g", p.Path.SpindleRPM, p.Path.PlungeMMmin, c.rpm, c.feed)
			}
			if head := strings.Join(p.Path.Says, "\n"); !strings.Contains(head, c.says) {
				t.Errorf("the head says %q, want %q", head, c.says)
			}
			if slow := strings.Contains(strings.Join(p.Path.Cautions, " "), slowCaution); slow != (c.rpm < slowestRPM) {
				t.Errorf("caution of a slow spindle: %v", slow)
			}
		})
	}
}
