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
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"reseat/jig/geom"
)

var update = flag.Bool("update", false, "rewrite the golden files")

func svg(t testing.TB, l *List) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := WriteSVG(&b, l); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func drawn(t testing.TB, name string) *List {
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
					if at["width"] != num(l.Size.X)+"mm" || at["height"] != num(l.Size.Y)+"mm" ||
						at["viewBox"] != fmt.Sprintf("0 0 %s %s", num(l.Size.X), num(l.Size.Y)) {
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
			if title != plain(d.Title) {
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

// TestArcsAreThoseOfTheStandard decodes the A commands by the endpoint
// parameterization of SVG 1.1, appendix F.6.5 (recalled), and compares the
// arcs' middles with those of the geometry.
func TestArcsAreThoseOfTheStandard(t *testing.T) {
	cmdA := regexp.MustCompile(`M(\S+) (\S+) A(\S+) (\S+) 0 ([01]) ([01]) (\S+) (\S+)"`)
	rapid.Check(t, func(r *rapid.T) {
		co := rapid.Float64Range(10, 200)
		e := geom.Edge{
			P: v(co.Draw(r, "px"), co.Draw(r, "py")), Q: v(co.Draw(r, "qx"), co.Draw(r, "qy")),
			Bulge: rapid.Float64Range(0.05, 3).Draw(r, "bulge"),
		}
		if e.P.Dist(e.Q) < 5 {
			r.Skip("a short chord says little at three decimals")
		}
		if rapid.Bool().Draw(r, "clockwise") {
			e.Bulge = -e.Bulge
		}
		const height = 297.0
		l := &List{Size: v(420, height), Items: []Item{Stroke{Pen: PenThin, Path: []geom.Vertex{{Vec: e.P, Bulge: e.Bulge}, {Vec: e.Q}}}}}
		m := cmdA.FindStringSubmatch(string(svg(t, l)))
		if m == nil {
			r.Fatal("no arc command")
		}
		var x [8]float64
		for i := range x {
			x[i] = number(t, m[i+1])
		}
		p, q, rad := v(x[0], x[1]), v(x[6], x[7]), x[2]
		half := p.Sub(q).Scale(0.5)
		k := math.Sqrt(math.Max(0, rad*rad-half.Dot(half))) / half.Norm()
		if x[4] == x[5] {
			k = -k
		}
		c := v(k*half.Y, -k*half.X).Add(p.Lerp(q, 0.5))
		a0, a1 := math.Atan2(p.Y-c.Y, p.X-c.X), math.Atan2(q.Y-c.Y, q.X-c.X)
		sweep := a1 - a0
		if x[5] == 1 && sweep < 0 {
			sweep += 2 * math.Pi
		}
		if x[5] == 0 && sweep > 0 {
			sweep -= 2 * math.Pi
		}
		got := c.Add(geom.Polar(rad, a0+sweep/2))
		got.Y = height - got.Y
		// The centre of a nearly half arc is found from a small difference of
		// rounded numbers: with radius and half chord off by d together, it is off by
		// sqrt(2 r d). The largest half arc here has r = 134, and three decimals leave
		// d = 0.0005 + 0.0007.
		const tol = 0.57
		if want := e.Arc().At(0.5); got.Dist(want) > tol {
			r.Errorf("middle of the arc at %v, want %v", got, want)
		}
	})
}

func TestTextIsEscaped(t *testing.T) {
	l := &List{Title: `<&>"'` + "\x00\x1b", Size: v(10, 10), Items: []Item{Text{At: v(1, 1), Height: 2.5, S: "a <b> & \"c\" \u202e\xff\ufffe'd'"}}}
	var texts []string
	dec := xml.NewDecoder(bytes.NewReader(svg(t, l)))
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if c, ok := tok.(xml.CharData); ok && strings.TrimSpace(string(c)) != "" {
			texts = append(texts, string(c))
		}
	}
	if diff := cmp.Diff([]string{`<&>"'`, "a <b> & \"c\" ? 'd'"}, texts); diff != "" {
		t.Error(diff)
	}
}

func TestWriterErrorIsReturned(t *testing.T) {
	full := errors.New("disk full")
	if err := WriteSVG(brokenWriter{full}, drawn(t, "tiny")); !errors.Is(err, full) {
		t.Errorf("got %v, want it to wrap %v", err, full)
	}
	if err := WriteSVG(io.Discard, nil); err == nil {
		t.Error("a missing list was written")
	}
}

type brokenWriter struct{ err error }

func (b brokenWriter) Write([]byte) (int, error) { return 0, b.err }

func TestNum(t *testing.T) {
	for in, want := range map[float64]string{0: "0", -0.0004: "0", 100: "100", 0.0625: "0.062", 1.5: "1.5", -2.25: "-2.25", 1200: "1200"} {
		if got := num(in); got != want {
			t.Errorf("num(%v) = %q, want %q", in, got, want)
		}
	}
}
