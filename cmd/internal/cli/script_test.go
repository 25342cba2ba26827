package cli

import (
	"flag"
	"os"
	"path/filepath"
	"runtime/debug"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "rewrite the expected output in the scripts and pictures")

func TestMain(m *testing.M) {
	debug.SetGCPercent(400) // many short-lived designs, here and in every script's commands
	testscript.Main(m, map[string]func(){
		"reseat":     func() { os.Exit(Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
		"touchprobe": func() { os.Exit(touchProbe(os.Args[1:], os.Stdout, os.Stderr)) },
		"shopfills":  func() { os.Exit(shopFills(os.Args[1:], os.Stdout, os.Stderr)) },
		"replaced":   func() { os.Exit(replaced(os.Args[1:], os.Stderr)) },
	})
}

// TestScripts runs the command line as a user does. Each script finds the
// example jobs in jobs, the readings in readings and what was once answered wrongly in
// cases, but not what commands left in folders beside them.
func TestScripts(t *testing.T) {
	const root = "../../../testdata"
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join(root, "script"),
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("COLUMNS", "1000") // so that what is looked for stands on one line
			for _, d := range []string{"jobs", "jobs/processes", "readings", "cases"} {
				if err := copyFiles(filepath.Join(env.WorkDir, d), filepath.Join(root, d)); err != nil {
					return err
				}
			}
			return nil
		},
	})
}

// copyFiles copies the plain files of a directory, not its subdirectories.
func copyFiles(to, from string) error {
	files, err := os.ReadDir(from)
	if err != nil {
		return err
	}
	if err := os.Mkdir(to, 0o777); err != nil {
		return err
	}
	for _, f := range files {
		if !f.Type().IsRegular() {
			continue
		}
		data, err := os.ReadFile(filepath.Join(from, f.Name()))
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(to, f.Name()), data, 0o666); err != nil {
			return err
		}
	}
	return nil
}
