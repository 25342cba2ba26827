package gcode

import (
	"bytes"
	"errors"
	"math"
	"math/rand"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
	"reseat/jig/toolpath"
)

// bored is a hole that a program makes, in the frame of the program.
type bored struct {
	at geom.Vec
	d  float64
}

// turned is where a board lies that was put back askew.
var turned = geom.Rigid{Angle: -0.7, Shift: geom.Vec{X: 12.3456, Y: 200}}

func sampleHoles(pose geom.Rigid) []bored {
	return []bored{
		{pose.Apply(geom.Vec{X: 60, Y: 15}), 6.1},
		{pose.Apply(geom.Vec{X: 1.0/3 + 100, Y: 95}), 5.8},
		{pose.Apply(geom.Vec{X: 30, Y: 40}), 14}, // with rings
	}
}

// program puts the cuts that plan makes with a router into a program.
func program(t testing.TB, r toolpath.Router, plan func(ok func(*toolpath.Cut, error))) *toolpath.Program {
	t.Helper()
	var cuts []*toolpath.Cut
	plan(func(c *toolpath.Cut, err error) {
		if err != nil {
			t.Fatal(err)
		}
		cuts = append(cuts, c)
	})
	p, err := r.Program(toolpath.Head{
		File: "bores.nc", Title: "Sample",
		Says: []string{"stock: sapele, 26 mm", "zero on the stock's top at the datum corner"},
	}, cuts)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// sample is a program of every kind of milling: two pin holes, a wide pocket and a slot.
// Figures are our own.
func sample(t testing.TB, pose geom.Rigid) *toolpath.Program {
	r := toolpath.Router{Tool: toolpath.Tool{Name: "two-flute end mill", DiameterMM: 3.175}}.Filled()
	return program(t, r, func(ok func(*toolpath.Cut, error)) {
		for i, h := range sampleHoles(pose) {
			ok(r.Bore(toolpath.Hole{ID: "P" + string(rune('1'+i)), At: h.at, DiameterMM: h.d, DepthMM: 12}))
		}
		ok(r.Slot(toolpath.Slot{ID: "P4", At: pose.Apply(geom.Vec{X: 160, Y: 15}), AngleRad: 0.3 + pose.Angle,
			TravelMM: 0.5, WidthMM: 6.1, DepthMM: 12}))
	})
}

// drilled is a program of three drilled holes.
func drilled(t testing.TB) *toolpath.Program {
	r := toolpath.Router{Tool: toolpath.Tool{Name: "twist drill", DiameterMM: 5.8}}.Filled()
	return program(t, r, func(ok func(*toolpath.Cut, error)) {
		for _, h := range sampleHoles(geom.Rigid{}) {
			ok(r.Drill(toolpath.Hole{ID: "P", At: h.at, DiameterMM: 5.8, DepthMM: 11}))
		}
	})
}

func render(t testing.TB, p *toolpath.Program, d Dialect) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, p, d); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestFrame holds head and end of the code against the lines that grbl's rules and
// LinuxCNC's interpreter passed.
func TestFrame(t *testing.T) {
	comment := regexp.MustCompile(`(?m)^[;(].*\n`)
	for d, exact := range map[Dialect]string{Plain: "", NGC: "G61 "} {
		code := strings.ReplaceAll(comment.ReplaceAllString(string(render(t, sample(t, geom.Rigid{}), d)), ""), "\n", " ")
		if want := "G21 G90 G17 G94 G54 " + exact + "G0 Z5.000 M3 S10000 G0 X"; !strings.HasPrefix(code, want) {
			t.Errorf("begins %q, want %q", code[:len(want)], want)
		}
		if want := " G0 Z5.000 M5 G0 X0.000 Y0.000 M2 "; !strings.HasSuffix(code, want) {
			t.Errorf("ends %q, want %q", code[len(code)-len(want):], want)
		}
	}
}

var (
	moveLine = regexp.MustCompile(`^(G0( X\S+ Y\S+| Z\S+)|G1( X\S+ Y\S+)?( Z\S+)?( F[1-9]\d*)?|` +
		`G3 X\S+ Y\S+( Z\S+)? I\S+ J\S+( F[1-9]\d*)?)$`)
	numberWord  = regexp.MustCompile(`^[XYZIJ]-?(0|[1-9]\d*)\.\d{3}$`)
	commentLine = map[Dialect]*regexp.Regexp{
		Plain: regexp.MustCompile(`^; [^;()!?~%*]+$`),
		NGC:   regexp.MustCompile(`^\([^;()!?~%*]+\)$`),
	}
	forbidden = regexp.MustCompile(`(?i)\bM0*(2|30)\b|^[;(] ?(msg|debug|print|log|py)\b`)
)

// checkComment holds a comment line against what a controller may get to see.
func checkComment(d Dialect, l string) bool {
	return len(l) <= 94 && commentLine[d].MatchString(l) && !forbidden.MatchString(l) &&
		!strings.ContainsFunc(l, func(r rune) bool { return r < ' ' || r > '~' })
}

// TestText holds every line of either dialect against the rules of the package comment, and
// every move against the program, read again by this test: kind and feed exactly, each end
// within half a micrometre, radii within the rule.
func TestText(t *testing.T) {
	for _, d := range []Dialect{Plain, NGC} {
		for _, p := range []*toolpath.Program{sample(t, geom.Rigid{}), sample(t, turned), drilled(t)} {
			p.Title = "Größe (a;b) 100% M2 screw ~ ±0,1 – wird's heiß? ☃ Λαούτο Łódź 5 μm"
			p.Says = append(p.Says, "MSG, hello", strings.Repeat("long ", 60), strings.Repeat("x", 300), "(MSG, M30)", "",
				"tab\there\nand line\r")
			b := string(render(t, p, d))
			if !strings.Contains(b, "Groesse [a,b] 100 percent M 2 screw about +-0,1 - wird's heiss. _ Laouto Lodz 5 um") {
				t.Error("the title is not told as expected")
			}
			_, body, _ := strings.Cut(b, "M3 S10000\n")
			body, _, _ = strings.Cut(body, "M5\n")
			var moves []string
			for _, l := range strings.Split(strings.TrimSuffix(b, "\n"), "\n") {
				if strings.ContainsAny(l[:1], ";(") && !checkComment(d, l) {
					t.Errorf("comment %q", l)
				}
			}
			for _, l := range strings.Split(body, "\n") {
				if l != "" && !strings.ContainsAny(l[:1], ";(") {
					moves = append(moves, l)
				}
			}
			compare(t, moves, p)
		}
	}
}

// compare reads moves and holds them against the program's.
func compare(t *testing.T, lines []string, p *toolpath.Program) {
	t.Helper()
	var here [3]float64
	feed, n := 0.0, 0
	here[2] = p.SafeMM
	for from, m := range p.Moves() {
		if n == len(lines) {
			break // the return move
		}
		l := lines[n]
		n++
		if !moveLine.MatchString(l) || len(l) > 70 {
			t.Fatalf("%q is no move", l)
		}
		start, c := here, map[byte]float64{}
		for _, w := range strings.Fields(l)[1:] {
			v, err := strconv.ParseFloat(w[1:], 64)
			if err != nil || w[0] != 'F' && (!numberWord.MatchString(w) || v == 0 && w[1] == '-') {
				t.Fatalf("%q: word %q", l, w)
			}
			if w[0] >= 'X' {
				here[w[0]-'X'] = v
			}
			c[w[0]] = v
		}
		if f, given := c['F']; given {
			feed = f
		}
		const step, half = 0.001, 0.00050001
		ok := l[:2] == [...]string{"G0", "G1", "G3"}[m.Kind] &&
			(m.Kind == toolpath.Rapid || math.Abs(feed-m.FeedMMmin) <= 0.5001) &&
			math.Abs(here[0]-m.To.X) <= half && math.Abs(here[1]-m.To.Y) <= half && math.Abs(here[2]-m.To.Z) <= half
		if m.Kind == toolpath.Arc {
			x, y := start[0]+c['I'], start[1]+c['J']
			r0, r1 := math.Hypot(c['I'], c['J']), math.Hypot(x-here[0], y-here[1])
			full := from.XY() == m.To.XY()
			ok = ok && math.Hypot(x-m.Center.X, y-m.Center.Y) <= (searchSteps+0.501)*step*math.Sqrt2 &&
				math.Abs(r0-r1) <= 0.002 &&
				full == (start[0] == here[0] && start[1] == here[1])
		}
		if !ok {
			t.Fatalf("%q, feed %g, for %+v from %v", l, feed, m, from)
		}
	}
	if n != len(lines) {
		t.Errorf("%d moves too many", len(lines)-n)
	}
}

// TestCautions: what endangers people stands in the head, before the first code.
func TestCautions(t *testing.T) {
	r := toolpath.Router{Tool: toolpath.Tool{Name: "end mill", DiameterMM: 6}}.Filled()
	p := program(t, r, func(ok func(*toolpath.Cut, error)) {
		ok(r.Bore(toolpath.Hole{ID: "P1", At: geom.Vec{X: 9, Y: 9}, DiameterMM: 6.1, DepthMM: 4}))
	})
	head, _, _ := strings.Cut(string(render(t, p, Plain)), "G21")
	for _, w := range []string{
		"bores.nc", "Sample", "in mm", "end mill, 6 mm", "10000 rpm", "stock: sapele", "zero on the stock's top",
		"Z -4.000 to 5.000",
		"CAUTION: P1: the tool is only 0.1 mm smaller", "CAUTION: zero is G54", "CAUTION: dry run first",
	} {
		if !strings.Contains(head, w) {
			t.Errorf("the head does not say %q", w)
		}
	}
}

type brokenWriter struct{ err error }

func (w brokenWriter) Write([]byte) (int, error) { return 0, w.err }

func TestBrokenWriter(t *testing.T) {
	failing := errors.New("disk full")
	if err := Write(brokenWriter{failing}, sample(t, geom.Rigid{}), Plain); !errors.Is(err, failing) {
		t.Errorf("got %v", err)
	}
}

// TestVanishing: moves below a micrometre are left out, and a value on the half between
// two steps is written as one above it, whichever side of it the last bit of a sum puts it.
func TestVanishing(t *testing.T) {
	r := toolpath.Router{Tool: toolpath.Tool{DiameterMM: 4}}.Filled()
	write := func(x float64) string {
		return string(render(t, program(t, r, func(ok func(*toolpath.Cut, error)) {
			ok(r.Bore(toolpath.Hole{ID: "P1", At: geom.Vec{X: x}, DiameterMM: 4.1005, DepthMM: 1}))
			ok(r.Bore(toolpath.Hole{ID: "P1", At: geom.Vec{X: x + 0.0002}, DiameterMM: 4.1005, DepthMM: 1}))
		}), Plain))
	}
	below := write(math.Nextafter(1.0005, 0))
	if above := write(math.Nextafter(1.0005, 2)); below != above || !strings.Contains(below, "G0 X1.001 Y0.000\n") {
		t.Errorf("written one way below the half and another above it:\n%s\n%s", below, above)
	}
	if strings.Count(below, "G0 X1.001 Y0.000\n") != 1 {
		t.Error("a move that vanishes leaves a trace")
	}
}

// TestCenterSearch: over many half turns and other arcs the search keeps the rule with room
// to spare, where rounding each number by itself breaks it. The bounds are what 400 000
// seeded arcs gave, rounded up: 1.30, 1.06 and 2.07 steps; by rounding alone the radii
// differed by 2.30.
func TestCenterSearch(t *testing.T) {
	rng := rand.New(rand.NewSource(1))
	var differ, wrong, moved, plain float64
	for i := range 40000 {
		c := geom.Vec{X: 100 * rng.Float64(), Y: 100 * rng.Float64()}
		r, phi, sweep := 0.01+10*rng.Float64(), 7*rng.Float64(), 6*rng.Float64()
		if i%2 == 0 {
			sweep = math.Pi
		}
		a, b := c.Add(geom.Polar(r, phi)), c.Add(geom.Polar(r, phi+sweep))
		pa, pb := toolpath.Point{X: a.X, Y: a.Y}, toolpath.Point{X: b.X, Y: b.Y}
		k := center(pa, pb, c)
		r0, r1 := radius(spotOf(pa), k), radius(spotOf(pb), k)
		differ, wrong = math.Max(differ, math.Abs(r0-r1)), math.Max(wrong, math.Abs(r0-1000*r))
		moved = math.Max(moved, math.Hypot(float64(k.x)-1000*c.X, float64(k.y)-1000*c.Y))
		k = spot{x: steps(c.X), y: steps(c.Y)}
		plain = math.Max(plain, math.Abs(radius(spotOf(pa), k)-radius(spotOf(pb), k)))
	}
	if differ > 1.4 || wrong > 1.1 || moved > 2.2 {
		t.Errorf("radii differ by %.2f steps, radius off by %.2f, centre by %.2f", differ, wrong, moved)
	}
	if plain <= 2 {
		t.Errorf("rounding alone keeps the rule (%.2f steps): the search is idle", plain)
	}
}

// TestNumbers: what is printed is what strconv prints, and never "-0.000".
func TestNumbers(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		x := rapid.Float64Range(-9999, 9999).Draw(rt, "x")
		got := mm(x)
		v, err := strconv.ParseFloat(got, 64)
		if err != nil || got != strconv.FormatFloat(v, 'f', 3, 64) || math.Abs(v-x) > 0.00050001 || v == 0 && got[0] == '-' {
			rt.Fatalf("%v is written %q", x, got)
		}
	})
	if mm(-0.0004) != "0.000" || mm(-0.0005) != "-0.001" {
		t.Errorf("got %q, %q", mm(-0.0004), mm(-0.0005))
	}
}

func BenchmarkWrite(b *testing.B) {
	p := sample(b, geom.Rigid{})
	for b.Loop() {
		render(b, p, Plain)
	}
}
