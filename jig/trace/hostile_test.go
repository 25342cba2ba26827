package trace

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"reseat/jig/geom"
)

// TestHostile: drawings made to take long. Each is a board or an error; -v shows how long it took.
func TestHostile(t *testing.T) {
	n := 300 // too few for what is refused for its number
	checks, err := strconv.Atoi(os.Getenv("RAPID_CHECKS"))
	deep := err == nil && checks > 100
	if deep {
		n = mostPieces
	}
	ring := func(at func(i int) geom.Vec, n int) []byte {
		d := millimetres()
		var groups []any
		for i := range n {
			p := at(i)
			groups = append(groups, 10, p.X, 20, p.Y)
		}
		return d.add("LWPOLYLINE", "0", append([]any{70, 1}, groups...)...).text()
	}
	each := func(add func(d *drawing, i int)) []byte {
		d := millimetres()
		for i := range n {
			add(d, i)
		}
		return d.text()
	}
	for _, c := range []struct {
		name string
		data []byte
		says string
	}{
		{"a circle of many corners", ring(func(i int) geom.Vec {
			return geom.Polar(200, 2*math.Pi*float64(i)/float64(n))
		}, n), ""},
		{"one more than there may be", ring(func(i int) geom.Vec { return geom.Polar(200, float64(i)) }, mostPieces+1), "more than 10000"},
		{"a star whose every line crosses every other", ring(func(i int) geom.Vec {
			return geom.Polar(200, math.Pi*float64(i)*(1+1/float64(n-1)))
		}, n-1), "crosses or touches itself"},
		{"a comb of slanting teeth", ring(func(i int) geom.Vec {
			switch {
			case i == n-2:
				return vec(1000, -10)
			case i == n-1:
				return vec(-10, -10)
			}
			return vec(float64(i)*0.02+190*float64(i%2), 190*float64(i%2))
		}, n), "lie abreast"},
		{"all ends at one place", each(func(d *drawing, i int) {
			p := geom.Polar(100, 2*math.Pi*float64(i)/float64(n))
			d.line("0", 0, 0, p.X, p.Y)
		}), "LINE 2"},
		{"all ends nearly at one place", each(func(d *drawing, i int) {
			p := geom.Polar(100, 2*math.Pi*float64(i)/float64(n))
			d.line("0", p.X/1e5, p.Y/1e5, p.X, p.Y)
		}), "more than two ends meet"},
		{"as many lines, none near another", each(func(d *drawing, i int) {
			d.line("0", float64(i), 0, float64(i)+0.5, 1)
		}), "an open end"},
		{"the same line over and over", each(func(d *drawing, _ int) { d.line("0", 0, 0, 100, 0) }), "an open end"},
		{"rings in rings", each(func(d *drawing, i int) {
			if i < n/2 {
				d.circle("0", 0, 0, 1+float64(i)/10)
			}
		}), "lie abreast"},
		{"as many holes", each(func(d *drawing, i int) {
			if i < n/2-2 {
				d.circle("0", float64(i%100), float64(i/100), 0.3)
			} else if i == n-1 {
				d.rect("0", -1, -1, 100, 100)
			}
		}), ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			start := time.Now()
			_, err := Outline(c.data, Want{})
			t.Logf("%v", time.Since(start))
			if c.says == "lie abreast" && !deep {
				c.says = map[bool]string{true: "within a hole"}[strings.HasPrefix(c.name, "rings")]
			}
			if c.says == "" && err != nil || c.says != "" && (err == nil || !strings.Contains(err.Error(), c.says)) {
				t.Errorf("%.300v; want %q", err, c.says)
			}
		})
	}
}

func FuzzOutline(f *testing.F) {
	b, err := os.ReadFile(filepath.Join("..", "dxfread", "testdata", "r12.dxf"))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(b, "EDGE", "", "DOTS", 0.02)
	f.Add(stadium(millimetres(), 0.01).line("CENTRE", 90, 0, 10, 0).text(), "", "CENTRE", "", 0.1)
	f.Add(millimetres().rect("0", 0, 0, 9, 9).circle("0", 4, 4, 1).text(), "", "", "0", 0.02)
	f.Fuzz(func(t *testing.T, data []byte, layer, datum, features string, gap float64) {
		if !(gap > 0 && gap < 10) {
			return
		}
		b, err := Outline(data, Want{Layer: layer, Datum: Datum{Layer: datum}, Features: features, GapMM: gap})
		if err != nil {
			if err.Error() == "" {
				t.Fatal("an error without a word")
			}
			return
		}
		for i, l := range append([]geom.Loop{b.Outline}, b.Holes...) {
			if area := l.Area(); !(area > 0 == (i == 0)) || len(l) < 2 {
				t.Fatalf("contour %d: %v, area %g", i, l, area)
			}
			for _, v := range l {
				if !(math.Abs(v.X)+math.Abs(v.Y) < 1e12 && math.Abs(v.Bulge) <= 1) {
					t.Fatal(fmt.Sprint(v))
				}
			}
		}
		if u := b.Outline.Bounds().Min.X; math.Abs(u) > 1e-3 {
			t.Fatalf("the outline begins at u = %g", u)
		}
	})
}
