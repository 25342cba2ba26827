package touch_test

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/probelog"
	"reseat/jig/reading"
	"reseat/jig/setup"
	"reseat/jig/touch"
)

const sum = "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff"

// tapered is a board of 400 x 40 -> 60, 8 thick, in a plate's window 0.1 larger, along X, on a
// bed of 18. Its features: a bore of 6, 2 deep, and one that is too shallow for a ball.
func tapered(plateMM float64) touch.Spec {
	j := &job.Job{SHA256: sum}
	j.Board = job.Board{LengthMM: 400, WidthStartMM: 40, WidthEndMM: 60, ThicknessMM: 8, Features: []job.Feature{
		{Name: "bore", UMM: 100, VMM: 5, BoreMM: 6, DepthMM: 2}, {Name: "graze", UMM: 300, BoreMM: 6, DepthMM: 0.8}}}
	j.Template.Seat = "nest"
	plate := geom.Rect(geom.Box{Min: geom.Vec{X: -40, Y: -70}, Max: geom.Vec{X: 440, Y: 70}})
	board := geom.Taper(400, 40, 60)
	return touch.Spec{
		Job: j, Up: setup.Top, For: touch.Datum, ProbeMM: 2, ByProgram: true,
		Seat: setup.Setup{
			Zero: &setup.Zero{ZMM: 26, Pin: "P1", Z: "the board's top"},
			Stack: []setup.Layer{{Name: "bed", ToMM: 18}, {Name: "template", FromMM: 18, ToMM: 18 + plateMM, Outline: plate,
				Window: board.Offset(0.1)}, {Name: "board", FromMM: 18, ToMM: 26, Outline: board}},
			Pins: []setup.Pin{{ID: "P1", FromMM: 8, ToMM: 23, At: geom.Vec{X: -20}, RadiusMM: 3}},
		},
	}
}

func plan(t *testing.T, s touch.Spec) touch.Plan {
	t.Helper()
	p, err := touch.NewPlan(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestEdges: which edges are touched, by what they lie in.
func TestEdges(t *testing.T) {
	relieved := func(s *touch.Spec) { // 20 wide and 8 deep, on either side
		w := &s.Seat.Stack[1].Window
		*w = geom.FromPoints([]geom.Vec{{X: -0.1, Y: -20.1}, {X: 60, Y: -21.6}, {X: 60, Y: -33}, {X: 110, Y: -33},
			{X: 110, Y: -22.9},
			{X: 300, Y: -27.6}, {X: 300, Y: -40}, {X: 350, Y: -40}, {X: 350, Y: -28.9}, {X: 400.1, Y: -30.1},
			{X: 400.1, Y: 30.1},
			{X: -0.1, Y: 20.1}})
	}
	rail := func(s *touch.Spec) {
		s.Seat.Stack = append(s.Seat.Stack, setup.Layer{Name: "rail 1", FromMM: 22, ToMM: 28, Outline: geom.Rect(geom.Box{
			Min: geom.Vec{X: 0, Y: 30.5}, Max: geom.Vec{X: 400, Y: 34}})})
	}
	none := func(*touch.Spec) {}
	for _, c := range []struct {
		name        string
		plateMM     float64
		change      func(*touch.Spec)
		left, right int
		blocked     string
		reason      string
	}{
		{"stands above the plate", 4, none, 6, 6, "",
			"the ball's centre half a millimetre below the edge, its tip 2.5 above the plate"},
		{"plate just low enough", 6, none, 6, 6, "", "tip at 6.5, half a millimetre above the plate"},
		{"plate too high", 6.2, none, 0, 0, "left template 0.2, right template 0.2, graze bore 0.0",
			"the bore is touched instead"},
		{"by hand, the same plate", 6.2, func(s *touch.Spec) { s.ByProgram = false }, 6, 6, "",
			"a cylinder needs no ball's height"},
		{"finger reliefs", 8, relieved, 0, 6, "left template 2.0", "through the openings, far apart"},
		{"rail", 4, rail, 6, 6, "", "the edge is free of the rail where the board is narrow"},
		{"in its blank", 4, func(s *touch.Spec) { s.Job.Template.Seat = "pins" }, 0, 0,
			"left  0.0, right  0.0, graze bore 0.0",
			"no edge is cut yet"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := tapered(c.plateMM)
			c.change(&s)
			p, n := plan(t, s), map[string]int{}
			for _, q := range p.Touches {
				n[q.What]++
			}
			var blocked []string
			for _, b := range p.Blocked {
				blocked = append(blocked, fmt.Sprintf("%s %s %.1f", b.What, b.By, b.OverMM))
			}
			if n["left"] != c.left || n["right"] != c.right || strings.Join(blocked, ", ") != c.blocked {
				t.Errorf("left %d, right %d, blocked %q, want %d, %d, %q: %s", n["left"], n["right"], blocked, c.left, c.right,
					c.blocked,
					c.reason)
			}
		})
	}
}

// TestSquare: a tapered edge is touched square to it, over four fifths of the length at
// least, and the probe's centre lies its radius from it.
func TestSquare(t *testing.T) {
	p := plan(t, tapered(4))
	slope := math.Atan(10.0 / 400)
	for _, q := range p.Touches {
		side := 1.0
		if q.What == "right" {
			side = -1
		}
		if d := (geom.Vec{X: math.Sin(slope), Y: -side * math.Cos(slope)}); q.Dir.Dist(d) > 1e-9 {
			t.Errorf("touch %d goes %v, want %v", q.Number, q.Dir, d)
		}
		if off := side*q.At.Y*math.Cos(slope) - q.At.X*math.Sin(slope) - 20*math.Cos(slope); math.Abs(off-1) > 1e-9 {
			t.Errorf("touch %d lies %.4f from the edge, want the radius", q.Number, off)
		}
	}
	if some, sure := p.Answers(); !some || !sure {
		t.Errorf("reaches over %.2f", p.ReachPart)
	}
}

// TestZeroPlan: round the pin from outside, then the face, clear of what is cut into it.
func TestZeroPlan(t *testing.T) {
	s := tapered(4)
	s.For = touch.Zero
	p := plan(t, s)
	rim, top := 0, 0
	for _, q := range p.Touches {
		switch q.What {
		case "rim":
			rim++
			if d := q.At.Dist(geom.Vec{X: -20}); math.Abs(d-4) > 1e-9 || q.From.Dist(geom.Vec{X: -20}) < d+2 || q.TipMM != 2.5 {
				t.Errorf("%+v", q)
			}
		case "top":
			top++
			if q.TipMM != 8 || q.Station.Dist(geom.Vec{X: 100, Y: 5}) < 6 {
				t.Errorf("%+v", q)
			}
		}
	}
	if rim != 6 || top != 6 || p.Rim != "P1" || p.SafeMM != 13 {
		t.Errorf("%d round the pin, %d on top, rim %q, safe %g", rim, top, p.Rim, p.SafeMM)
	}
}

// TestFile: what is written is read again, also as a spreadsheet saves it; filled in it is a
// readings file.
func TestFile(t *testing.T) {
	for _, want := range []touch.Purpose{touch.Datum, touch.Locate, touch.Zero} {
		s := tapered(4)
		s.For, s.ByProgram = want, false
		p := plan(t, s)
		var b bytes.Buffer
		if err := p.Write(&b); err != nil {
			t.Fatal(err)
		}
		text := "\ufeff" + strings.ReplaceAll(strings.Replace(b.String(), "\n", ",,,\n", 1), "\n", "\r\n")
		got, err := touch.Read("plan.csv", []byte(text))
		if err != nil || !touch.IsPlan([]byte(text)) {
			t.Fatalf("%v\n%s", err, text)
		}
		near := cmp.Options{cmpopts.EquateApprox(0, 6e-4), cmpopts.IgnoreFields(touch.Touch{}, "Line", "OverMM"),
			cmpopts.IgnoreFields(touch.Plan{}, "Blocked", "ReachPart", "SafeMM", "StylusMM", "Zero")}
		if d := cmp.Diff(p, got, near); d != "" {
			t.Errorf("%s: %s", want, d)
		}
		read := map[touch.Purpose]func(string, []byte) ([]reading.Reading, error){
			touch.Datum: reading.Datum, touch.Locate: reading.Marks, touch.Zero: reading.Touches}[want]
		lines := strings.Split(strings.TrimSpace(b.String()), "\n")
		for i := range lines[2:] {
			l := &lines[i+2]
			*l = strings.TrimRight(*l, ",") + fmt.Sprintf(",1.5,%d.25", i)
			if strings.Contains(*l, ",top,") {
				*l = strings.TrimSuffix(*l, fmt.Sprintf(",1.5,%d.25", i)) + ",7.5,0.1"
			} else if want == touch.Zero {
				*l += ",,"
			}
		}
		readings, err := read("plan.csv", []byte(strings.Join(lines, "\n")))
		if err != nil || len(readings) != len(p.Touches) {
			t.Errorf("%s: %v, %d readings of %d\n%s", want, err, len(readings), len(p.Touches), strings.Join(lines, "\n"))
		}
	}
}

// logged is the plan's touches as a probe would end them, the board moved by (0.1, -0.2).
func logged(p touch.Plan) (all []probelog.Probe) {
	for _, q := range p.Touches {
		at := q.At.Add(geom.Vec{X: 0.1, Y: -0.2})
		for range touch.ProbesATouch {
			all = append(all, probelog.Probe{Line: 10 + len(all), At: [3]float64{at.X, at.Y, q.TipMM}, Met: true})
		}
	}
	return all
}

// TestReadings: logs that fit their plan, and what is said of those that do not.
func TestReadings(t *testing.T) {
	s := tapered(4)
	s.For = touch.Locate // the bore's rim, then the edges
	p := plan(t, s)
	good := logged(p)
	r, err := p.Readings("a.log", good)
	if err != nil || len(r) != len(p.Touches)-3 || r[0].On != "bore" || r[0].At.Dist(geom.Vec{X: 100.1, Y: 4.8}) > 1e-9 {
		t.Fatalf("%v, %v", r, err)
	}
	change := func(f func(all []probelog.Probe) []probelog.Probe) []probelog.Probe {
		return f(append([]probelog.Probe(nil), good...))
	}
	cut := func(i, n int) []probelog.Probe {
		return change(func(all []probelog.Probe) []probelog.Probe { return append(all[:i], all[i+n:]...) })
	}
	each := func(f func(q *probelog.Probe)) []probelog.Probe {
		return change(func(all []probelog.Probe) []probelog.Probe {
			for i := range all {
				f(&all[i])
			}
			return all
		})
	}
	one := func(i int, f func(q *probelog.Probe)) []probelog.Probe {
		return change(func(all []probelog.Probe) []probelog.Probe { f(&all[i]); return all })
	}
	inches, err := p.Readings("a.log", each(func(q *probelog.Probe) {
		for i := range q.At {
			q.At[i] /= 25.4
		}
	}))
	if d := cmp.Diff(r, inches, cmpopts.EquateApprox(0, 1e-9)); err != nil || d != "" {
		t.Errorf("in inches: %v\n%s", err, d)
	}
	n, m := len(good), len(p.Touches)
	for _, c := range []struct {
		name string
		log  []probelog.Probe
		want string
	}{
		{"a touch is missing", cut(14, 2), fmt.Sprintf("%d probing moves where the plan makes %d of %d touches; likely "+
			"missing: touch 8 (",
			n-2, n, m)},
		{"a line is missing", cut(21, 1), "likely missing: touch 11 ("},
		{"the end is missing", cut(n-2, 2), fmt.Sprintf("likely missing: touch %d (", m)},
		{"a line too many", change(func(all []probelog.Probe) []probelog.Probe {
			return append(all[:8:8], append([]probelog.Probe{{Line: 99, At: [3]float64{-300}, Met: true}}, all[8:]...)...)
		}), "line 99 is likely no touch of it"},
		{"two runs", append(append([]probelog.Probe(nil), good...), good...),
			fmt.Sprintf("the last %d begin at line 10", n)},
		{"met nothing", one(17, func(q *probelog.Probe) { q.Met = false }),
			"a.log:27: the probe met nothing at touch 9 (left, station"},
		{"another zero", each(func(q *probelog.Probe) { q.At[0] += 50 }), "on average X +50.1 Y -0.2 mm off"},
		{"one far off", change(func(all []probelog.Probe) []probelog.Probe {
			all[20].At[1], all[21].At[1] = 90, 90
			return all
		}), "a.log:31: touch 11 lies more than 8 mm"},
		{"slipped", one(21, func(q *probelog.Probe) { q.At[1] += 0.4 }),
			"a.log:31: the fast and the slow probing move of touch 11"},
		{"a chip in the bore", change(func(all []probelog.Probe) []probelog.Probe {
			all[2].At[0] += 0.5
			all[3].At[0] += 0.5
			return all
		}), "a.log:11: the touches of bore lie on no circle, by 0.27 mm"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := p.Readings("a.log", c.log); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%v, want %q", err, c.want)
			}
		})
	}
}

// FuzzRead: reading a plan ends; an error names the file, and what is read is finite.
func FuzzRead(f *testing.F) {
	p, err := touch.NewPlan(tapered(4))
	if err != nil {
		f.Fatal(err)
	}
	var b bytes.Buffer
	p.Write(&b)
	f.Add(b.String())
	f.Add("# touch plan ")
	f.Fuzz(func(t *testing.T, text string) {
		p, err := touch.Read("plan.csv", []byte(text))
		if err != nil {
			if !strings.HasPrefix(err.Error(), "plan.csv") {
				t.Fatal(err)
			}
			return
		}
		if r, err := p.Readings("a.log", logged(p)); err == nil && len(r) > len(p.Touches) {
			t.Fatalf("%d readings of %d touches", len(r), len(p.Touches))
		}
	})
}
