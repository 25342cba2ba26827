package dxf

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"reseat/jig"
)

// TestReadRefuses changes one thing in a good file; each must be noticed.
func TestReadRefuses(t *testing.T) {
	good := string(render(t, plate(0.2)))
	if _, err := Read(strings.NewReader(good)); err != nil {
		t.Fatal(err)
	}
	if _, err := Read(strings.NewReader(strings.ReplaceAll(good, "\n", "\r\n"))); err != nil {
		t.Errorf("line ends of another system: %v", err)
	}
	entities := strings.Index(good, "\n2\nENTITIES\n")
	in := func(old, new string) string {
		return good[:entities] + strings.Replace(good[entities:], old, new, 1)
	}
	head := func(old, new string) string { return strings.Replace(good, old, new, 1) }
	for _, tc := range []struct{ name, file string }{
		{"empty", ""},
		{"words", "this is no drawing\n"},
		{"binary", "AutoCAD Binary DXF\r\n\x1a\x00" + good},
		{"cut short", good[:len(good)*2/3]},
		{"without its last line", strings.TrimSuffix(good, "\nEOF\n")},
		{"something behind the end", good + "0\nSECTION\n"},
		{"code without a value", good + "0\n"},
		{"code is a word", head("\n70\n4\n", "\nseventy\n4\n")},
		{"endless line", head("made by", strings.Repeat("made by", maxLineBytes))},
		{"other version", head("AC1015", "AC1021")},
		{"inches", head("$INSUNITS\n70\n4\n", "$INSUNITS\n70\n1\n")},
		{"no units", head("9\n$INSUNITS\n70\n4\n", "")},
		{"no measurement", head("9\n$MEASUREMENT\n70\n1\n", "")},
		{"no extents", head("$EXTMAX", "$EXTRA")},
		{"section missing", head("\n0\nSECTION\n2\nCLASSES\n", "\n0\nSECTION\n2\nKLASSES\n")},
		{"layer frozen", head("EDGE\n70\n0\n", "EDGE\n70\n1\n")},
		{"layer without colour", head("EDGE\n70\n0\n62\n1\n", "EDGE\n70\n0\n")},
		{"layer off", head("EDGE\n70\n0\n62\n1\n", "EDGE\n70\n0\n62\n-1\n")},
		{"layer twice", head("\n2\nWINDOW\n", "\n2\nEDGE\n")},
		{"no note", head("NOTE-KERF-APPLIED", "GUIDE-KERF")},
		{"unknown note", head("NOTE-KERF-APPLIED", "NOTE-WELL")},
		{"decimal comma", in("60.000000", "60,000000")},
		{"exponent", in("60.000000", "6.0000e1")},
		{"not a number", in("60.000000", "nan")},
		{"infinite", in("60.000000", "inf")},
		{"whole number", in("60.000000", "60")},
		{"spline", in("\n0\nCIRCLE\n", "\n0\nSPLINE\n")},
		{"text", in("\n0\nCIRCLE\n", "\n0\nTEXT\n")},
		{"own colour", in("\n8\nHOLE-ROUND\n", "\n8\nHOLE-ROUND\n62\n3\n")},
		{"layer not in the table", in("\n8\nHOLE-ROUND\n", "\n8\nHOLE-SQUARE\n")},
		{"not flat", in("\n30\n0.000000\n", "\n30\n1.000000\n")},
		{"mirrored", in("\n230\n1.000000\n", "\n230\n-1.000000\n")},
		{"circle without radius", in("\n40\n2.950000\n", "\n")},
		{"circle with two radii", in("\n40\n2.950000\n", "\n40\n2.950000\n40\n2.950000\n")},
		{"open contour", in("\n70\n1\n", "\n70\n0\n")},
		{"vertex lost", in("\n90\n4\n", "\n90\n5\n")},
		{"more than a half circle", in("\n42\n1.000000000000\n", "\n42\n1.500000000000\n")},
		{"width", in("\n90\n4\n", "\n90\n4\n43\n1.000000\n")},
		{"bulge before any vertex", in("\n90\n4\n", "\n90\n4\n42\n0.500000000000\n")},
		{"no shapes", good[:strings.Index(good, "\n0\nCIRCLE\n")] + good[strings.LastIndex(good, "\n0\nENDSEC\n0\nSECTION\n2\nOBJECTS"):]},
		{"entity inside a block", head("\n0\nENDBLK\n", "\n0\nLINE\n0\nENDBLK\n")},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if tc.file == good {
				t.Fatal("the sample no longer holds what this row changes")
			}
			_, err := Read(strings.NewReader(tc.file))
			var rerr *ReadError
			if !errors.As(err, &rerr) || rerr.Line < 1 || !strings.HasPrefix(err.Error(), "dxf: line ") {
				t.Errorf("want a *ReadError with its line, got %v", err)
			}
		})
	}
}

// FuzzRead: nothing makes the reader panic, and what it takes can be written and
// read again without loss.
func FuzzRead(f *testing.F) {
	f.Add(render(f, plate(0)))
	f.Add(render(f, plate(0.2)))
	f.Add([]byte("0\nEOF\n"))
	f.Fuzz(func(t *testing.T, file []byte) {
		d, err := Read(bytes.NewReader(file))
		if err != nil {
			var rerr *ReadError
			if !errors.As(err, &rerr) {
				t.Fatalf("untyped error: %v", err)
			}
			return
		}
		s := &jig.CutSheet{File: "again.dxf", Layers: d.Layers, Shapes: d.Shapes}
		if d.KerfApplied {
			s.KerfMM = 0.2
		}
		var buf bytes.Buffer
		if err := Write(&buf, s); err != nil {
			var serr *SheetError // colours or shapes that stand twice
			if !errors.As(err, &serr) {
				t.Fatalf("untyped error: %v", err)
			}
			return
		}
		again, err := Read(bytes.NewReader(buf.Bytes()))
		if err != nil {
			t.Fatalf("cannot read what was written: %v", err)
		}
		var second bytes.Buffer
		if err := Write(&second, s); err != nil || !bytes.Equal(buf.Bytes(), second.Bytes()) {
			t.Fatalf("second writing differs (%v)", err)
		}
		if diff := cmp.Diff(d.Layers, again.Layers); diff != "" {
			t.Fatalf("layers:\n%s", diff)
		}
		if len(again.Shapes) != len(d.Shapes) {
			t.Fatalf("%d shapes became %d", len(d.Shapes), len(again.Shapes))
		}
	})
}
