package cli

import (
	"fmt"
	"io"
	"math"
	"strings"

	"reseat/fit"
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
	picTop, picBottom   = 14.0, 70.0 // where the outermost limits lie
	picLeft, picZone    = 26.0, 24.0 // first zone's left edge, a zone's width
	picGap              = 14.0       // between the zones
	picNames            = 77.0       // where the classes stand, below everything
	picText             = 3.5        // lettering height, ISO 3098 series
)

// zoneColours are a hole's and a shaft's fill; both print as different greys.
var zoneColours = map[bool]string{true: "#9cc3e6", false: "#f2c14e"}

// drawZonesSVG draws the zones to scale as a picture of its own, in mm, on white.
func drawZonesSVG(w io.Writer, spec fit.Spec, zones []zone) error {
	low, high := span(zones)
	y := func(um float64) float64 { return picTop + (high-um)/(high-low)*(picBottom-picTop) }
	var b strings.Builder
	p := func(format string, a ...any) { fmt.Fprintf(&b, format+"\n", a...) }
	p(`<?xml version="1.0" encoding="UTF-8"?>`)
	p(`<svg xmlns="http://www.w3.org/2000/svg" width="%[1]gmm" height="%[2]gmm" viewBox="0 0 %[1]g %[2]g">`, picWidth, picHeight)
	p(`<title>%s</title>`, spec)
	p(`<rect width="%g" height="%g" fill="#ffffff"/>`, picWidth, picHeight)
	p(`<g font-family="sans-serif" font-size="%g" fill="#000000">`, picText)
	p(`<text x="6" y="8">%s, deviations in &#181;m</text>`, spec)
	for i, z := range zones {
		x := picLeft + float64(i)*(picZone+picGap)
		top, bottom := y(z.limits.Upper), y(z.limits.Lower)
		p(`<rect x="%s" y="%s" width="%s" height="%s" fill="%s" stroke="#000000" stroke-width="0.25"/>`,
			num(x, 3), num(top, 3), num(picZone, 3), num(bottom-top, 3), zoneColours[z.class.IsHole()])
		upper, lower := top+picText/3, bottom+picText/3
		if lower-upper < picText { // keep the two figures apart on a thin zone
			mid := (upper + lower) / 2
			upper, lower = mid-picText/2, mid+picText/2
		}
		for _, l := range []struct{ um, y float64 }{{z.limits.Upper, upper}, {z.limits.Lower, lower}} {
			if l.um != 0 { // the zero line has its own figure
				p(`<text x="%s" y="%s" text-anchor="end">%s</text>`, num(x-1, 3), num(offLine(l.um, l.y, y(0)), 3), um(l.um))
			}
		}
		p(`<text x="%s" y="%s" text-anchor="middle">%s</text>`, num(x+picZone/2, 3), num(picNames, 3), z.class)
	}
	p(`<path d="M4 %[1]sH%[2]g" stroke="#000000" stroke-width="0.5"/>`, num(y(0), 3), picWidth-4)
	p(`<text x="4" y="%s">0</text>`, num(y(0)-1, 3))
	p(`</g>`)
	p(`</svg>`)
	_, err := io.WriteString(w, b.String())
	return err
}

// offLine keeps a figure that stands at y off the zero line, on its own side.
func offLine(um, y, zero float64) float64 {
	const air = 0.8 // mm between lettering and line
	if um > 0 {
		return math.Min(y, zero-air)
	}
	return math.Max(y, zero+picText)
}
