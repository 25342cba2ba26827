package cli

import (
	"bytes"
	"fmt"
	"html"
	"math"

	"reseat/jig/measure"
)

// The chart of the residuals, in mm on paper: stations to the right, how far a
// reading lies from the fitted straight line upwards, so that the board's left is up
// when it is seen with the start end to the left.
const (
	chartWidth, chartHeight = 160.0, 80.0
	chartLeft, chartRight   = 20.0, 154.0 // the board's start and far end
	chartTop, chartBottom   = 22.0, 66.0  // one full scale to the left and to the right
	chartText               = 3.5         // lettering height, ISO 3098 series
	chartDot                = 1.1         // half a mark's size
	chartTitle              = 60          // characters that fit beside the verdict
)

// chartMarks tell the lines of the board apart without colour.
var chartMarks = map[measure.Edge]string{
	measure.OnDatum: `<path d="M%[1]s %[2]sm-%[3]g 0l%[3]g -%[3]g l%[3]g %[3]g l-%[3]g %[3]gz"/>`,
	measure.OnLeft:  `<path d="M%[1]s %[2]sm-%[3]g %[3]gl%[3]g -%[4]g l%[3]g %[4]gz"/>`,
	measure.OnRight: `<path d="M%[1]s %[2]sm-%[3]g -%[3]gl%[3]g %[4]g l%[3]g -%[4]gz"/>`,
}

// drawDatum draws the chart that the terminal shows as a picture of its own. Every
// reading is drawn.
func drawDatum(j datumJob, r measure.DatumReport) []byte {
	off := fromLine(r)
	scale := chartScale(off)
	if r.Bow != nil && r.Bow.Significant {
		scale = chartScale(append([]float64{r.Bow.SagittaMM}, off...))
	}
	first, last := 0.0, j.lengthMM
	for _, x := range r.Residuals {
		first, last = math.Min(first, x.StationMM), math.Max(last, x.StationMM)
	}
	mid := (chartTop + chartBottom) / 2
	px := func(station float64) float64 {
		return chartLeft + (station-first)/(last-first)*(chartRight-chartLeft)
	}
	py := func(left float64) float64 { return mid - left/scale*(chartBottom-chartTop)/2 }
	var b bytes.Buffer
	p := func(format string, a ...any) { fmt.Fprintf(&b, format+"\n", a...) }
	p(`<?xml version="1.0" encoding="UTF-8"?>`)
	p(`<svg xmlns="http://www.w3.org/2000/svg" width="%[1]gmm" height="%[2]gmm" viewBox="0 0 %[1]g %[2]g">`, chartWidth, chartHeight)
	p(`<title>%s: %s</title>`, html.EscapeString(j.title), r.Verdict)
	p(`<rect width="%g" height="%g" fill="#ffffff"/>`, chartWidth, chartHeight)
	p(`<g font-family="sans-serif" font-size="%g" fill="#000000">`, chartText)
	title := []rune(j.title)
	if len(title) > chartTitle {
		title = append(title[:chartTitle-3:chartTitle-3], []rune("...")...)
	}
	p(`<text x="6" y="8">%s: %s</text>`, html.EscapeString(string(title)), r.Verdict)
	give := ""
	if u := r.Uncertainty; u != nil {
		give = fmt.Sprintf(" &#177; %s", fixed(u.RunoutHalfMM, 3))
	}
	p(`<text x="6" y="13.5">runout %s%s mm, tolerance %s mm</text>`, fixed(r.RunoutMM, 3), give, fixed(r.ToleranceMM, 3))

	p(`<g stroke="#999999" stroke-width="0.18">`)
	for _, y := range []float64{scale, scale / 2, -scale / 2, -scale} {
		p(`<path d="M%g %sH%g"/>`, chartLeft, num(py(y), 3), chartRight)
	}
	p(`<path d="M%[1]s %[3]gV%[4]gM%[2]s %[3]gV%[4]g"/>`, num(px(0), 3), num(px(j.lengthMM), 3), chartTop, chartBottom)
	p(`</g>`)
	p(`<path d="M%g %gH%g" stroke="#000000" stroke-width="0.35"/>`, chartLeft, mid, chartRight)
	for _, y := range []float64{scale, scale / 2, 0, -scale / 2, -scale} {
		p(`<text x="%g" y="%s" text-anchor="end">%s</text>`, chartLeft-1.5, num(py(y)+chartText/3, 3), plusMinus(y, decimals(scale/2)))
	}
	p(`<text x="3" y="%s">left</text>`, num(py(scale*0.75)+chartText/3, 3))
	p(`<text x="3" y="%s">right</text>`, num(py(-scale*0.75)+chartText/3, 3))
	p(`<text x="%s" y="%g" text-anchor="middle">start</text>`, num(px(0), 3), chartBottom+chartText+1.5)
	p(`<text x="%s" y="%g" text-anchor="end">far end, %s</text>`, num(px(j.lengthMM), 3), chartBottom+chartText+1.5, num(j.lengthMM, 2))

	if bow := r.Bow; bow != nil && bow.Significant {
		drawBow(p, px, py, j.lengthMM, bow.SagittaMM)
	}
	for i, x := range r.Residuals {
		X, Y := px(x.StationMM), py(off[i])
		p(`<path d="M%s %gV%s" stroke="#000000" stroke-width="0.18"/>`, num(X, 3), mid, num(Y, 3))
		p(chartMarks[x.On], num(X, 3), num(Y, 3), chartDot, 2*chartDot)
		if o := r.Outlier; o != nil && o.Line == x.Line {
			p(`<circle cx="%s" cy="%s" r="%g" fill="none" stroke="#000000" stroke-width="0.35"/>`, num(X, 3), num(Y, 3), 2.5*chartDot)
			anchor, dx := "start", 3*chartDot
			if X > (chartLeft+chartRight)/2 {
				anchor, dx = "end", -3*chartDot
			}
			p(`<text x="%s" y="%s" text-anchor="%s">line %d does not belong</text>`, num(X+dx, 3), num(Y+chartText/3, 3), anchor, x.Line)
		}
	}
	at := chartLeft
	for _, e := range r.UsedEdges {
		p(chartMarks[e], num(at, 3), num(chartHeight-4-chartText/3, 3), chartDot, 2*chartDot)
		p(`<text x="%s" y="%g">%s</text>`, num(at+2.5, 3), chartHeight-4, e)
		at += 22
	}
	p(`<text x="%g" y="%g" text-anchor="end">from the fitted straight line, mm</text>`, chartRight, chartHeight-4)
	p(`</g>`)
	p(`</svg>`)
	return b.Bytes()
}

// bowChords is how many chords a bow is drawn with; a hundredth of the picture's
// width each is smooth to the eye.
const bowChords = 50

// drawBow draws the parabola over the chord between the board's ends, which is the
// straight line that the readings are drawn from, with the fitted sagitta.
func drawBow(p func(string, ...any), px, py func(float64) float64, length, sagitta float64) {
	d := ""
	for i := range bowChords + 1 {
		t := float64(i) / bowChords
		op := "L"
		if i == 0 {
			op = "M"
		}
		d += fmt.Sprintf("%s%s %s", op, num(px(t*length), 3), num(py(4*sagitta*t*(1-t)), 3))
	}
	p(`<path d="%s" fill="none" stroke="#000000" stroke-width="0.25" stroke-dasharray="2 1"/>`, d)
}

// decimals is how many decimals a step of a scale takes: 0.025 takes 3.
func decimals(step float64) int {
	for n := range 6 {
		if k := step * math.Pow(10, float64(n)); math.Abs(k-math.Round(k)) < 1e-6 { // rounding of the power
			return n
		}
	}
	return 6
}
