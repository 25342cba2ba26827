package picture

import (
	"bytes"
	"encoding/xml"
	"errors"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"reseat/jig/geom"
)

func svg(t interface{ Fatal(...any) }, items ...Item) string {
	var b bytes.Buffer
	p := &Picture{Title: `<&>"'` + "\x00\x1b", Size: geom.Vec{X: 420, Y: 297}, Figure: Figure{items}}
	if err := WriteSVG(&b, p); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestArcsAreThoseOfTheStandard decodes the A commands by the endpoint
// parameterization of SVG 1.1, appendix F.6.5 (recalled), and compares the
// arcs' middles with those of the geometry.
func TestArcsAreThoseOfTheStandard(t *testing.T) {
	cmdA := regexp.MustCompile(`M(\S+) (\S+) A(\S+) (\S+) 0 ([01]) ([01]) (\S+) (\S+)"`)
	rapid.Check(t, func(r *rapid.T) {
		co := rapid.Float64Range(10, 200)
		e := geom.Edge{
			P: geom.Vec{X: co.Draw(r, "px"), Y: co.Draw(r, "py")}, Q: geom.Vec{X: co.Draw(r, "qx"), Y: co.Draw(r, "qy")},
			Bulge: rapid.Float64Range(0.05, 3).Draw(r, "bulge"),
		}
		if e.P.Dist(e.Q) < 5 {
			r.Skip("a short chord says little at three decimals")
		}
		if rapid.Bool().Draw(r, "clockwise") {
			e.Bulge = -e.Bulge
		}
		m := cmdA.FindStringSubmatch(svg(t, Stroke{Pen: PenThin, Path: geom.Loop{{Vec: e.P, Bulge: e.Bulge}, {Vec: e.Q}}}))
		if m == nil {
			r.Fatal("no arc command")
		}
		var x [8]float64
		for i := range x {
			x[i], _ = strconv.ParseFloat(m[i+1], 64)
		}
		p, q, rad := geom.Vec{X: x[0], Y: x[1]}, geom.Vec{X: x[6], Y: x[7]}, x[2]
		half := p.Sub(q).Scale(0.5)
		k := math.Sqrt(math.Max(0, rad*rad-half.Dot(half))) / half.Norm()
		if x[4] == x[5] {
			k = -k
		}
		c := p.Lerp(q, 0.5).Add(geom.Vec{X: k * half.Y, Y: -k * half.X})
		a0, a1 := math.Atan2(p.Y-c.Y, p.X-c.X), math.Atan2(q.Y-c.Y, q.X-c.X)
		sweep := a1 - a0
		if x[5] == 1 && sweep < 0 {
			sweep += 2 * math.Pi
		}
		if x[5] == 0 && sweep > 0 {
			sweep -= 2 * math.Pi
		}
		got := c.Add(geom.Polar(rad, a0+sweep/2))
		got.Y = 297 - got.Y
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
	var page struct {
		Title string `xml:"title"`
		Text  string `xml:"g>text"`
	}
	text := svg(t, Text{At: geom.Vec{X: 1, Y: 1}, Height: 2.5, S: "a <b> & \"c\" \u202e\xff\ufffe'd'"})
	err := xml.Unmarshal([]byte(text), &page)
	if err != nil || page.Title != `<&>"'` || page.Text != "a <b> & \"c\" ? 'd'" {
		t.Errorf("%v: read back %q", err, page)
	}
}

type brokenWriter struct{ err error }

func (b brokenWriter) Write([]byte) (int, error) { return 0, b.err }

func TestWriterErrorIsReturned(t *testing.T) {
	full := errors.New("disk full")
	if err := WriteSVG(brokenWriter{full}, &Picture{}); !errors.Is(err, full) {
		t.Errorf("got %v, want it to wrap %v", err, full)
	}
}

func TestShorten(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"short", "short"},
		{"a name that is much too long for it", "a name that..."},
		{strings.Repeat("W", 26), "WWWWWW..."},
	} {
		if got := Shorten(c.in, 2.5, 25); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

// An arc's box holds its belly, and every mark's box moves with the mark.
func TestInkMoves(t *testing.T) {
	d := geom.Vec{X: 3, Y: -40}
	for _, it := range []Item{
		Stroke{Pen: PenOutline, Path: geom.Slot(geom.Vec{}, 0.3, 5, 4), Closed: true},
		Circle{PenThin, geom.Vec{X: 1, Y: 2}, 5},
		Fill{Loops: []geom.Loop{geom.Rect(geom.Box{Max: d})}},
		Text{At: geom.Vec{X: 7, Y: 8}, Height: 3.5, Angle: math.Pi / 2, Anchor: End, S: "upright"},
	} {
		want := it.Ink()
		want.Min, want.Max = want.Min.Add(d), want.Max.Add(d)
		if got := it.Shifted(d).Ink(); got.Min.Dist(want.Min) > 1e-9 || got.Max.Dist(want.Max) > 1e-9 {
			t.Errorf("%T: %v, want %v", it, got, want)
		}
	}
	got := Stroke{Pen: PenOutline, Path: geom.Loop{{Bulge: 1}, {Vec: geom.Vec{Y: 10}}}}.Ink()
	want := geom.Box{Min: geom.Vec{X: 0, Y: 0}, Max: geom.Vec{X: 5, Y: 10}}.Grow(WideMM / 2)
	if diff := cmp.Diff(want, got, cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) < 1e-9 })); diff != "" {
		t.Error(diff)
	}
}
