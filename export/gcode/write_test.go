package gcode

import (
	"bytes"
	"errors"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/toolpath"
)

var cutter = toolpath.Tool{Name: "two-flute end mill", DiameterMM: 3.175}

// assemble makes a program of the given cuts.
func assemble(t testing.TB, tool toolpath.Tool, s toolpath.Settings, cuts ...*toolpath.Cut) *toolpath.Program {
	t.Helper()
	p, err := toolpath.Assemble(toolpath.Head{
		File: "bores.nc", Title: "Sample", Says: []string{"stock: sapele, 26 mm", "zero on the stock's top at the datum corner"},
	}, tool, s, cuts)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func must(t testing.TB) func(*toolpath.Cut, error) *toolpath.Cut {
	return func(c *toolpath.Cut, err error) *toolpath.Cut {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
}

// bored is a hole that a program makes, in the frame of the program.
type bored struct {
	at geom.Vec
	d  float64
}

var sampleHoles = []bored{
	{geom.Vec{X: 60, Y: 15}, 6.1},
	{geom.Vec{X: 1.0/3 + 100, Y: 95}, 5.8},
	{geom.Vec{X: 30, Y: 40}, 14}, // with rings
}

// sample is a program of every kind of milling: two pin holes, a wide pocket on
// lower ground and a slot. Figures are our own.
func sample(t testing.TB, s toolpath.Settings) *toolpath.Program {
	t.Helper()
	ok := must(t)
	var cuts []*toolpath.Cut
	for i, h := range sampleHoles {
		depth, low := 12.0, 0.0
		if i == 2 {
			depth, low = 2.5, 0.35
		}
		cuts = append(cuts, ok(toolpath.Bore(toolpath.Hole{ID: "P" + string(rune('1'+i)), At: h.at, DiameterMM: h.d, TopZ: s.TopZ - low, FloorZ: s.TopZ - depth}, cutter, s)))
	}
	cuts = append(cuts, ok(toolpath.SlotHole(toolpath.Slot{ID: "P4", At: geom.Vec{X: 160, Y: 15}, AngleRad: 0.3, TravelMM: 0.5, WidthMM: 6.1, TopZ: s.TopZ, FloorZ: s.TopZ - 12}, cutter, s)))
	return assemble(t, cutter, s, cuts...)
}

// drilled is a program of three drilled holes.
func drilled(t testing.TB) *toolpath.Program {
	t.Helper()
	drill := toolpath.Tool{Name: "twist drill", DiameterMM: 5.8}
	var cuts []*toolpath.Cut
	for _, h := range sampleHoles {
		cuts = append(cuts, must(t)(toolpath.Drill(toolpath.Hole{ID: "P", At: h.at, DiameterMM: 5.8, FloorZ: -11}, drill, toolpath.Settings{})))
	}
	return assemble(t, drill, toolpath.Settings{}, cuts...)
}

func render(t testing.TB, p *toolpath.Program, o Options) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, p, o); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// code returns the lines that are no comments.
func code(b []byte) []string {
	var out []string
	for _, l := range strings.Split(strings.TrimSuffix(string(b), "\n"), "\n") {
		if !strings.HasPrefix(l, ";") && !strings.HasPrefix(l, "(") {
			out = append(out, l)
		}
	}
	return out
}

// TestFrame holds head and end of the file against the notes' own lines, which
// grbl's rules and LinuxCNC's interpreter passed.
func TestFrame(t *testing.T) {
	for _, c := range []struct {
		name  string
		o     Options
		extra string
		zero  string
	}{
		{"plain", Options{}, "", "0.000"},
		{"ngc, exact path", Options{Dialect: NGC}, "G61 ", "0.000"},
		{"ngc, blended", Options{Dialect: NGC, BlendMM: 0.01, Decimals: 4}, "G64 P0.0100 ", "0.0000"},
	} {
		t.Run(c.name, func(t *testing.T) {
			lines := code(render(t, sample(t, toolpath.Settings{}), c.o))
			n := strings.Count(c.extra, " ")
			if c.o.BlendMM > 0 {
				n = 1
			}
			head := strings.Join(lines[:7+n], " ")
			z := "G0 Z5" + c.zero[1:]
			if want := "G21 G90 G17 G94 G54 " + c.extra + z + " M3 S10000"; head != want {
				t.Errorf("head %q, want %q", head, want)
			}
			end := strings.Join(lines[len(lines)-4:], " / ")
			if want := z + " / M5 / G0 X" + c.zero + " Y" + c.zero + " / M2"; end != want {
				t.Errorf("end %q, want %q", end, want)
			}
		})
	}
}

// TestText holds every line of every flavour against rules C01, C02, C09, C12, C13.
func TestText(t *testing.T) {
	s := toolpath.Settings{}
	p := sample(t, s)
	p.Title = "Größe (a;b) 100% M2 screw ~ ±0,1 – wird's heiß? ☃"
	p.Says = append(p.Says, "MSG, hello", strings.Repeat("long ", 60), strings.Repeat("x", 300), "(MSG, M30)", "", "tab\there\nand line\r")
	turned, err := p.Transform(geom.Rigid{Angle: 0.0123, Shift: geom.Vec{X: -250, Y: 1.5}})
	if err != nil {
		t.Fatal(err)
	}
	move := regexp.MustCompile(`^(G0( X\S+ Y\S+| Z\S+)|G1( X\S+ Y\S+)?( Z\S+)?( F[1-9]\d*)?|G[23] X\S+ Y\S+( Z\S+)? I\S+ J\S+( F[1-9]\d*)?)$`)
	for _, o := range []Options{{}, {Comments: Paren}, {Dialect: NGC}, {Decimals: 4}, {Decimals: 6, Comments: Paren}} {
		number := regexp.MustCompile(`^-?\d+\.\d{` + string(rune('0'+max(3, o.Decimals))) + `}$`)
		for _, q := range []*toolpath.Program{p, turned} {
			b := render(t, q, o)
			if b[len(b)-1] != '\n' {
				t.Error("no newline at the end")
			}
			for i, l := range strings.Split(strings.TrimSuffix(string(b), "\n"), "\n") {
				isComment := strings.HasPrefix(l, "; ") || strings.HasPrefix(l, "(")
				switch {
				case len(l) > 126 || (!isComment && len(l) > 70):
					t.Errorf("line %d is %d long", i+1, len(l))
				case strings.ContainsAny(l, "!?~%*\t\r") || strings.ContainsFunc(l, func(r rune) bool { return r < ' ' || r > '~' }):
					t.Errorf("line %d: %q", i+1, l)
				case isComment && (o.Comments == Paren) != strings.HasPrefix(l, "("):
					t.Errorf("line %d has another style: %q", i+1, l)
				case isComment && (strings.ContainsAny(strings.Trim(l, "()"), "()") || strings.Contains(l[1:], ";")):
					t.Errorf("line %d nests: %q", i+1, l)
				case isComment && regexp.MustCompile(`\bM0*(2|30)\b`).MatchString(l):
					t.Errorf("line %d names a program end: %q", i+1, l)
				case isComment && regexp.MustCompile(`(?i)^[;(] ?MSG`).MatchString(l):
					t.Errorf("line %d is a command to LinuxCNC: %q", i+1, l)
				}
				if isComment || !regexp.MustCompile(`^G[0123] `).MatchString(l) {
					continue
				}
				if !move.MatchString(l) || strings.Count(l, "G") != 1 {
					t.Errorf("line %d: %q is no move", i+1, l)
				}
				for _, w := range strings.Fields(l)[1:] {
					if w[0] != 'F' && (!number.MatchString(w[1:]) || strings.Trim(w[1:], "0.") == "-") {
						t.Errorf("line %d: %q", i+1, w)
					}
				}
			}
			if !strings.Contains(string(b), "Groesse [a,b] 100 percent M 2 screw about +-0,1 - wird's heiss. _") {
				t.Error("the title is not told as expected")
			}
		}
	}
}

// TestCautions: what endangers people stands in the head, before the first code.
func TestCautions(t *testing.T) {
	tight := toolpath.Tool{DiameterMM: 6}
	c := must(t)(toolpath.Bore(toolpath.Hole{ID: "P1", At: geom.Vec{X: 9, Y: 9}, DiameterMM: 6.1, FloorZ: -4}, tight, toolpath.Settings{}))
	text := string(render(t, assemble(t, tight, toolpath.Settings{}, c), Options{}))
	head, _, _ := strings.Cut(text, "G21")
	for _, w := range []string{
		"bores.nc", "Sample", "in mm", "6 mm", "10000 rpm", "stock: sapele", "zero on the stock's top", "Z -4.000 to 5.000",
		"CAUTION: P1: tool 6 is only 0.1 mm smaller", "CAUTION: zero is G54", "CAUTION: run it in the air first",
	} {
		if !strings.Contains(head, w) {
			t.Errorf("the head does not say %q", w)
		}
	}
}

func TestSameBytes(t *testing.T) {
	a := render(t, sample(t, toolpath.Settings{}), Options{})
	if b := render(t, sample(t, toolpath.Settings{}), Options{}); !bytes.Equal(a, b) {
		t.Error("two runs differ")
	}
}

// TestWriteRefuses: every fault at once, typed, and not a byte written.
func TestWriteRefuses(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(p *toolpath.Program, o *Options)
		says  []string
	}{
		{"unknown dialect", func(p *toolpath.Program, o *Options) { o.Dialect = 9 }, []string{"dialect 9"}},
		{"unknown style", func(p *toolpath.Program, o *Options) { o.Comments = 9 }, []string{"style 9"}},
		{"two decimals", func(p *toolpath.Program, o *Options) { o.Decimals = 2 }, []string{"2 decimals; want 3 to 6"}},
		{"blending in plain", func(p *toolpath.Program, o *Options) { o.BlendMM = 0.1 }, []string{"ngc dialect"}},
		{"blending not a number", func(p *toolpath.Program, o *Options) { o.Dialect, o.BlendMM = NGC, math.NaN() }, []string{"blending of NaN"}},
		{"blending below the grid", func(p *toolpath.Program, o *Options) { o.Dialect, o.BlendMM = NGC, 1e-5 }, []string{"is nothing at 3 decimals"}},
		{"rapid into stock and more", func(p *toolpath.Program, o *Options) {
			p.Moves[1].To.Z, p.Moves[3].FeedMMmin, o.Decimals = -1, 0, 9
		}, []string{"9 decimals", "move 1 is a rapid to Z-1.000", "move 3 has a feed of 0"}},
		{"begins with a feed", func(p *toolpath.Program, o *Options) { p.Moves[0].Kind, p.Moves[0].FeedMMmin = toolpath.Feed, 100 }, []string{"move 0 must be a rapid"}},
		{"end of an arc lost in rounding", func(p *toolpath.Program, o *Options) {
			i := firstArc(p)
			p.Moves[i].To.X += 1e-5
		}, []string{"fall together at 3 decimals"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, o := sample(t, toolpath.Settings{}), Options{}
			c.spoil(p, &o)
			var b bytes.Buffer
			err := Write(&b, p, o)
			var pe *ProgramError
			if !errors.As(err, &pe) || b.Len() != 0 {
				t.Fatalf("got %v and %d bytes", err, b.Len())
			}
			for _, w := range c.says {
				if !strings.Contains(err.Error(), w) {
					t.Errorf("%q does not say %q", err, w)
				}
			}
			if strings.Count(err.Error(), "gcode:") != 1 || strings.Contains(err.Error(), "toolpath:") {
				t.Errorf("prefixes in %q", err)
			}
		})
	}
	bad := sample(t, toolpath.Settings{})
	bad.SpindleRPM = 0
	var ie *toolpath.InputError
	if err := Write(io.Discard, bad, Options{}); !errors.As(err, &ie) {
		t.Errorf("the cause is lost: %v", err)
	}
	failing := errors.New("disk full")
	if err := Write(brokenWriter{failing}, sample(t, toolpath.Settings{}), Options{}); !errors.Is(err, failing) {
		t.Errorf("got %v", err)
	}
}

type brokenWriter struct{ err error }

func (w brokenWriter) Write([]byte) (int, error) { return 0, w.err }

func firstArc(p *toolpath.Program) int {
	for i, m := range p.Moves {
		if m.Kind.IsArc() {
			return i
		}
	}
	return -1
}

// TestVanishing: moves below the last decimal are left out, and the rest stays
// where it belongs.
func TestVanishing(t *testing.T) {
	p := sample(t, toolpath.Settings{})
	i := firstArc(p)
	at := p.Moves[i-1].To
	at.Z += 2e-4
	back := p.Moves[i-1]
	p.Moves = append(p.Moves[:i:i], append([]toolpath.Move{{Kind: toolpath.Feed, To: at, FeedMMmin: 99}, back}, p.Moves[i:]...)...)
	for k := range p.Steps {
		if p.Steps[k].Move >= i {
			p.Steps[k].Move += 2
		}
	}
	a, b := code(render(t, sample(t, toolpath.Settings{}), Options{})), code(render(t, p, Options{}))
	if strings.Join(a, "\n") != strings.Join(b, "\n") {
		t.Error("a move that vanishes leaves a trace")
	}
}
