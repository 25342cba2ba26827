package overview

import (
	"path/filepath"
	"testing"

	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/job"
)

// TestAxesAreRead: the letters of the axes lie on no pin and on no bore, of any example.
func TestAxesAreRead(t *testing.T) {
	examples, err := filepath.Glob("../../testdata/jobs/*.yaml")
	if err != nil || len(examples) == 0 {
		t.Fatal("no examples", err)
	}
	for _, path := range examples {
		j, err := job.Read(path)
		if err != nil {
			t.Fatal(err)
		}
		d, err := jig.Judged(j)
		if err != nil {
			t.Fatal(err)
		}
		drawn := Plate(d).Items
		for _, it := range drawn {
			text, ok := it.(picture.Text)
			if !ok || text.S != "X" && text.S != "Y" {
				continue
			}
			half := text.Height / 2
			for _, it := range drawn {
				hole, ok := it.(picture.Circle)
				if ok && text.At.Add(geom.Vec{Y: half}).Dist(hole.C) < hole.R+half {
					t.Errorf("%s: the letter %s lies on what is at %.1f", filepath.Base(path), text.S, hole.C)
				}
			}
		}
	}
}
