package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/export/setupsheet"
	"reseat/export/sheet"
)

// TestPicture keeps the README's pictures what the examples write.
func TestPicture(t *testing.T) {
	d, err := designOf("../../../testdata/jobs/bouzouki-fingerboard.yaml")
	if err != nil {
		t.Fatal(err)
	}
	drawn, err := sheet.Drawing(d, block.A4)
	if err != nil {
		t.Fatal(err)
	}
	const seated = 3 // the page of that set-up, behind the first
	for name, p := range map[string]*picture.Picture{
		"bouzouki-fingerboard.svg": drawn[0],
		"at-the-machine.svg":       setupsheet.Pages(d, setupsheet.Content{}, block.A4)[seated],
	} {
		t.Run(name, func(t *testing.T) {
			var b bytes.Buffer
			if err := picture.WriteSVG(&b, p); err != nil {
				t.Fatal(err)
			}
			got := b.Bytes()
			file := filepath.Join("..", "..", "..", "testdata", "pictures", name)
			if *update {
				if err := os.WriteFile(file, got, 0o666); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(got, want) {
				t.Errorf("%s is not what the example draws; run go test ./cmd/internal/cli -update and look at it", file)
			}
		})
	}
}
