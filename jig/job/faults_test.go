package job

import (
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"
)

var update = flag.Bool("update", false, "rewrite the golden messages")

// TestFaults parses the job.yaml of every archive in testdata/faults and holds
// the messages for people against its file "want". The archive's comment says
// why the case is there. -update writes what comes out now.
func TestFaults(t *testing.T) {
	paths, err := filepath.Glob(filepath.Join("testdata", "faults", "*.txtar"))
	if err != nil || len(paths) == 0 {
		t.Fatal("no cases", err)
	}
	for _, path := range paths {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txtar"), func(t *testing.T) {
			a, err := txtar.ParseFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if len(strings.TrimSpace(string(a.Comment))) == 0 {
				t.Error("the case gives no reason")
			}
			j, err := Parse("job.yaml", a.Files[0].Data)
			var ps *Problems
			if j != nil || !errors.As(err, &ps) {
				t.Fatalf("got %v, %v; want faults", j, err)
			}
			got := ps.Detail()
			if *update {
				a.Files = append(a.Files[:1], txtar.File{Name: "want", Data: []byte(got)})
				if err := os.WriteFile(path, txtar.Format(a), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			if len(a.Files) < 2 {
				t.Fatal("no want: run with -update and look at it")
			}
			if d := cmp.Diff(string(a.Files[1].Data), got); d != "" {
				t.Error(d)
			}
		})
	}
}
