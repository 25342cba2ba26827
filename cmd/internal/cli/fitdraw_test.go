package cli

import (
	"math"
	"strings"
	"testing"

	"reseat/export/picture"
	"reseat/fit"
	"reseat/jig/geom"
	"reseat/jig/units"
)

// zonesFor reads a spec as the command does.
func zonesFor(t interface{ Fatal(...any) }, text string) (fit.Spec, []zone) {
	spec, err := fit.ParseSpec(text)
	if err != nil {
		t.Fatal(err)
	}
	zones, err := zonesOf(spec)
	if err != nil {
		t.Fatal(err)
	}
	return spec, zones
}

var drawnSpecs = []string{
	"6 H7/m6", "6 H7/a9", "6 A9/a9", "6 JS7/js6", "500 H01/h01", "500 A13/zc11", "0.5 H7/h6", "6 h6", "6 ZC7",
}

// Every zone, each limit and the zero line are in the drawing, and it stays small.
func TestDrawZonesText(t *testing.T) {
	for _, text := range drawnSpecs {
		t.Run(text, func(t *testing.T) {
			spec, zones := zonesFor(t, text)
			var b strings.Builder
			drawZonesText(&b, zones, sizeName(spec.SizeMM, false))
			got := b.String()
			for _, z := range zones {
				for _, want := range []string{" " + z.class.String() + " ", um(z.limits.Upper) + " ", um(z.limits.Lower) + " "} {
					if !strings.Contains(got, want) {
						t.Errorf("no %q in\n%s", want, got)
					}
				}
			}
			if n := strings.Count(got, "0 = "); n != 1 {
				t.Errorf("%d zero lines in\n%s", n, got)
			}
			lines := strings.Split(strings.TrimRight(got, "\n"), "\n")
			if len(lines) > drawRows+3 {
				t.Errorf("%d lines", len(lines))
			}
			for _, l := range lines {
				if strings.TrimRight(l, " ") != l || len(l) > 80 {
					t.Errorf("line %q", l)
				}
			}
		})
	}
}

// Each zone is drawn to scale between its limits and everything lies on the sheet,
// no figure on the zero line.
func TestDrawZones(t *testing.T) {
	for _, text := range drawnSpecs {
		spec, zones := zonesFor(t, text)
		p := drawZones(spec, zones)
		var areas []geom.Box
		var texts []geom.Box
		zero := math.NaN()
		for _, it := range p.Items {
			ink := it.Ink()
			if ink.Min.X < 0 || ink.Min.Y < 0 || ink.Max.X > picWidth || ink.Max.Y > picHeight {
				t.Errorf("%s: %v lies off the sheet", text, it)
			}
			switch it := it.(type) {
			case picture.Fill:
				areas = append(areas, ink)
			case picture.Text:
				if it.Anchor == picture.End {
					texts = append(texts, ink)
				}
			case picture.Stroke:
				if it.Pen == picture.PenOutline {
					zero = it.Path[0].Y
				}
			}
		}
		low, high := span(zones)
		scale := (picHigh - picLow) / (high - low)
		for i, z := range zones {
			got, want := areas[i], geom.Box{Min: geom.Vec{Y: zero + scale*z.limits.Lower},
				Max: geom.Vec{Y: zero + scale*z.limits.Upper}}
			if math.Abs(got.Min.Y-want.Min.Y) > 1e-9 || math.Abs(got.Max.Y-want.Max.Y) > 1e-9 {
				t.Errorf("%s: %v, want %v", z.class, got, want)
			}
		}
		for _, b := range texts {
			if b.Min.Y < zero && zero < b.Max.Y {
				t.Errorf("%s: a figure lies on the zero line", text)
			}
		}
	}
}

func TestInchName(t *testing.T) {
	for _, c := range []struct {
		in   float64 // inches
		want string
	}{
		{0.25, "1/4"}, {1, "1"}, {1.5, "1 1/2"}, {3.0 / 64, "3/64"}, {0.188, "0.188"}, {0.001, "0.001"},
	} {
		if got := units.Inches(c.in * units.MMPerInch); got != c.want {
			t.Errorf("%g in: %s, want %s", c.in, got, c.want)
		}
	}
}
