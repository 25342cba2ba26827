package jig

import (
	"math"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"reseat/fit"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/plate"
)

// measuredBase is the base job, made by a process whose figures a file beside it has. extra goes
// into template.make beside from.
func measuredBase(t *testing.T, by, extra, file string, change func(*job.Job)) *Design {
	t.Helper()
	text := strings.Replace(baseJob, "{by: laser, kerf: 0.2}", "{by: "+by+", from: a.process.yaml"+extra+"}", 1)
	j, err := job.Parse("test.yaml", []byte(text), fstest.MapFS{"a.process.yaml": {Data: []byte(file)}}.Open)
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(j)
	}
	return build(t, j)
}

const measuredHead = "material: cast acrylic\nthickness_mm: 6\nby: "

// drawnWindow is the window's width at its start as the cut file has it, and the distance of
// the first two round holes along the board.
func drawnWindow(t *testing.T, d *Design) (width float64, hole, slot float64) {
	t.Helper()
	for _, s := range d.Sheets[0].Shapes {
		switch s.Layer {
		case plate.Opening:
			// Past finger reliefs and corners: the walls' distance halfway along, long axis y.
			box := s.Loop.Bounds()
			y := box.Min.Y + 0.3*(box.Max.Y-box.Min.Y)
			for x := box.Center().X; s.Loop.Contains(geom.Vec{X: x, Y: y}); x += 0.001 {
				width += 0.001
			}
			for x := box.Center().X; s.Loop.Contains(geom.Vec{X: x, Y: y}); x -= 0.001 {
				width += 0.001
			}
		case plate.RoundHoles:
			hole = 2 * s.R
		case plate.SlotHoles:
			slot = math.Min(s.Loop.Bounds().Size().X, s.Loop.Bounds().Size().Y)
		}
	}
	return width, hole, slot
}

// TestMeasuredDrawn: window, holes and slot of the cut file are drawn for what the file tells.
func TestMeasuredDrawn(t *testing.T) {
	pressFit := func(j *job.Job) { j.Template.Material = "birch plywood" } // holes are cut to size, not reamed
	for _, c := range []struct {
		name, by, zero, file string
		window, hole, slot   float64 // drawn narrower than with figures of 0
	}{
		{"kerf", "laser", "kerf_mm: 0\n", "kerf_mm: 0.21\n", 0.21, 0.21, 0.21},
		{"kerf that the shop took off too much of", "laser", "kerf_mm: 0\n", "kerf_mm: -0.05\n", -0.05, -0.05, -0.05},
		{"edge", "router", "", "edge_mm: 0.06\n", 0.06, 0, 0.06},
		{"edge beside bias", "router", "edge_mm: 0\n", "edge_mm: 0.06\nbias_mm: -0.08\n", 0.06, -0.08, 0.06},
		{"bias alone", "router", "", "bias_mm: -0.08\n", 0, -0.08, -0.08},
		{"what pins found", "router", "", "pin_size_mm: -0.08\n", 0, -0.08, -0.08},
	} {
		t.Run(c.name, func(t *testing.T) {
			head := strings.Replace(measuredHead, "cast acrylic", "birch plywood", 1) + c.by +
				"\nspread_mm: 0.03\ntaper_mm: 0\n"
			w0, h0, s0 := drawnWindow(t, measuredBase(t, c.by, "", head+c.zero, pressFit))
			w, h, s := drawnWindow(t, measuredBase(t, c.by, "", head+c.file, pressFit))
			if !within(w0-w, c.window, 0.003) || !within(h0-h, c.hole, 1e-9) || !within(s0-s, c.slot, 1e-9) {
				t.Errorf("window %.3f, hole %.4f, slot %.4f narrower; want %g, %g, %g", w0-w, h0-h, s0-s, c.window, c.hole, c.slot)
			}
		})
	}
}

// TestMeasuredAsGiven: figures of a file without intervals are the job's own keys.
func TestMeasuredAsGiven(t *testing.T) {
	file := measuredHead + "laser\nkerf_mm: 0.2\nspread_mm: 0.05\nbias_mm: 0.01\ntaper_mm: 0.08\nposition_mm: 0.04\n"
	got := measuredBase(t, "laser", "", file, nil)
	want := build(t, mustParse(t, strings.Replace(baseJob, "kerf: 0.2",
		"kerf: 0.2, spread: 0.05, bias: 0.01, taper: 0.08, position: 0.04", 1)))
	if a, b := got.Budget.Features[1], want.Budget.Features[1]; a.P95MM != b.P95MM ||
		len(a.Contributions) != len(b.Contributions) {
		t.Errorf("%v and %v", a.P95MM, b.P95MM)
	}
	for i, q := range got.Pins {
		if a, b := q.Template, want.Pins[i].Template; a.DrawnMM != b.DrawnMM || a.Odds != b.Odds || q.At != want.Pins[i].At {
			t.Errorf("%s: %+v and %+v", q.ID, a, b)
		}
	}
	if r := rule(t, got, "process-measured-template"); r.Level != Pass {
		t.Errorf("%+v", r)
	}
	for _, x := range got.Budget.Features[0].Contributions {
		if strings.HasPrefix(x.Key, "template.make.spread") && x.Assumed {
			t.Errorf("%s is measured", x.Source)
		}
	}
}

// TestMeasuredUnsure: how unsure the figures are goes into holes, walls, scale and window.
func TestMeasuredUnsure(t *testing.T) {
	file := measuredHead + `laser
kerf_mm: {value: 0.2, low: 0.17, high: 0.22}
spread_mm: 0.04
taper_mm: 0.06
bias_mm: {value: 0.01, low: 0.005, high: 0.015}
pin_size_mm: {value: 0.18, low: 0.165, high: 0.21}
scale_x_pct: {value: 0.01, low: -0.02, high: 0.03}
scale_y_pct: {value: -0.09, low: -0.12, high: -0.06}
`
	d := measuredBase(t, "laser", "", file, func(j *job.Job) { j.Template.Push = "left" })
	f := feature(t, d, "far")
	// Both walls lie half of 0.03 off: the board follows side and start.
	if x := term(t, f, "measured width of openings"); !within(x.AlongSDMM, 0.015/fit.Normal95, 1e-5) ||
		!within(x.AcrossSDMM, 0.015/fit.Normal95, 1e-5) || x.Assumed {
		t.Errorf("walls: %+v", x)
	}
	if r := rule(t, d, "board-enters-window"); !within(r.Limit, (math.Hypot(0.04, 0.03)+0.03)/2, 1e-9) {
		t.Errorf("window: %+v", r)
	}
	// The start wall lies by 0.03 % of its distance from the round pin off, beside the growth.
	sure := measuredBase(t, "laser", "", strings.Split(file, "scale_x")[0], func(j *job.Job) { j.Template.Push = "left" })
	near := math.Abs(d.Pins[0].At.X)
	a, b := term(t, f, "plate growth").AlongSDMM, term(t, feature(t, sure, "far"), "plate growth").AlongSDMM
	if scale := math.Sqrt(a*a - b*b); !within(scale, near*0.0003/fit.Normal95, 1e-5) {
		t.Errorf("scale moves the window by %.6f, want %.6f", scale, near*0.0003/fit.Normal95)
	}
	// Along Y a length is drawn longer by 0.09 %; along X the interval holds 0.
	if s := d.Sheets[0]; !within(s.DrawnX, 1, 0) || !within(s.DrawnY, 1/0.9991, 1e-12) ||
		!within(s.Size.Y, sure.Sheets[0].Size.Y/0.9991, 1e-6) || s.Size.X != sure.Sheets[0].Size.X {
		t.Errorf("drawn %g, %g; size %v of %v", s.DrawnX, s.DrawnY, s.Size, sure.Sheets[0].Size)
	}
	if got, want := radii(d), radii(sure); !slices.Equal(got, want) || len(got) == 0 {
		t.Errorf("the holes' size is stretched: %v, were %v", got, want)
	}
	// Clear holes are cut to size: what they come out at is as unsure as the pins left it.
	for _, q := range d.Pins {
		if q.Role == Clear && (!within(q.Template.SharedSDMM, 0.03/fit.Normal95, 1e-9) ||
			!within(q.Template.SDMM, math.Hypot(0.04, 0.03)/fit.Normal95, 1e-9)) {
			t.Errorf("%s: %+v", q.ID, q.Template)
		}
	}
}

// TestTaperOfAnotherThickness: the taper of a piece of 3 mm goes into a plate of 6 mm as anything from
// the same to twice as much. By hand: 0.04 measured, 0.03 to 0.05, is 0.06 here, 0.03 to 0.10; a hole's
// size at its narrowest and the width of a window are then unsure by half of what the arm has grown
// by, (0.04 - 0.01)/2, beside what they were; the hole's mean at mid thickness stays.
func TestTaperOfAnotherThickness(t *testing.T) {
	const figures = `router
edge_mm: {value: 0.02, low: 0.01, high: 0.03}
spread_mm: 0.04
taper_mm: {value: 0.04, low: 0.03, high: 0.05}
pin_size_mm: {value: 0, low: -0.01, high: 0.01}
`
	thin := measuredBase(t, "router", "", measuredHead+figures+"piece_mm: 3\n", nil)
	same := measuredBase(t, "router", "", measuredHead+figures, nil)
	for _, c := range []struct {
		name          string
		d             *Design
		taper, unsure float64 // of an opening's mean beside its own spread
	}{{"same thickness", same, 0.04, 0.01}, {"half of it", thin, 0.06, math.Hypot(0.01, 0.015)}} {
		if r := rule(t, c.d, "board-enters-window"); !within(r.Limit, (math.Hypot(0.04, c.unsure)+c.taper/2)/2, 1e-9) {
			t.Errorf("%s: window %+v, want %g", c.name, r, (math.Hypot(0.04, c.unsure)+c.taper/2)/2)
		}
		for _, q := range c.d.Pins {
			if q.Role == Clear && !within(q.Template.SharedSDMM, c.unsure/fit.Normal95, 1e-9) {
				t.Errorf("%s: %s: %+v", c.name, q.ID, q.Template)
			}
			if q.Role == Clear && !within(q.Template.MeanMM-q.Template.DrawnMM, 0.02-c.taper/2, 1e-9) {
				t.Errorf("%s: %s comes out %g wider", c.name, q.ID, q.Template.MeanMM-q.Template.DrawnMM)
			}
		}
	}
	if r := rule(t, thin, "process-measured-template"); !strings.Contains(r.Says, "on a piece of 3 mm: 0.060 mm is taken") {
		t.Errorf("%+v", r)
	}
}

// radii are those of the template's round holes.
func radii(d *Design) (out []float64) {
	for _, s := range d.Sheets[0].Shapes {
		if s.Layer == plate.RoundHoles {
			out = append(out, s.R)
		}
	}
	return out
}

// TestMeasuredElsewhere: another sheet is warned of, with what changes; the job's own key is
// taken, and a note says so.
func TestMeasuredElsewhere(t *testing.T) {
	for _, c := range []struct{ name, file, extra, says string }{
		{"another thickness", "material: cast acrylic\nthickness_mm: 3\nby: laser\nkerf_mm: 0.2\n", "",
			"a.process.yaml was measured in cast acrylic 3 mm, and the template is cast acrylic 6 mm: kerf, taper and spread " +
				"change"},
		{"another material", "material: birch plywood\nthickness_mm: 6\nby: laser\nkerf_mm: 0.2\n", "",
			"measured in birch plywood 6 mm"},
		{"nearly as thick", "material: Cast  Acrylic\nthickness_mm: 5.8\nby: laser\nkerf_mm: 0.2\n", "", ""},
		{"own key", measuredHead + "laser\nkerf_mm: 0.2\nspread_mm: 0.1\n", ", spread: 0.03", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := measuredBase(t, "laser", c.extra, c.file, nil)
			r := rule(t, d, "process-measured-template")
			if (r.Level == Warn) != (c.says != "") || !strings.Contains(r.Says, c.says) {
				t.Errorf("%+v", r)
			}
			if told := strings.Contains(strings.Join(d.Notes, "\n"),
				"own spread of template.make overrides what a.process.yaml"); told != (c.extra != "") {
				t.Errorf("notes: %s", d.Notes)
			}
		})
	}
}

// TestCouponTold: a design that fails for what nobody measured is told the coupon, by its command,
// and what it would gain, as tried; a job that has measured is not.
func TestCouponTold(t *testing.T) {
	for _, c := range []struct {
		name, make, accuracy, says string
	}{
		{"nothing else helps", "{by: laser}", "0.1", "; a coupon measures that: reseat coupon test.yaml"},
		{"with more beside it", "{by: laser, straight: 0.1}", "0.1", "what a coupon usually measures alone brings it to 0."},
		{"enough by itself", "{by: laser, position: 0.03}", "0.17", "if a coupon measures no more: reseat coupon test.yaml"},
		{"measured", "{by: laser, spread: 0.1}", "0.1", ""},
		{"no typical figures of it", "{by: drill}", "0.05", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := edited(t, baseJob, "template.push", "left", "template.make", c.make, "accuracy", c.accuracy)
			if strings.Contains(c.make, "straight") { // found by eye, what else helps
				text = edited(t, text, "machine.zero", "eye")
			} else if strings.Contains(c.make, "drill") {
				text = edited(t, text, "template.push", "none", "template.seat", "pins", "blank.make", c.make, "rails", "")
			}
			d, err := Build(mustParse(t, text))
			if err != nil {
				t.Fatal(err)
			}
			r := rule(t, d, "accuracy")
			if r.Level != Fail || strings.Contains(r.Says, "reseat coupon") != (c.says != "") || !strings.Contains(r.Says, c.says) {
				t.Errorf("%+v", r)
			}
		})
	}
}
