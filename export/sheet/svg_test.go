package sheet

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/google/go-cmp/cmp"

	"reseat/export/picture"
	"reseat/jig/geom"
)

var update = flag.Bool("update", false, "rewrite the golden files")

func svg(t testing.TB, l *picture.Picture) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := picture.WriteSVG(&b, l); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func drawn(t testing.TB, name string) *picture.Picture {
	t.Helper()
	l, err := Drawing(samples()[name])
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestGoldenDrawing(t *testing.T) {
	got := svg(t, drawn(t, "tiny"))
	file := filepath.Join("testdata", "tiny.svg")
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("drawing changed; look at it, then run go test -update (-want +got):\n%s", diff)
	}
}

func TestSameBytes(t *testing.T) {
	for name := range samples() {
		if !bytes.Equal(svg(t, drawn(t, name)), svg(t, drawn(t, name))) {
			t.Errorf("%s: two runs differ", name)
		}
	}
}

// TestReadBack parses every sample with encoding/xml, which refuses what is not
// well formed, and looks for the page and the pins where they must be.
func TestReadBack(t *testing.T) {
	for name, d := range samples() {
		t.Run(name, func(t *testing.T) {
			l := drawn(t, name)
			dec := xml.NewDecoder(bytes.NewReader(svg(t, l)))
			dec.Strict = true
			var circles []geom.Vec
			var first, title string
			scripts := 0
			for {
				tok, err := dec.Token()
				if errors.Is(err, io.EOF) {
					break
				}
				if err != nil {
					t.Fatal(err)
				}
				el, ok := tok.(xml.StartElement)
				if !ok {
					continue
				}
				at := map[string]string{}
				for _, a := range el.Attr {
					at[a.Name.Local] = a.Value
				}
				switch el.Name.Local {
				case "svg":
					if at["width"] != fmt.Sprint(l.Size.X)+"mm" || at["height"] != fmt.Sprint(l.Size.Y)+"mm" ||
						at["viewBox"] != fmt.Sprintf("0 0 %v %v", l.Size.X, l.Size.Y) {
						t.Errorf("page is %v, want 1:1 in mm", at)
					}
				case "title":
					if err := dec.DecodeElement(&title, &el); err != nil {
						t.Fatal(err)
					}
				case "circle":
					circles = append(circles, v(number(t, at["cx"]), l.Size.Y-number(t, at["cy"])))
				case "script", "style", "image", "foreignObject":
					scripts++
				}
				if first == "" && el.Name.Local != "svg" && el.Name.Local != "title" {
					first = el.Name.Local + " " + at["fill"]
				}
			}
			if title != picture.Plain(d.Title) {
				t.Errorf("title %q, want %q", title, d.Title)
			}
			if first != "rect #ffffff" || scripts > 0 {
				t.Errorf("first element %q, %d foreign elements; want a white sheet and none", first, scripts)
			}
			// Distances between pins on paper are the distances in the design.
			for i, p := range d.Pins {
				for _, q := range d.Pins[:i] {
					if p.Template.SlotMM > 0 || q.Template.SlotMM > 0 {
						continue
					}
					if !someGap(circles, p.At.Sub(q.At)) {
						t.Errorf("no two circles lie as %s and %s do", q.ID, p.ID)
					}
				}
			}
		})
	}
}

// someGap reports whether two points differ by d, as far as three decimals in
// the file can tell (half a step at either end).
func someGap(pts []geom.Vec, d geom.Vec) bool {
	const steps = 0.0011
	for _, p := range pts {
		for _, q := range pts {
			if e := p.Sub(q).Sub(d); math.Abs(e.X) < steps && math.Abs(e.Y) < steps {
				return true
			}
		}
	}
	return false
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}
