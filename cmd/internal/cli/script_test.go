package cli

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "rewrite the expected output in the scripts and pictures")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"reseat": func() { os.Exit(Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
	})
}

// TestScripts runs the command line as a user does. Each script finds the
// example jobs in jobs and the readings in readings, and what was once answered wrongly in cases.
func TestScripts(t *testing.T) {
	const root = "../../../testdata"
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join(root, "script"),
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			for _, d := range []string{"jobs", "readings", "cases"} {
				if err := os.CopyFS(filepath.Join(env.WorkDir, d), os.DirFS(filepath.Join(root, d))); err != nil {
					return err
				}
			}
			return nil
		},
	})
}
