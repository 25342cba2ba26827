package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"reseat/cmd/internal/outputs"
)

// TestPicture keeps the README's pictures what the examples write.
func TestPicture(t *testing.T) {
	for _, c := range []struct{ job, picture, file string }{
		{"bouzouki-fingerboard", "bouzouki-fingerboard.svg", "drawing.svg"},
		{"ukulele-printed", "ukulele-template.svg", "template.svg"},
	} {
		t.Run(c.picture, func(t *testing.T) {
			d, err := readDesign(filepath.Join("..", "..", "..", "testdata", "jobs", c.job+".yaml"))
			if err != nil {
				t.Fatal(err)
			}
			files, err := outputs.Of(d, outputs.Options{})
			if err != nil {
				t.Fatal(err)
			}
			got := files.Data(c.file)
			picture := filepath.Join("..", "..", "..", "testdata", "pictures", c.picture)
			if *update {
				if err := os.WriteFile(picture, got, 0o666); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(picture)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(got, want) {
				t.Errorf("%s is not what the example draws; run go test ./cmd/internal/cli -update and look at it", picture)
			}
		})
	}
}
