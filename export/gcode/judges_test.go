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
	d     Dialect
	holes []bored
}

func toJudge(t *testing.T) []judged {
	t.Helper()
	return []judged{
		{"plain", sample(t, geom.Rigid{}), Plain, sampleHoles(geom.Rigid{})},
		{"ngc", sample(t, geom.Rigid{}), NGC, sampleHoles(geom.Rigid{})},
		{"turned", sample(t, turned), Plain, sampleHoles(turned)},
		{"turned, ngc", sample(t, turned), NGC, sampleHoles(turned)},
		{"drilled", drilled(t), Plain, nil},
	}
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
			if err := os.WriteFile(file, render(t, c.p, c.d), 0o600); err != nil {
				t.Fatal(err)
			}
			var rows strings.Builder
			for _, h := range c.holes {
				fmt.Fprintf(&rows, "%.6f,%.6f,%.6f\n", h.at.X, h.at.Y, h.d)
			}
			if err := os.WriteFile(holes, []byte(rows.String()), 0o600); err != nil {
				t.Fatal(err)
			}
			const slack = 0.001 // one step of the grid
			lo, hi := c.p.Run.Min, c.p.Run.Max
			box := fmt.Sprintf("--box=%.4f,%.4f,%.4f,%.4f,%.4f,%.4f", lo.X-slack, lo.Y-slack, lo.Z-slack, hi.X+slack,
				hi.Y+slack, hi.Z+slack)
			args := []string{judgeScript, file, "--tool", fmt.Sprint(c.p.DiameterMM), box, "--holes", holes}
			if c.d == Plain {
				args = append(args, "--marlin")
			}
			out, err := exec.Command("bash", args...).CombinedOutput()
			if err != nil || !strings.Contains(string(out), ": 0 errors, 0 warnings") {
				t.Errorf("%v\n%s", err, out)
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
			got := interpret(t, render(t, c.p, c.d))
			got = got[1:] // the lift at the head
			// The interpreter prints four decimals; its own rounding comes on top.
			const end, centre = 0.51e-3 + 6e-5, (searchSteps+0.501)*1.4143e-3 + 6e-5
			near := func(a, b, tol float64) bool { return math.Abs(a-b) <= tol }
			n := 0
			for _, m := range c.p.Moves() {
				if n == len(got) {
					t.Fatalf("only %d canonical moves", n)
				}
				g := got[n]
				n++
				ok := g[0] == float64(m.Kind)
				if m.Kind == toolpath.Arc {
					ok = ok && near(g[1], m.To.X, end) && near(g[2], m.To.Y, end) && near(g[3], m.Center.X, centre) &&
						near(g[4], m.Center.Y, centre) && g[5] == 1 && near(g[6], m.To.Z, end)
				} else {
					ok = ok && near(g[1], m.To.X, end) && near(g[2], m.To.Y, end) && near(g[3], m.To.Z, end)
				}
				if !ok {
					t.Fatalf("move %d: rs274 makes %v of %+v", n, g, m)
				}
			}
			if n != len(got) {
				t.Errorf("%d canonical moves, want %d", len(got), n)
			}
		})
	}
}
