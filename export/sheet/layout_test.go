package sheet

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

// faults looks at a finished sheet as a draughtsman would and names what is
// wrong: text on text, text on a wide line, ink outside the frame.
func faults(items []picture.Item, frame geom.Box) []string {
	var out []string
	var texts []picture.Text
	for _, it := range items {
		if ink := it.Ink(); !within(frame, ink) {
			out = append(out, fmt.Sprintf("%T %v leaves the frame %v", it, ink, frame))
		}
		if t, ok := it.(picture.Text); ok {
			texts = append(texts, t)
		}
	}
	for i, t := range texts {
		box := t.Ink()
		for _, u := range texts[i+1:] {
			if overlap(box, u.Ink()) {
				out = append(out, fmt.Sprintf("text %q lies on text %q at %v", t.S, u.S, t.At))
			}
		}
		for _, it := range items {
			w := penWidth(it)
			if w < picture.WideMM {
				continue
			}
			for _, c := range chords(it) {
				if crosses(box.Grow(w/2), c[0], c[1]) {
					out = append(out, fmt.Sprintf("text %q lies on a wide line at %v", t.S, t.At))
					break
				}
			}
		}
	}
	return out
}

// onNarrowLines counts texts that a narrow line crosses.
func onNarrowLines(items []picture.Item) []string {
	var out []string
	for _, it := range items {
		t, ok := it.(picture.Text)
		if !ok {
			continue
		}
		for _, other := range items {
			hitBy := false
			for _, c := range chords(other) {
				hitBy = hitBy || crosses(t.Ink(), c[0], c[1])
			}
			if hitBy {
				out = append(out, t.S)
				break
			}
		}
	}
	return out
}

// inkFrame returns what all ink of a sheet lies within: its frame, line included.
func inkFrame(l *picture.Picture) geom.Box {
	return size{w: l.Size.X, h: l.Size.Y}.frame().Grow(picture.FrameMM / 2)
}

func TestFaultsAreSeen(t *testing.T) {
	// The judge itself must be able to fail.
	frame := geom.Box{Max: v(100, 100)}
	txt := picture.Text{At: v(20, 20), Height: 3.5, S: "hello"}
	for _, c := range []struct {
		name  string
		items []picture.Item
		want  string
	}{
		{"text on text", []picture.Item{txt, picture.Text{At: v(25, 21), Height: 3.5, S: "there"}}, "lies on text"},
		{"text on a wide line", []picture.Item{txt, picture.Stroke{Pen: picture.PenOutline, Path: []geom.Vertex{{Vec: v(0, 21)}, {Vec: v(90, 22)}}}}, "wide line"},
		{"text on a wide circle", []picture.Item{txt, picture.Circle{Pen: picture.PenOutline, C: v(20, 10), R: 11}}, "wide line"},
		{"ink outside", []picture.Item{picture.Circle{Pen: picture.PenThin, C: v(1, 50), R: 1}}, "leaves the frame"},
		{"upright text outside", []picture.Item{picture.Text{At: v(50, 95), Height: 3.5, S: "hello", Angle: quarter}}, "leaves the frame"},
		{"all well", []picture.Item{txt, picture.Text{At: v(20, 50), Height: 3.5, S: "there"}, picture.Circle{Pen: picture.PenOutline, C: v(22, 21), R: 12}}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := strings.Join(faults(c.items, frame), "; ")
			if c.want == "" && got != "" || !strings.Contains(got, c.want) {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

func TestSampleSheetsAreClean(t *testing.T) {
	for name, d := range samples() {
		t.Run(name, func(t *testing.T) {
			l, err := Drawing(d)
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range faults(l.Items, inkFrame(l)) {
				t.Error(f)
			}
			if on := onNarrowLines(l.Items); len(on) > 0 {
				t.Errorf("narrow lines cross %q", on)
			}
			words := ""
			for _, it := range l.Items {
				if s, ok := it.(picture.Text); ok {
					words += s.S + "\n"
				}
			}
			for _, p := range d.Pins {
				// Once at the hole, once in the table.
				if n := strings.Count(words, p.ID+"\n"); n < 2 {
					t.Errorf("pin %s is named %d times, want at the hole and in the table", p.ID, n)
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
		d.Assembly = append(d.Assembly, jig.Assembly{Part: "template", On: rapid.StringN(0, 20, -1).Draw(r, "on"), Odds: rapid.Float64Range(0, 1).Draw(r, "odds")})
	}
	if rapid.Bool().Draw(r, "climate") {
		d.Climate = sampleClimate()
		d.Climate.Wood = rapid.String().Draw(r, "wood")
		d.Climate.ClearanceLeftMM = rapid.Float64Range(-1, 1).Draw(r, "left")
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
		if !s.seatPins {
			s.stops = rapid.Bool().Draw(r, "stops")
		}
		for range rapid.IntRange(0, 4).Draw(r, "keep-outs") {
			at := v(rapid.Float64Range(-200, s.length).Draw(r, "from u"), rapid.Float64Range(-150, 100).Draw(r, "from v"))
			size := v(rapid.Float64Range(0.1, s.length+400).Draw(r, "long"), rapid.Float64Range(0.1, 200).Draw(r, "wide"))
			s.keepOut = append(s.keepOut, jig.KeepOut{Name: rapid.String().Draw(r, "keep-out"), Box: geom.Box{Min: at, Max: at.Add(size)}})
		}
		n := rapid.IntRange(0, 24).Draw(r, "dots")
		for i := range n {
			s.dots = append(s.dots, s.length*float64(i+1)/float64(n+1))
		}
		for range rapid.IntRange(0, 15).Draw(r, "rules") {
			s.rules = append(s.rules, jig.Rule{ID: rapid.StringN(0, 40, -1).Draw(r, "id"), Level: jig.Warn, Says: rapid.StringN(0, 300, -1).Draw(r, "says")})
		}
		d := sample(s)
		d.Template.Material = rapid.String().Draw(r, "material")
		d.JobFile = rapid.String().Draw(r, "file")
		drawAccount(r, d)
		l, err := Drawing(d)
		if err != nil {
			r.Fatal(err)
		}
		for _, f := range faults(l.Items, inkFrame(l)) {
			r.Error(f)
		}
		named := 0
		for _, it := range l.Items {
			if t, ok := it.(picture.Text); ok && t.Height == middle && pinID.MatchString(t.S) {
				named++
			}
		}
		if named < len(d.Pins) {
			r.Errorf("%d of %d pins are named at their holes", named, len(d.Pins))
		}
	})
}
