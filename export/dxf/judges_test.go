package dxf

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// python has the ezdxf and numpy that the outside judges need; another python3
// may come first on the path.
const python = "/usr/bin/python3"

// judgeScript is the project's outside DXF judge, kept beside the repository.
var judgeScript = filepath.Join("..", "..", "..", "shared", "checks", "check_dxf.py")

// auditScript counts what ezdxf (Debian package python3-ezdxf) finds and what it
// would have to repair, and what it reads.
const auditScript = `
import sys, ezdxf
doc = ezdxf.readfile(sys.argv[1])
a = doc.audit()
print("errors", len(a.errors), "fixes", len(a.fixes), "entities", len(doc.modelspace()),
      "units", doc.units, doc.dxfversion)
`

// TestJudges writes the sample plate and has it looked over from outside.
func TestJudges(t *testing.T) {
	if err := exec.Command(python, "-c", "import ezdxf, numpy").Run(); err != nil {
		t.Skip("no python with ezdxf and numpy")
	}
	for _, kerf := range []float64{0, 0.2} {
		t.Run(fmt.Sprintf("kerf %g", kerf), func(t *testing.T) {
			dir := t.TempDir()
			file, holes := filepath.Join(dir, "plate.dxf"), filepath.Join(dir, "holes.csv")
			s := plate(kerf)
			if err := os.WriteFile(file, render(t, s), 0o600); err != nil {
				t.Fatal(err)
			}
			out, err := exec.Command(python, "-c", auditScript, file).CombinedOutput()
			want := fmt.Sprintf("errors 0 fixes 0 entities %d units 4 AC1015", len(s.Shapes))
			if err != nil || strings.TrimSpace(string(out)) != want {
				t.Errorf("ezdxf: %v, %s, want %s", err, out, want)
			}

			if _, err := os.Stat(judgeScript); err != nil {
				t.Skip("the shared DXF judge is not beside this repository")
			}
			var rows strings.Builder
			for _, sh := range s.Shapes {
				if sh.R > 0 {
					fmt.Fprintf(&rows, "%.6f,%.6f,%.6f\n", sh.Center.X, sh.Center.Y, 2*sh.R)
				}
			}
			if err := os.WriteFile(holes, []byte(rows.String()), 0o600); err != nil {
				t.Fatal(err)
			}
			out, err = exec.Command(python, judgeScript, file, "--parts", "1", "--min-gap", "1", "--holes", holes, "--quiet").CombinedOutput()
			if err != nil || !strings.Contains(string(out), ": 0 errors, 0 warnings, 5 holes") {
				t.Errorf("check_dxf.py: %v\n%s", err, out)
			}
		})
	}
}
