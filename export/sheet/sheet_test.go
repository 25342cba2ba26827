package sheet

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// drawn returns the sheets of a sample's drawing.
func drawn(t testing.TB, name string) []*picture.Picture {
	t.Helper()
	p, err := Drawing(samples()[name], block.A4)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// items are those of all sheets.
func items(sheets []*picture.Picture) []picture.Item {
	var out []picture.Item
	for _, p := range sheets {
		out = append(out, p.Items...)
	}
	return out
}

// A design becomes a list of marks on paper; the list becomes a picture.
func ExampleDrawing() {
	sheets, err := Drawing(samples()["tiny"], block.A4)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d sheets of %.0f x %.0f mm\n", len(sheets), sheets[0].Size.X, sheets[0].Size.Y)
	// Output: 3 sheets of 297 x 210 mm
}

func TestGoldenDrawing(t *testing.T) {
	var got bytes.Buffer
	if err := picture.WriteSVG(&got, drawn(t, "tiny")[0]); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join("testdata", "tiny.svg")
	if *update {
		if err := os.WriteFile(file, got.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got.String()); diff != "" {
		t.Errorf("drawing changed; look at it, then run go test -update (-want +got):\n%s", diff)
	}
}

// inkFrame is what all ink of a sheet lies within: its frame, line included.
var inkFrame = block.A4.Frame(true).Grow(picture.FrameMM / 2)

// faults looks at a sheet as a draughtsman would and names what is wrong: text on
// text, text on a wide line, ink outside the frame. On a good sheet no text lies on a
// narrow line either.
func faults(items []picture.Item, frame geom.Box, good bool) []string {
	var out []string
	var all []block.Obstacle
	for _, it := range items {
		all = append(all, block.NewObstacle(it))
		if ink := it.Ink(); !block.Within(frame, ink) {
			out = append(out, fmt.Sprintf("%T %v leaves the frame %v", it, ink, frame))
		}
	}
	for i, it := range items {
		t, ok := it.(picture.Text)
		if !ok {
			continue
		}
		for j, o := range all {
			if u, ok := items[j].(picture.Text); ok && i < j && block.Overlap(all[i].Ink, o.Ink) {
				out = append(out, fmt.Sprintf("text %q lies on text %q at %v", t.S, u.S, t.At))
			}
			box := all[i].Ink
			if o.Width < picture.WideMM {
				box = box.Grow(-o.Width / 2) // the edge of a narrow line may touch it
			}
			if (good || o.Width >= picture.WideMM) && o.PassesUnder(box) {
				out = append(out, fmt.Sprintf("text %q lies on a line %v wide at %v", t.S, o.Width, t.At))
			}
		}
	}
	return out
}

func TestFaultsAreSeen(t *testing.T) {
	// The judge itself must be able to fail.
	txt := picture.Text{At: v(20, 20), Height: 3.5, S: "hello"}
	for _, c := range []struct {
		name string
		item picture.Item
		want string
	}{
		{"text on text", picture.Text{At: v(25, 21), Height: 3.5, S: "there"}, "lies on text"},
		{"text on a wide line", picture.Stroke{Pen: picture.PenOutline, Path: poly(v(0, 21), v(90, 22))}, "line 0.5 wide"},
		{"text on a narrow circle", picture.Circle{Pen: picture.PenThin, C: v(20, 10), R: 11}, "line 0.25 wide"},
		{"ink outside", picture.Circle{Pen: picture.PenThin, C: v(1, 50), R: 1}, "leaves the frame"},
		{"all well", picture.Circle{Pen: picture.PenOutline, C: v(22, 21), R: 12}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := strings.Join(faults([]picture.Item{txt, c.item}, geom.Box{Max: v(100, 100)}, true), "; ")
			if c.want == "" && got != "" || !strings.Contains(got, c.want) {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

func TestSampleSheets(t *testing.T) {
	for name, d := range samples() {
		t.Run(name, func(t *testing.T) {
			sheets := drawn(t, name)
			for _, p := range sheets {
				for _, f := range faults(p.Items, inkFrame, true) {
					t.Error(f)
				}
			}
			if diff := cmp.Diff(sheets, drawn(t, name)); diff != "" {
				t.Errorf("two runs differ: %s", diff)
			}
			m := regexp.MustCompile(`\n1:([0-9.]+)\n`)
			words := ""
			var circles []geom.Vec
			for _, it := range items(sheets) {
				switch it := it.(type) {
				case picture.Text:
					words += it.S + "\n"
				case picture.Circle:
					circles = append(circles, it.C)
				}
			}
			scale, err := strconv.ParseFloat(m.FindStringSubmatch(words)[1], 64)
			if err != nil {
				t.Fatal(err)
			}
			for i, pin := range d.Pins {
				// Once at the hole, once in the table.
				if n := strings.Count(words, pin.ID+"\n"); n < 2 {
					t.Errorf("pin %s is named %d times, want at the hole and in the table", pin.ID, n)
				}
				// Distances between pins on paper are the distances in the design.
				for _, q := range d.Pins[:i] {
					if pin.Template.SlotMM+q.Template.SlotMM == 0 && !someGap(circles, pin.At.Sub(q.At).Scale(1/scale)) {
						t.Errorf("no two circles lie as %s and %s do", q.ID, pin.ID)
					}
				}
			}
			for _, must := range []string{"start end", "far end", "Paper is for checking"} {
				if must == "start end" && strings.Contains(words, "to the far end") {
					continue // no room for it; the axes name the other end
				}
				if !strings.Contains(words, must) {
					t.Errorf("the sheet does not say %q", must)
				}
			}
		})
	}
}

// someGap reports whether two points differ by d.
func someGap(pts []geom.Vec, d geom.Vec) bool {
	for _, p := range pts {
		for _, q := range pts {
			if p.Sub(q).Dist(d) < 1e-9 {
				return true
			}
		}
	}
	return false
}

// pinID matches the ids that sample gives.
var pinID = regexp.MustCompile(`^P[0-9]+$`)

func TestAnySheetIsClean(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := sampleSpec{
			title:    rapid.String().Draw(r, "title"),
			length:   rapid.Float64Range(50, 1600).Draw(r, "length"),
			start:    rapid.Float64Range(10, 150).Draw(r, "start"),
			far:      rapid.Float64Range(10, 150).Draw(r, "far"),
			margin:   rapid.Float64Range(14, 60).Draw(r, "margin"),
			pins:     rapid.IntRange(0, 12).Draw(r, "pins"),
			seatPins: rapid.Bool().Draw(r, "seat pins"),
			printed:  rapid.Bool().Draw(r, "printed"),
			blank:    rapid.Bool().Draw(r, "blank"),
			longX:    rapid.Bool().Draw(r, "long x"),
			pinDia:   rapid.Float64Range(2, 12).Draw(r, "pin"),
			twin:     rapid.Bool().Draw(r, "twin"),
			notes:    rapid.SliceOfN(rapid.StringN(0, 200, -1), 0, 12).Draw(r, "notes"),
		}
		s.stops = !s.seatPins && rapid.Bool().Draw(r, "stops")
		for range rapid.IntRange(0, 4).Draw(r, "keep-outs") {
			at := v(rapid.Float64Range(-200, s.length).Draw(r, "from u"), rapid.Float64Range(-150, 100).Draw(r, "from v"))
			size := v(rapid.Float64Range(0.1, s.length+400).Draw(r, "long"), rapid.Float64Range(0.1, 200).Draw(r, "wide"))
			name := rapid.String().Draw(r, "keep-out")
			s.keepOut = append(s.keepOut, jig.KeepOut{Name: name, Box: geom.Box{Min: at, Max: at.Add(size)}})
		}
		n := rapid.IntRange(0, 24).Draw(r, "dots")
		for i := range n {
			s.dots = append(s.dots, s.length*float64(i+1)/float64(n+1))
		}
		for range rapid.IntRange(0, 15).Draw(r, "rules") {
			id, says := rapid.StringN(0, 40, -1).Draw(r, "id"), rapid.StringN(0, 300, -1).Draw(r, "says")
			s.rules = append(s.rules, jig.Rule{ID: id, Level: jig.Warn, Says: says})
		}
		d := sample(s)
		d.Template.Material = rapid.String().Draw(r, "material")
		sheets, err := Drawing(d, block.A4)
		if err != nil {
			r.Fatal(err)
		}
		for _, p := range sheets {
			for _, f := range faults(p.Items, inkFrame, false) {
				r.Error(f)
			}
		}
		named := 0
		for _, it := range items(sheets) {
			if t, ok := it.(picture.Text); ok && pinID.MatchString(t.S) {
				named++
			}
		}
		if named < len(d.Pins) {
			r.Errorf("%d of %d pins are named at their holes", named, len(d.Pins))
		}
	})
}

func TestDesignIsNotTouched(t *testing.T) {
	a, b := samples()["bouzouki"], samples()["bouzouki"]
	if _, err := Drawing(a, block.A4); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(b, a); diff != "" {
		t.Error(diff)
	}
}

func BenchmarkDrawing(b *testing.B) {
	d := samples()["bouzouki"]
	for b.Loop() {
		p, err := Drawing(d, block.A4)
		if err != nil {
			b.Fatal(err)
		}
		if err := picture.WriteSVG(io.Discard, p[0]); err != nil {
			b.Fatal(err)
		}
	}
}
