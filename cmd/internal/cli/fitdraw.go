package cli

import (
	"fmt"
	"io"
	"math"
	"strings"

	"reseat/export/picture"
	"reseat/fit"
	"reseat/jig/geom"
)

// The text drawing: so many rows between the outermost limits (or the zero line),
// so wide a zone. A zone thinner than a row is still drawn two rows high, with a
// limit at each.
const (
	drawRows  = 12
	zoneWidth = 10
	nameWidth = 8 // room for "-1005.5 "
)

// span is the range that a drawing shows, µm: every limit and the zero line.
func span(zones []zone) (low, high float64) {
	for _, z := range zones {
		low, high = math.Min(low, z.limits.Lower), math.Max(high, z.limits.Upper)
	}
	return low, high
}

// drawZonesText draws the zones side by side on the zero line, each limit beside
// its edge in µm. To scale within a row.
func drawZonesText(w io.Writer, zones []zone, size string) {
	low, high := span(zones)
	perRow := (high - low) / drawRows
	row := func(um float64) int { return int(math.Round((high - um) / perRow)) }
	last := row(low)
	tops, bottoms := make([]int, len(zones)), make([]int, len(zones))
	first := 0
	for i, z := range zones {
		tops[i], bottoms[i] = row(z.limits.Upper), row(z.limits.Lower)
		if tops[i] == bottoms[i] { // thinner than a row: grow away from the zero line
			if z.limits.Lower >= 0 {
				tops[i]--
			} else {
				bottoms[i]++
			}
		}
		first, last = min(first, tops[i]), max(last, bottoms[i])
	}
	zero := row(0)
	blank := func(n int, r int) string {
		if r == zero {
			return strings.Repeat("-", n)
		}
		return strings.Repeat(" ", n)
	}
	fill := func(n int, r int) string {
		if r == zero {
			return strings.Repeat("=", n) // the zero line behind the zone
		}
		return strings.Repeat("#", n)
	}
	for r := first; r <= last; r++ {
		var b strings.Builder
		for i, z := range zones {
			label := ""
			switch r {
			case tops[i]:
				label = um(z.limits.Upper)
			case bottoms[i]:
				label = um(z.limits.Lower)
			}
			if label == "" {
				b.WriteString(blank(nameWidth, r))
			} else {
				label += " "
				b.WriteString(blank(nameWidth-len(label), r) + label)
			}
			switch mid := (tops[i] + bottoms[i]) / 2; {
			case r < tops[i] || r > bottoms[i]:
				b.WriteString(blank(zoneWidth, r))
			case r == mid:
				name := z.class.String()
				side := (zoneWidth - len(name) - 2) / 2
				b.WriteString(fill(side, r) + " " + name + " " + fill(zoneWidth-len(name)-2-side, r))
			default:
				b.WriteString(fill(zoneWidth, r))
			}
		}
		if r == zero {
			b.WriteString("---- 0 = " + size)
		}
		fmt.Fprintln(w, strings.TrimRight("  "+b.String(), " "))
	}
}

// The picture, in mm on paper.
const (
	picWidth, picHeight = 100.0, 80.0
	picLow, picHigh     = 10.0, 66.0 // where the outermost limits lie
	picLeft, picZone    = 26.0, 24.0 // first zone's left edge, a zone's width
	picGap              = 14.0       // between the zones
	picNames            = 3.0        // where the classes stand, below everything
	picText             = 2.5        // lettering height, ISO 3098 series
)

// zoneColours are a hole's and a shaft's fill; both print as different greys.
var zoneColours = map[bool]picture.Colour{true: {0x9c, 0xc3, 0xe6}, false: {0xf2, 0xc1, 0x4e}}

// drawZones draws the zones to scale as a picture of its own.
func drawZones(spec fit.Spec, zones []zone) *picture.Picture {
	low, high := span(zones)
	y := func(um float64) float64 { return picLow + (um-low)/(high-low)*(picHigh-picLow) }
	p := &picture.Picture{Title: spec.String(), Size: geom.Vec{X: picWidth, Y: picHeight}}
	p.Text(geom.Vec{X: 6, Y: 72}, picText, picture.Start, spec.String()+", deviations in µm")
	for i, z := range zones {
		x := picLeft + float64(i)*(picZone+picGap)
		box := geom.Box{Min: geom.Vec{X: x, Y: y(z.limits.Lower)}, Max: geom.Vec{X: x + picZone, Y: y(z.limits.Upper)}}
		p.Add(picture.Fill{Loops: []geom.Loop{geom.Rect(box)}, Colour: zoneColours[z.class.IsHole()]})
		p.Box(picture.PenThin, box)
		const apart = 1.4 * picText // the two figures, also on a thin zone
		lower, upper := box.Min.Y-picText/2, box.Max.Y-picText/2
		if thin := apart - (upper - lower); thin > 0 {
			lower, upper = lower-thin/2, upper+thin/2
		}
		for _, l := range []struct{ um, y float64 }{{z.limits.Upper, upper}, {z.limits.Lower, lower}} {
			if l.um != 0 { // the zero line has its own figure
				p.Text(geom.Vec{X: x - 1, Y: offLine(l.um, l.y, y(0))}, picText, picture.End, um(l.um))
			}
		}
		p.Text(geom.Vec{X: x + picZone/2, Y: picNames}, picText, picture.Middle, z.class.String())
	}
	p.Line(picture.PenOutline, geom.Vec{X: 4, Y: y(0)}, geom.Vec{X: picWidth - 4, Y: y(0)})
	p.Text(geom.Vec{X: 4, Y: y(0) + 1}, picText, picture.Start, "0")
	return p
}

// offLine keeps a figure whose baseline is at y off the zero line, on its own side.
func offLine(um, y, zero float64) float64 {
	const air = 0.8 // mm between lettering and line
	if um > 0 {
		return math.Max(y, zero+air)
	}
	return math.Min(y, zero-picText-air)
}
