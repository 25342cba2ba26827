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
func judge(t *testing.T, s *Solid, holes []jig.PrintHole, args ...string) string {
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
		return string(out)
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
	return string(out)
}

// admeshFault matches the lines of admesh's report that must be zero.
var admeshFault = regexp.MustCompile(`^(Total disconnected|Degenerate|Edges fixed|Facets removed|Facets added|Facets reversed|Backwards edges|Normals fixed)[^:]*: +(\d+)`)

func TestJudgesOnReferencePlate(t *testing.T) {
	needJudge(t)
	p := referencePlate()
	s, err := Build(p)
	if err != nil {
		t.Fatal(err)
	}
	t.Log(judge(t, s, p.Holes))
}

func TestJudgesOnChamferedPlate(t *testing.T) {
	needJudge(t)
	p := chamfered(notched(2.5, 1.6))
	p.Rails = []jig.PrintRail{rail(box(22, 40.1, 98, 44.1), 11)}
	s, err := Build(p)
	if err != nil {
		t.Fatal(err)
	}
	judge(t, s, p.Holes[:2], "--foot", "0.4", "--max-tri", "40000")
}
