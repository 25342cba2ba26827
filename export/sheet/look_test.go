package sheet

import (
	"os"
	"path/filepath"
	"testing"

	"reseat/export/picture"
)

// TestLook writes the sample drawings for a person to look at when the variable
// SHEET_LOOK names a folder.
func TestLook(t *testing.T) {
	dir := os.Getenv("SHEET_LOOK")
	if dir == "" {
		t.Skip("SHEET_LOOK is not set")
	}
	for name, d := range samples() {
		l, err := Drawing(d)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		f, err := os.Create(filepath.Join(dir, name+".svg"))
		if err != nil {
			t.Fatal(err)
		}
		if err := picture.WriteSVG(f, l); err != nil {
			t.Error(err)
		}
		if err := f.Close(); err != nil {
			t.Error(err)
		}
		t.Log(name, l.Size)
	}
}
