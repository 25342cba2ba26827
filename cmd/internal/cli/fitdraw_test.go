package cli

import (
	"encoding/xml"
	"io"
	"strconv"
	"strings"
	"testing"

	"reseat/fit"
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

// The picture is well formed, in mm, white behind, each zone to scale between the
// limits and everything on the sheet.
func TestDrawZonesSVG(t *testing.T) {
	for _, text := range drawnSpecs {
		spec, zones := zonesFor(t, text)
		var b strings.Builder
		if err := drawZonesSVG(&b, spec, zones); err != nil {
			t.Fatal(err)
		}
		type rect struct{ y, height float64 }
		var rects []rect
		dec := xml.NewDecoder(strings.NewReader(b.String()))
		for {
			tok, err := dec.Token()
			if err == io.EOF {
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
				if at["width"] != "100mm" || at["height"] != "80mm" || at["viewBox"] != "0 0 100 80" {
					t.Fatalf("%v", at)
				}
			case "rect":
				y, _ := strconv.ParseFloat(at["y"], 64)
				h, _ := strconv.ParseFloat(at["height"], 64)
				rects = append(rects, rect{y, h})
			case "text":
				if y, err := strconv.ParseFloat(at["y"], 64); err != nil || y < picText || y > picHeight {
					t.Fatalf("lettering at %s", at["y"])
				}
			}
		}
		if len(rects) != 1+len(zones) || rects[0] != (rect{0, picHeight}) {
			t.Fatalf("rectangles %v: want the white sheet, then the zones", rects)
		}
		low, high := span(zones)
		scale := (picBottom - picTop) / (high - low)
		const drawn = 0.002 // mm: coordinates have three decimals
		for i, z := range zones {
			want := rect{picTop + (high-z.limits.Upper)*scale, z.limits.Width() * scale}
			if d := rects[i+1]; d.y-want.y > drawn || want.y-d.y > drawn || d.height-want.height > drawn || want.height-d.height > drawn {
				t.Fatalf("%s: %v, want %v", z.class, d, want)
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
