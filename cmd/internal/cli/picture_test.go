package cli

import (
	"bytes"
	"os"
	"testing"

	"reseat/export/sheet"
)

// TestPicture keeps the README's picture the drawing that the example writes.
func TestPicture(t *testing.T) {
	const (
		jobFile = "../../../testdata/jobs/bouzouki-fingerboard.yaml"
		picture = "../../../testdata/pictures/bouzouki-fingerboard.svg"
	)
	d, err := readDesign(jobFile)
	if err != nil {
		t.Fatal(err)
	}
	list, err := sheet.Drawing(d)
	if err != nil {
		t.Fatal(err)
	}
	var got bytes.Buffer
	if err := sheet.WriteSVG(&got, list); err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.WriteFile(picture, got.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(picture)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got.Bytes(), want) {
		t.Errorf("%s is not what the example job draws; run go test ./cmd/internal/cli -update and look at it", picture)
	}
}
