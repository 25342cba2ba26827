package measuring

import (
	"fmt"
	"math"

	"reseat/export/picture"
	"reseat/jig/geom"
	"reseat/jig/measure"
	"reseat/jig/reading"
	"reseat/jig/units"
)

// The chart of the residuals, in mm on paper: stations to the right, how far a
// reading lies from the fitted straight line upwards, so that the board's left is up
// when it is seen with the start end to the left.
const (
	chartWidth, chartHeight = 160.0, 80.0
	chartLeft, chartRight   = 20.0, 154.0 // the board's start and far end
	chartLow, chartHigh     = 14.0, 58.0  // one full scale to the right and to the left
	chartMid                = (chartLow + chartHigh) / 2
	chartText               = 2.5 // lettering height, ISO 3098 series
	chartDot                = 1.1 // half a mark's size
)

// chartMarks tell the lines of the board apart without colour.
var chartMarks = map[string][]geom.Vec{
	reading.OnDatum: {{X: -chartDot}, {Y: -chartDot}, {X: chartDot}, {Y: chartDot}},
	reading.OnLeft:  {{X: -chartDot, Y: -chartDot}, {X: chartDot, Y: -chartDot}, {Y: chartDot}},
	reading.OnRight: {{X: -chartDot, Y: chartDot}, {Y: -chartDot}, {X: chartDot, Y: chartDot}},
}

// datumChart is the picture in the making and its scales.
type datumChart struct {
	picture.Picture
	first, last float64 // stations at both ends of the paper
	scale       float64 // full scale to either side
}

// at returns where a reading lies on the paper.
func (c *datumChart) at(station, left float64) geom.Vec {
	return geom.Vec{
		X: chartLeft + (station-c.first)/(c.last-c.first)*(chartRight-chartLeft),
		Y: chartMid + left/c.scale*(chartHigh-chartMid),
	}
}

// write puts letters beside a point, raised to stand in the middle of it.
func (c *datumChart) write(p geom.Vec, dx float64, a picture.Anchor, format string, args ...any) {
	c.Text(p.Add(geom.Vec{X: dx, Y: -chartText / 2}), chartText, a, fmt.Sprintf(format, args...))
}

// draw draws the chart that the terminal shows as a picture of its own. Every
// reading is drawn.
func (r *datumAnswer) draw() *picture.Picture {
	off := each(r.Residuals, func(x measure.Residual) float64 { return x.FromLineMM })
	c := &datumChart{last: r.spec.LengthMM, scale: chartScale(off)}
	c.Title, c.Size = r.Title+": "+string(r.judged.Verdict), geom.Vec{X: chartWidth, Y: chartHeight}
	bowed := r.Bow != nil && r.Bow.Significant
	if bowed {
		c.scale = chartScale(append([]float64{r.Bow.SagittaMM}, off...))
	}
	for _, x := range r.Residuals {
		c.first, c.last = math.Min(c.first, x.StationMM), math.Max(c.last, x.StationMM)
	}
	c.heads(r)
	c.axes(r.spec.LengthMM)
	if bowed {
		const chords = 50 // smooth to the eye
		var arc []geom.Vec
		for i := range chords + 1 {
			t := float64(i) / chords
			arc = append(arc, c.at(t*r.spec.LengthMM, 4*r.Bow.SagittaMM*t*(1-t)))
		}
		c.Line(picture.PenHidden, arc...)
	}
	for i, x := range r.Residuals {
		p := c.at(x.StationMM, off[i])
		c.Line(picture.PenThin, geom.Vec{X: p.X, Y: chartMid}, p)
		c.mark(x.On, p)
		if o := r.Outlier; o != nil && o.Line == x.Line {
			c.Circle(picture.PenThin, p, 2.5*chartDot)
			if p.X > (chartLeft+chartRight)/2 {
				c.write(p, -3*chartDot, picture.End, "line %d: outlier", x.Line)
			} else {
				c.write(p, 3*chartDot, picture.Start, "line %d: outlier", x.Line)
			}
		}
	}
	return &c.Picture
}

// heads writes the title, the result and the key to the marks.
func (c *datumChart) heads(r *datumAnswer) {
	verdict := ": " + string(r.judged.Verdict)
	room := chartRight - 6 - picture.TextWidth(verdict, chartText)
	c.Text(geom.Vec{X: 6, Y: 72}, chartText, picture.Start, picture.Shorten(r.Title, chartText, room)+verdict)
	for k, v := range r.Verdicts {
		says := v.Of + ": " + string(v.Word)
		if v.Value != nil {
			says += ", " + units.Fixed(math.Abs(*v.Value), 3)
		}
		if v.Half != nil {
			says += " ± " + units.Fixed(*v.Half, 3)
		}
		c.Text(geom.Vec{X: 6, Y: 67 - 4*float64(k)}, chartText, picture.Start, says+" mm, limit "+units.Fixed(v.Limit, 3)+
			" mm")
	}
	key := geom.Vec{X: chartLeft, Y: 4 + chartText/2}
	for _, e := range r.On {
		c.mark(e, key)
		c.write(key, 2.5, picture.Start, "%s", e)
		key.X += 22
	}
	c.write(geom.Vec{X: chartRight, Y: key.Y}, 0, picture.End, "residuals, mm")
}

// axes draws the scale across and the board's two ends.
func (c *datumChart) axes(length float64) {
	for _, share := range []float64{1, 0.5, 0, -0.5, -1} {
		y := share * c.scale
		p, pen := c.at(c.first, y), picture.PenGrid
		if share == 0 {
			pen = picture.PenThin
		}
		c.Line(pen, p, geom.Vec{X: chartRight, Y: p.Y})
		c.write(p, -1.5, picture.End, "%s", units.Signed(y, decimals(c.scale/2)))
	}
	c.write(geom.Vec{X: 3, Y: c.at(0, 0.75*c.scale).Y}, 0, picture.Start, "left")
	c.write(geom.Vec{X: 3, Y: c.at(0, -0.75*c.scale).Y}, 0, picture.Start, "right")
	start, far := c.at(0, -c.scale), c.at(length, -c.scale)
	for _, p := range []geom.Vec{start, far} {
		c.Line(picture.PenGrid, p, geom.Vec{X: p.X, Y: chartHigh})
	}
	const below = 2 * chartText
	c.Text(start.Sub(geom.Vec{Y: below}), chartText, picture.Middle, "start")
	c.Text(far.Sub(geom.Vec{Y: below}), chartText, picture.End, "far end, "+units.Decimal(length, 2))
}

// mark draws the sign of an edge at p.
func (c *datumChart) mark(e string, p geom.Vec) {
	var pts []geom.Vec
	for _, d := range chartMarks[e] {
		pts = append(pts, p.Add(d))
	}
	c.Fill(pts...)
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
