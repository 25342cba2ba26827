package solid

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"reseat/jig"
	"reseat/jig/geom"
)

// python has the numpy that the outside judge needs; another python3 may come
// first on the path.
const python = "/usr/bin/python3"

// judgeScript is the project's outside STL judge, kept beside the repository.
var judgeScript = filepath.Join("..", "..", "..", "shared", "checks", "check_stl.py")

// needJudge skips the test when the judge or its interpreter is not there.
func needJudge(t *testing.T) {
	t.Helper()
	if _, err := os.Stat(judgeScript); err != nil {
		t.Skip("the shared STL judge is not beside this repository")
	}
	if err := exec.Command(python, "-c", "import numpy").Run(); err != nil {
		t.Skip("no python with numpy")
	}
}

// judge writes the solid and has it looked over by check_stl.py and, when it is
// installed, by admesh.
func judge(t *testing.T, s *Solid, holes []jig.PrintHole, args ...string) {
	t.Helper()
	dir := t.TempDir()
	stl, csv := filepath.Join(dir, "part.stl"), filepath.Join(dir, "holes.csv")
	var b bytes.Buffer
	if err := WriteSTL(&b, s.Mesh, "part"); err != nil {
		t.Fatal(err)
	}
	var rows strings.Builder
	for _, h := range holes {
		fmt.Fprintf(&rows, "%.6f,%.6f,%.4f,%.3f\n", h.Center.X, h.Center.Y, h.Diameter, freeOverMM)
	}
	for name, data := range map[string][]byte{stl: b.Bytes(), csv: []byte(rows.String())} {
		if err := os.WriteFile(name, data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	args = append([]string{"-B", judgeScript, stl, "--holes", csv, "--shells", "1", "--bed", "2000x2000x2000"}, args...)
	ctx, stop := context.WithTimeout(context.Background(), 2*time.Minute)
	defer stop()
	out, err := exec.CommandContext(ctx, python, args...).CombinedOutput()
	if err != nil {
		t.Errorf("check_stl.py: %v\n%s", err, out)
	}
	if _, err := exec.LookPath("admesh"); err != nil {
		return
	}
	cmd := exec.Command("admesh", stl)
	cmd.Env = append(os.Environ(), "LC_ALL=C")
	found, err := cmd.CombinedOutput()
	if err != nil {
		t.Errorf("admesh: %v\n%s", err, found)
	}
	for _, line := range strings.Split(string(found), "\n") {
		if m := admeshFault.FindStringSubmatch(line); m != nil && m[2] != "0" {
			t.Errorf("admesh: %s", line)
		}
	}
}

// admeshFault matches the lines of admesh's report that must be zero.
var admeshFault = regexp.MustCompile(
	`^(Total disconnected|Degenerate|Edges fixed|Facets (?:removed|added|reversed)|Backwards edges|Normals fixed)[^:]*: +(\d+)`)

// TestJudges holds plates that the examples do not have before the outside judges.
func TestJudges(t *testing.T) {
	needJudge(t)
	for _, tc := range []struct {
		name string
		edit func(p *jig.Print)
		args []string
	}{
		{"reference plate", func(p *jig.Print) { *p = *referencePlate() }, nil},
		{"rails on the window's edge, over the window and over the plate's edge", func(p *jig.Print) {
			p.Window = box(20, 20, 100, 40)
			p.Rails = append(p.Rails, rail(box(20, 40, 90, 44), 12), rail(box(15, 14, 105, 22), 12),
				rail(box(108, 10, 130, 14), 9))
		}, nil},
		{"rails in two heights that share an edge, and along the plate's edge", func(p *jig.Print) {
			p.Rails = append(p.Rails, rail(box(20, 20, 60, 24), 12), rail(box(60, 20, 100, 24), 9), rail(box(0, 0, 120, 4), 10))
		}, nil},
		{"holes in a row, a slot and a relieved window", func(p *jig.Print) {
			for i := range 5 {
				p.Holes = append(p.Holes, hole(fmt.Sprint(i), 8+11*float64(i), 8, 6.1))
			}
			p.Holes = append(p.Holes, jig.PrintHole{ID: "s", Center: geom.Vec{X: 20, Y: 52}, Diameter: 5, Travel: 1.5,
				Angle: 0.3})
			p.Window = geom.Relieve(box(20, 20, 100, 40), 2)
		}, nil},
		{"rails across the corner reliefs, a hair higher than a thick plate", func(p *jig.Print) {
			p.ThicknessMM = 25
			p.Window = geom.Relieve(box(30, 20, 80, 40), 0.5703125)
			p.Rails = append(p.Rails, rail(box(30, 40.1, 80, 44.1), 25.5), rail(box(30, 15.9, 80, 19.9), 25.5))
		}, nil},
		{"notch, reliefs, chamfers, a rail and marks", func(p *jig.Print) {
			*p = *chamfered(notched(2.5, 1.6))
			p.Marks = []jig.PrintMark{word(t, "P1", 5, 0, geom.Vec{X: 16, Y: 8}, 6.6),
				word(t, "2/2", 5, 0, geom.Vec{X: 40, Y: 48}, 6.6)}
			p.Rails = []jig.PrintRail{rail(box(22, 40.1, 98, 44.1), 11)}
		}, []string{"--foot", "0.4"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p := plate()
			tc.edit(p)
			s, err := Build(p)
			if err != nil {
				t.Fatal(err)
			}
			var round []jig.PrintHole
			for _, h := range p.Holes {
				if h.Travel == 0 {
					round = append(round, h)
				}
			}
			judge(t, s, round, tc.args...)
		})
	}
}
