package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"reseat/export/picture"
	"reseat/export/sheet"
	"reseat/jig"
)

// TestPicture keeps the README's pictures what the examples write.
func TestPicture(t *testing.T) {
	for _, c := range []struct {
		job, picture string
		draw         func(*bytes.Buffer, *jig.Design) error
	}{
		{"bouzouki-fingerboard", "bouzouki-fingerboard.svg", func(b *bytes.Buffer, d *jig.Design) error {
			list, err := sheet.Drawing(d)
			if err != nil {
				return err
			}
			return picture.WriteSVG(b, list)
		}},
		{"ukulele-printed", "ukulele-template.svg", func(b *bytes.Buffer, d *jig.Design) error {
			return picture.WriteSVG(b, platePicture(d))
		}},
	} {
		t.Run(c.picture, func(t *testing.T) {
			d, err := readDesign(filepath.Join("..", "..", "..", "testdata", "jobs", c.job+".yaml"))
			if err != nil {
				t.Fatal(err)
			}
			var got bytes.Buffer
			if err := c.draw(&got, d); err != nil {
				t.Fatal(err)
			}
			picture := filepath.Join("..", "..", "..", "testdata", "pictures", c.picture)
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
				t.Errorf("%s is not what the example draws; run go test ./cmd/internal/cli -update and look at it", picture)
			}
		})
	}
}
