package estimate

import (
	"flag"
	"os"
	"testing"
)

// TestMain: a property test here fits a form at every draw, so it makes fewer draws than
// elsewhere unless RAPID_CHECKS says how many.
func TestMain(m *testing.M) {
	if os.Getenv("RAPID_CHECKS") == "" {
		if err := flag.Set("rapid.checks", "5"); err != nil {
			panic(err)
		}
	}
	os.Exit(m.Run())
}
