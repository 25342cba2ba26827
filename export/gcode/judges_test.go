package gcode

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/toolpath"
)

// judgeScript is the project's outside G-code judge, kept beside the repository.
var judgeScript = filepath.Join("..", "..", "..", "shared", "checks", "check_gcode.sh")

// needInterpreter skips without LinuxCNC's interpreter rs274 (Debian package
// linuxcnc-uspace), unless REQUIRE_RS274=1 makes it a must.
func needInterpreter(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("rs274"); err != nil {
		if os.Getenv("REQUIRE_RS274") == "1" {
			t.Fatal("REQUIRE_RS274=1, but rs274 is not installed: apt-get install --no-install-recommends linuxcnc-uspace")
		}
		t.Skip("rs274 is not installed (Debian package linuxcnc-uspace)")
	}
}

// judged is one program as it goes before the judges.
type judged struct {
	name  string
	p     *toolpath.Program
	o     Options
	holes []bored
	top   float64
	blend bool // the portable lint must refuse it, as G64 is LinuxCNC's alone
}

func toJudge(t *testing.T) []judged {
	t.Helper()
	base := sample(t, toolpath.Settings{})
	list := []judged{
		{name: "plain", p: base, holes: sampleHoles},
		{name: "plain, parentheses, four decimals", p: base, o: Options{Comments: Paren, Decimals: 4}, holes: sampleHoles},
		{name: "ngc", p: base, o: Options{Dialect: NGC}, holes: sampleHoles},
		{name: "ngc, blended", p: base, o: Options{Dialect: NGC, BlendMM: 0.02}, blend: true},
		{name: "no finish, clockwise", p: sample(t, toolpath.Settings{NoFinish: true, Conventional: true}), holes: sampleHoles},
		{name: "zero on the bed", p: sample(t, toolpath.Settings{TopZ: 26}), holes: sampleHoles, top: 26},
		{name: "drilled", p: drilled(t)},
	}
	for _, m := range []geom.Rigid{
		{Angle: 0.00042, Shift: geom.Vec{X: 0.11, Y: -0.07}},
		{Angle: -0.7, Shift: geom.Vec{X: 12.3456, Y: 200}},
		{Angle: math.Pi / 2, Shift: geom.Vec{X: 150}},
		{Angle: 2.5, Shift: geom.Vec{X: 200, Y: 1.0 / 3}},
	} {
		q, err := base.Transform(m)
		if err != nil {
			t.Fatal(err)
		}
		var holes []bored
		for _, h := range sampleHoles {
			holes = append(holes, bored{m.Apply(h.at), h.d})
		}
		list = append(list,
			judged{name: fmt.Sprintf("turned by %g", m.Angle), p: q, holes: holes},
			judged{name: fmt.Sprintf("turned by %g, ngc", m.Angle), p: q, o: Options{Dialect: NGC, Comments: Paren, Decimals: 5}, holes: holes})
	}
	return list
}

// TestJudges has the shared lint look over every flavour: no error, no warning, the
// bores where and as wide as they were asked for, nothing outside the dry run's
// box. With rs274 the lint also compares its own reading with the interpreter's.
func TestJudges(t *testing.T) {
	if _, err := os.Stat(judgeScript); err != nil {
		t.Skip("the shared G-code judge is not beside this repository")
	}
	for _, c := range toJudge(t) {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			file, holes := filepath.Join(dir, "bores.nc"), filepath.Join(dir, "holes.csv")
			if err := os.WriteFile(file, render(t, c.p, c.o), 0o600); err != nil {
				t.Fatal(err)
			}
			var rows strings.Builder
			for _, h := range c.holes {
				fmt.Fprintf(&rows, "%.6f,%.6f,%.6f\n", h.at.X, h.at.Y, h.d)
			}
			if err := os.WriteFile(holes, []byte(rows.String()), 0o600); err != nil {
				t.Fatal(err)
			}
			s, err := c.p.DryRun(0)
			if err != nil {
				t.Fatal(err)
			}
			const slack = 0.001 // one step of the coarsest grid
			box := fmt.Sprintf("--box=%.4f,%.4f,%.4f,%.4f,%.4f,%.4f", s.Min.X-slack, s.Min.Y-slack, s.Min.Z-slack, s.Max.X+slack, s.Max.Y+slack, s.Max.Z+slack)
			args := []string{judgeScript, file, "--tool", fmt.Sprint(c.p.Tool.DiameterMM), box, "--top", fmt.Sprint(c.top)}
			if c.o.Comments == Semicolon && c.o.Dialect == Plain {
				args = append(args, "--marlin")
			}
			if !c.blend {
				args = append(args, "--holes", holes)
			}
			out, err := exec.Command("bash", args...).CombinedOutput()
			want := ": 0 errors, 0 warnings"
			if c.blend {
				if want = "G64 is not in grbl 1.1"; err == nil || !strings.Contains(string(out), ": 1 errors, 0 warnings") {
					t.Errorf("blending: %v\n%s", err, out)
				}
			} else if err != nil {
				t.Error(err)
			}
			if !strings.Contains(string(out), want) {
				t.Errorf("want %q\n%s", want, out)
			}
		})
	}
}

// canonical is one line of what rs274 -g prints.
var canonical = regexp.MustCompile(`(STRAIGHT_TRAVERSE|STRAIGHT_FEED|ARC_FEED)\(([^)]*)\)`)

// interpret runs the interpreter and returns its moves.
func interpret(t *testing.T, b []byte) [][]float64 {
	t.Helper()
	dir := t.TempDir()
	file := filepath.Join(dir, "x.ngc")
	if err := os.WriteFile(file, b, 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("rs274", "-g", file)
	cmd.Dir, cmd.Env = dir, append(os.Environ(), "LC_ALL=C")
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("rs274: %v\n%s", err, out)
	}
	var moves [][]float64
	for _, m := range canonical.FindAllStringSubmatch(string(out), -1) {
		row := []float64{map[string]float64{"STRAIGHT_TRAVERSE": 0, "STRAIGHT_FEED": 1, "ARC_FEED": 2}[m[1]]}
		for _, f := range strings.Split(m[2], ",") {
			v, err := strconv.ParseFloat(strings.TrimSpace(f), 64)
			if err != nil {
				t.Fatal(err)
			}
			row = append(row, v)
		}
		moves = append(moves, row)
	}
	return moves
}

// TestInterpreter compares what LinuxCNC's interpreter makes of the file with the
// program itself, move for move: kind, end, centre, direction.
func TestInterpreter(t *testing.T) {
	needInterpreter(t)
	for _, c := range toJudge(t) {
		t.Run(c.name, func(t *testing.T) {
			got := interpret(t, render(t, c.p, c.o))
			_, want := c.p.Path()
			// The lift at the head; the second lift before the way home.
			if len(got) != len(want)+2 {
				t.Fatalf("%d canonical moves, want %d", len(got), len(want)+2)
			}
			got = append(got[1:len(got)-2:len(got)-2], got[len(got)-1])
			u := c.o.filled().grid().unit()
			// The interpreter prints four decimals; its own rounding comes on top.
			end, centre := 0.51*u+6e-5, centerStep*u+6e-5
			for i, m := range want {
				g := got[i]
				ok := true
				if m.Kind.IsArc() {
					turn := 1.0
					if m.Kind == toolpath.ArcCW {
						turn = -1
					}
					ok = g[0] == 2 && near(g[1], m.To.X, end) && near(g[2], m.To.Y, end) && near(g[3], m.Center.X, centre) &&
						near(g[4], m.Center.Y, centre) && g[5] == turn && near(g[6], m.To.Z, end)
				} else {
					kind := 1.0
					if m.Kind == toolpath.Rapid {
						kind = 0
					}
					ok = g[0] == kind && near(g[1], m.To.X, end) && near(g[2], m.To.Y, end) && near(g[3], m.To.Z, end)
				}
				if !ok {
					t.Fatalf("move %d: rs274 makes %v of %+v", i, g, m)
				}
			}
		})
	}
}
