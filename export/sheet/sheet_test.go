package sheet

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// drawn returns a sample's drawing.
func drawn(t testing.TB, name string) *picture.Picture {
	t.Helper()
	p, err := Drawing(samples()[name])
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// A design becomes a list of marks on paper; the list becomes a picture.
func ExampleDrawing() {
	p, err := Drawing(samples()["tiny"])
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f x %.0f mm\n", p.Size.X, p.Size.Y)
	// Output: 594 x 297 mm
}

func TestGoldenDrawing(t *testing.T) {
	var got bytes.Buffer
	if err := picture.WriteSVG(&got, drawn(t, "tiny")); err != nil {
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

// inkFrame returns what all ink of a sheet lies within: its frame, line included.
func inkFrame(p *picture.Picture) geom.Box {
	return size{w: p.Size.X, h: p.Size.Y}.frame().Grow(picture.FrameMM / 2)
}

// faults looks at a sheet as a draughtsman would and names what is wrong: text on
// text, text on a wide line, ink outside the frame. On a good sheet no text lies on a
// narrow line either.
func faults(items []picture.Item, frame geom.Box, good bool) []string {
	var out []string
	var all []obstacle
	for _, it := range items {
		all = append(all, newObstacle(it))
		if ink := it.Ink(); !within(frame, ink) {
			out = append(out, fmt.Sprintf("%T %v leaves the frame %v", it, ink, frame))
		}
	}
	for i, it := range items {
		t, ok := it.(picture.Text)
		if !ok {
			continue
		}
		for j, o := range all {
			if u, ok := items[j].(picture.Text); ok && i < j && overlap(all[i].ink, o.ink) {
				out = append(out, fmt.Sprintf("text %q lies on text %q at %v", t.S, u.S, t.At))
			}
			box := all[i].ink
			if o.width < picture.WideMM {
				box = box.Grow(-o.width / 2) // the edge of a narrow line may touch it
			}
			if (good || o.width >= picture.WideMM) && o.under(box) {
				out = append(out, fmt.Sprintf("text %q lies on a line %v wide at %v", t.S, o.width, t.At))
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
			p := drawn(t, name)
			for _, f := range faults(p.Items, inkFrame(p), true) {
				t.Error(f)
			}
			if diff := cmp.Diff(p, drawn(t, name), cmp.AllowUnexported(figure{})); diff != "" {
				t.Errorf("two runs differ: %s", diff)
			}
			words := ""
			var circles []geom.Vec
			for _, it := range p.Items {
				switch it := it.(type) {
				case picture.Text:
					words += it.S + "\n"
				case picture.Circle:
					circles = append(circles, it.C)
				}
			}
			for i, pin := range d.Pins {
				// Once at the hole, once in the table.
				if n := strings.Count(words, pin.ID+"\n"); n < 2 {
					t.Errorf("pin %s is named %d times, want at the hole and in the table", pin.ID, n)
				}
				// Distances between pins on paper are the distances in the design.
				for _, q := range d.Pins[:i] {
					if pin.Template.SlotMM+q.Template.SlotMM == 0 && !someGap(circles, pin.At.Sub(q.At)) {
						t.Errorf("no two circles lie as %s and %s do", q.ID, pin.ID)
					}
				}
			}
			for _, must := range []string{"100 mm across", "100 mm down", "Print at 100 %", "start end", "far end", "1:1"} {
				if strings.HasPrefix(name, "tiny") && must == "start end" {
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

// drawAccount gives a design a budget, odds and a climate, or some of them.
func drawAccount(r *rapid.T, d *jig.Design) {
	if rapid.Bool().Draw(r, "budget") {
		var terms []sampleTerm
		for range rapid.IntRange(0, 15).Draw(r, "sources") {
			t := sampleTerm{source: rapid.String().Draw(r, "source"), remedy: rapid.StringN(0, 300, -1).Draw(r, "remedy")}
			// From nothing to as much as the sheet takes, all magnitudes alike.
			t.worst = math.Pow(10, rapid.Float64Range(-6, 3).Draw(r, "worst")) * float64(rapid.IntRange(0, 1).Draw(r, "any"))
			t.sd = t.worst * rapid.Float64Range(0, 1.2).Draw(r, "sd")
			t.acrossBias = t.worst * rapid.Float64Range(-1, 1).Draw(r, "bias") * float64(rapid.IntRange(0, 1).Draw(r, "known"))
			terms = append(terms, t)
		}
		addBudget(d, terms)
	}
	for range rapid.IntRange(0, 2).Draw(r, "pairs") {
		on, odds := rapid.StringN(0, 20, -1).Draw(r, "on"), rapid.Float64Range(0, 1).Draw(r, "odds")
		d.Assembly = append(d.Assembly, jig.Assembly{Part: "template", On: on, Odds: odds})
	}
	if rapid.Bool().Draw(r, "climate") {
		d.Climate = sampleClimate()
		d.Climate.Wood = rapid.String().Draw(r, "wood")
		d.Climate.SinceMM = rapid.Float64Range(-1, 1).Draw(r, "since")
	}
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
		drawAccount(r, d)
		p, err := Drawing(d)
		if err != nil {
			r.Fatal(err)
		}
		for _, f := range faults(p.Items, inkFrame(p), false) {
			r.Error(f)
		}
		named := 0
		for _, it := range p.Items {
			if t, ok := it.(picture.Text); ok && t.Height == middle && pinID.MatchString(t.S) {
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
	if _, err := Drawing(a); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(b, a); diff != "" {
		t.Error(diff)
	}
}

func BenchmarkDrawing(b *testing.B) {
	d := samples()["bouzouki"]
	for b.Loop() {
		p, err := Drawing(d)
		if err != nil {
			b.Fatal(err)
		}
		if err := picture.WriteSVG(io.Discard, p); err != nil {
			b.Fatal(err)
		}
	}
}
