package jig

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/plate"
)

// splitJob is a printed nest of our own on a printer of the given bed.
func splitJob(t *testing.T, length, start, end, bedX, bedY float64, change func(*job.Job)) *Design {
	t.Helper()
	j := mustParse(t, `
board: {length: 300, width: {start: 40, end: 52}, thickness: 6}
blank: {length: 460, width: 130, thickness: 20}
machine: {position: 0.03}
dowel: {standard: iso 2338, class: h8, diameter: 5, count: 6}
template: {seat: nest, push: left, thickness: 3, margin: 20, clearance: 0.1, make: {by: print, bias: 0, spread: 0.05, position: 0.05, bed: {x: 200, y: 200}}}
rails: {height: 5}
accuracy: 1
`)
	j.Board.LengthMM, j.Board.WidthStartMM, j.Board.WidthEndMM = length, start, end
	j.Blank.LengthMM, j.Blank.WidthMM = length+160, math.Max(start, end)+90
	j.Template.Make.BedMM = [3]float64{bedX, bedY, 200}
	if change != nil {
		change(j)
	}
	return build(t, j)
}

// TestSplit holds the parts of many printed plates against the plate itself.
func TestSplit(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 0))
	split, whole, refused := 0, 0, 0
	const jobs = 24
	for i := range jobs {
		length := 100 + 900*rng.Float64()
		start := 30 + 40*rng.Float64()
		end := start + 25*(rng.Float64()-0.3)
		bed := 120 + 200*rng.Float64()
		other := bed + 60*rng.Float64()
		if i%2 == 0 && !deep() {
			continue
		}
		d := splitJob(t, length, start, end, bed, other, nil)
		fits := rule(t, d, "print-fits-bed")
		switch {
		case d.Split != nil:
			split++
			checkParts(t, i, d)
			if fits.Level != Pass {
				t.Errorf("job %d: split, but %s", i, fits.Says)
			}
		case fits.Level == Pass:
			whole++
		default:
			refused++ // told with the reason
		}
	}
	t.Logf("%d split, %d whole, %d refused", split, whole, refused)
	if split < 6 || whole == 0 {
		t.Errorf("%d split, %d whole: the jobs do not try it", split, whole)
	}
}

// checkParts: every part fits the bed, the parts are apart and together the plate but
// for the keys' clearance, and every hole is whole in one part.
func checkParts(t *testing.T, i int, d *Design) {
	t.Helper()
	area, seen := 0.0, map[string]int{}
	for _, p := range d.Parts {
		size := p.Outline.Bounds().Size()
		if !plate.FitsBed(size, p.BedMM[0], p.BedMM[1]) {
			t.Errorf("job %d: %s of %.1f x %.1f does not fit %v", i, p.File, size.X, size.Y, p.BedMM)
		}
		if b := p.Outline.Bounds(); math.Hypot(b.Min.X, b.Min.Y) > 1e-9 {
			t.Errorf("job %d: %s does not lie at (0, 0): %v", i, p.File, b.Min)
		}
		if p.Outline.Area() <= 0 {
			t.Errorf("job %d: %s runs clockwise", i, p.File)
		}
		area += p.Outline.Area()
		if p.Window != nil {
			area -= p.Window.Area()
		}
		for _, h := range p.Holes {
			seen[h.ID]++
			if room := p.Outline.Depth(h.Center) - (h.Diameter+h.Travel)/2; room < 2*p.NozzleMM {
				t.Errorf("job %d: hole %s is %.2f mm from the edge of %s", i, h.ID, room, p.File)
			}
		}
		for _, r := range p.Rails {
			for _, v := range r.Outline.Corners() {
				if dep := p.Outline.Depth(v); dep < -1e-3 {
					t.Errorf("job %d: a rail of %s stands %.4f mm over its edge at %v", i, p.File, -dep, v)
				}
			}
		}
	}
	for _, q := range d.Pins {
		if seen[q.ID] != 1 {
			t.Errorf("job %d: hole %s is in %d parts", i, q.ID, seen[q.ID])
		}
	}
	window := d.Print.Place.Inverse().Loop(d.Print.Window) // without the template's finger reliefs
	plate := d.Template.Outline.Area() - window.Area()
	// A key of neck n, head h and length l leaves its flanks and head free by c.
	gap := plate - area
	keys := float64(2*len(d.Split.SeamsMM)) * d.Split.ClearanceMM
	if gap < keys*6 || gap > keys*4*24 {
		t.Errorf("job %d: the parts lack %.2f mm2 of the plate", i, gap)
	}
	// No place of the plate is in two parts.
	boxes := make([]geom.Box, len(d.Parts))
	for k, p := range d.Parts {
		boxes[k] = p.Outline.Bounds()
	}
	for u := d.Template.Outline.Bounds().Min.X + 0.37; u < d.Template.Outline.Bounds().Max.X; u += 2.9 {
		for v := d.Template.Outline.Bounds().Min.Y + 0.37; v < d.Template.Outline.Bounds().Max.Y; v += 1.7 {
			p := geom.Vec{X: u, Y: v}
			n := 0
			for i, k := range d.Parts {
				if q := k.Place.Apply(p); boxes[i].Contains(q) && k.Outline.Contains(q) && (k.Window == nil || !k.Window.Contains(q)) {
					n++
				}
			}
			in := d.Template.Outline.Contains(p) && !window.Contains(p)
			if n > 1 || n == 1 != in && !nearSeam(d, u) {
				t.Fatalf("job %d: (%.1f, %.1f) is in %d parts, in the plate: %v", i, u, v, n, in)
			}
		}
	}
}

// TestGluingPlateInParts: a plate cut from sheet has a printed one for gluing, in parts that
// fit the printer the job names, its holes over the blank's pins; what holds the board under
// the cutter, and its budget, stay as they are.
func TestGluingPlateInParts(t *testing.T) {
	for i, tc := range []struct {
		by         string
		bedX, bedY float64
		shrinkPct  float64
	}{{"laser", 200, 200, 0}, {"router", 150, 250, 0.4}, {"laser", 500, 500, 0}} {
		job := func(bed bool) *Design {
			return splitJob(t, 420, 40, 52, 0, 0, func(j *job.Job) {
				j.Template.Make.By, j.Template.Make.Cutter.DiameterMM, j.Template.Material = tc.by, 3, "birch plywood"
				j.Template.ThicknessMM = 6
				if bed {
					j.Template.Make.BedMM, j.Template.Make.ShrinkPct = [3]float64{tc.bedX, tc.bedY, 200}, tc.shrinkPct
				}
			})
		}
		d, without := job(true), job(false)
		if got := rule(t, d, "print-fits-bed"); got.Level != Pass || (len(d.Parts) > 1) != (tc.bedX < 400) {
			t.Errorf("%s: %d parts; %+v", tc.by, len(d.Parts), got)
		}
		if diff := cmp.Diff(without.Budget, d.Budget); diff != "" {
			t.Errorf("%s: the gluing plate's printer changes the budget:\n%s", tc.by, diff)
		}
		if d.Split != nil && tc.shrinkPct == 0 {
			checkParts(t, i, d)
		}
		seen := map[string]int{}
		for _, p := range d.Parts {
			b := p.Outline.Bounds()
			if lo, hi := p.OnBed, p.OnBed.Add(b.Size()); lo.X < 0 || lo.Y < 0 || hi.X > tc.bedX || hi.Y > tc.bedY || p.Run < 1 {
				t.Errorf("%s: %s lies from %v to %v on the bed, run %d", tc.by, p.File, lo, hi, p.Run)
			}
			for _, h := range p.Holes {
				seen[h.ID]++
				// As it comes out of the printer, shrunk, back on the board.
				at := p.Place.Inverse().Apply(h.Center.Scale(1 - tc.shrinkPct/100))
				for _, q := range d.Pins {
					if q.ID == h.ID && at.Dist(q.At) > 1e-9 {
						t.Errorf("%s: hole %s of %s lies at %v, the blank's pin at %v", tc.by, h.ID, p.File, at, q.At)
					}
				}
			}
		}
		for _, q := range d.Pins {
			if seen[q.ID] != 1 {
				t.Errorf("%s: hole %s is in %d parts", tc.by, q.ID, seen[q.ID])
			}
		}
	}
}

func nearSeam(d *Design, u float64) bool {
	for _, s := range d.Split.SeamsMM {
		if u > s-1 && u < s+plate.MostKeyMM+1 {
			return true
		}
	}
	return false
}

// TestJointInBudget: what the joint adds is told, grows with the key's clearance, and
// follows the chain of two bars.
func TestJointInBudget(t *testing.T) {
	at := func(c float64) (*Design, float64) {
		d := splitJob(t, 300, 40, 52, 200, 200, func(j *job.Job) { j.Template.Make.JointMM = c })
		return d, term(t, feature(t, d, "middle"), "joint of the printed parts").WorstMM
	}
	// A clearance that the job gives is marked as given by the reader only.
	d, one := at(0)
	if len(d.Split.SeamsMM) != 1 || d.Split.ClearanceMM != jointClearanceMM {
		t.Fatalf("%+v", d.Split)
	}
	s, u1, u2 := d.Split.SeamsMM[0], d.Pins[0].At.X, d.Pins[1].At.X
	want := jointClearanceMM * (1 + 2/d.Split.ApartMM*(u2-s)*(s-u1)/(u2-u1))
	if !within(one, want, 1e-9) {
		t.Errorf("joint %.6f, by hand %.6f", one, want)
	}
}

// TestCannotSplit: a bed narrower than the plate, or smaller than one pin spacing, is
// a failed rule with the figure.
func TestCannotSplit(t *testing.T) {
	for _, c := range []struct {
		name string
		x, y float64
		says string
	}{
		{"narrower than the plate", 60, 60, "seams run across only"},
		{"smaller than a pin spacing", 110, 35, "no seams leave parts of at most 35 mm"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := splitJob(t, 300, 40, 52, c.x, c.y, nil)
			r := rule(t, d, "print-fits-bed")
			if r.Level != Fail || r.Value >= 0 || d.Split != nil || len(d.Parts) != 1 {
				t.Errorf("%+v, %d parts", r, len(d.Parts))
			}
			if !strings.Contains(r.Says, c.says) {
				t.Errorf("says %q", r.Says)
			}
		})
	}
}

// TestShrink: a print that shrinks is drawn larger, its holes where they then belong
// and as wide as before.
func TestShrink(t *testing.T) {
	plain := splitJob(t, 150, 40, 50, 250, 250, nil)
	large := splitJob(t, 150, 40, 50, 250, 250, func(j *job.Job) { j.Template.Make.ShrinkPct = 0.5 })
	p, q := plain.Parts[0], large.Parts[0]
	const k = 1 / 0.995
	if !within(q.Scale, k, 1e-12) || !within(q.Outline.Area(), k*k*p.Outline.Area(), 1e-6) ||
		!within(q.Window.Area(), k*k*p.Window.Area(), 1e-6) {
		t.Errorf("scale %g, areas %g and %g", q.Scale, q.Outline.Area(), p.Outline.Area())
	}
	for i, h := range q.Holes {
		if g := p.Holes[i]; h.Diameter != g.Diameter || h.Center.Dist(g.Center.Scale(k)) > 1e-9 {
			t.Errorf("%s: %v, was %v", h.ID, h, g)
		}
	}
	if q.ThicknessMM != p.ThicknessMM {
		t.Errorf("thickness %g, was %g", q.ThicknessMM, p.ThicknessMM)
	}
}
