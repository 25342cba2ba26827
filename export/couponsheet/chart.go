package couponsheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"reseat/export/picture"
	"reseat/jig/calibration"
	"reseat/jig/coupon"
	"reseat/jig/geom"
	"reseat/jig/units"
)

// The picture of a read coupon, in mm on paper: to the left round holes, with the pin's
// answers below them, to the right what has straight walls. Drawn sizes go to the right, how
// much wider an opening came out goes up.
const (
	chartWide, chartHigh = 200.0, 130.0
	panelLow, panelHigh  = 46.0, 106.0
	answersLow           = 16.0
	answerStep           = 7.0
	chartText            = 2.5 // lettering height, ISO 3098 series
	chartDot             = 0.9
)

// panel is one of the two, and its scales.
type panel struct {
	left, right  float64 // on paper
	first, last  float64 // drawn sizes there
	least, most  float64 // deviations at the lower and the upper end
	name, across string
}

func (p panel) at(drawn, off float64) geom.Vec {
	return geom.Vec{
		X: p.left + (drawn-p.first)/(p.last-p.first)*(p.right-p.left),
		Y: panelLow + (off-p.least)/(p.most-p.least)*(panelHigh-panelLow),
	}
}

// couponChart is the picture in the making.
type couponChart struct {
	picture.Picture
	Answer
}

// Answer is what a filled form told.
type Answer struct {
	calibration.Result
	Rows  []coupon.Row // of the form
	Title string
}

// Chart shows what was measured against what was drawn, with the fitted line, and the pin's
// answers with how likely it enters.
func Chart(a Answer) *picture.Picture {
	c := &couponChart{Answer: a}
	c.Picture.Title, c.Size = a.Title, geom.Vec{X: chartWide, Y: chartHigh}
	c.Text(geom.Vec{X: 8, Y: chartHigh - 8}, chartText, picture.Start, picture.Shorten(a.Title, chartText, chartWide-16))
	c.Text(geom.Vec{X: 8, Y: chartHigh - 13}, chartText, picture.Start,
		"how much wider than drawn an opening came out, mm; "+
			"line: the fit, dashed: 95 % of features; ring: outlier")
	round := panel{left: 24, right: 98, name: "round holes", across: "drawn diameter, mm"}
	straight := panel{left: 120, right: 194, name: "slots and bars", across: "drawn size, mm"}
	for _, p := range []struct {
		*panel
		round bool
	}{{&round, true}, {&straight, false}} {
		c.scale(p.panel, p.round)
		c.panel(*p.panel, p.round)
	}
	c.answers(round)
	for i, says := range []string{
		"circle: hole or slot, made less drawn", "triangle: bar, drawn less made",
		"at mid thickness; error of the jaws, taper,", "scale and drift are taken out",
	} {
		c.Text(geom.Vec{X: straight.left, Y: answersLow + 2*answerStep - 5*float64(i)}, chartText, picture.Start, says)
	}
	return &c.Picture
}

// off is how much wider an opening came out at mid thickness; of a bar how much narrower it did.
func (c *couponChart) off(p calibration.Point) float64 {
	if c.Rows[p.Row].Kind == coupon.Bar {
		return p.DrawnMM - p.MadeMM
	}
	return p.MadeMM - p.DrawnMM
}

// fitted is how much wider the fit has openings of a sort, and how far 95 % of them stray.
func (c *couponChart) fitted(round bool) (off, spread float64) {
	value := func(key string) float64 {
		if q := c.Quantity(key); q != nil {
			return q.Value
		}
		return 0
	}
	off = value(calibration.Kerf) + value(calibration.Edge)
	if round {
		off = value(calibration.Kerf) + value(calibration.Bias)
	}
	return off, value(calibration.Spread)
}

// leastPanelMM is the least range of deviations: what agrees to the last digit of a caliper is
// not blown up. Common practice, no source.
const leastPanelMM = 0.1

// scale lays a panel's scales: all that belongs, the fit, and a little room.
func (c *couponChart) scale(p *panel, round bool) {
	off, spread := c.fitted(round)
	p.least, p.most = off-1.5*spread, off+1.5*spread
	p.first, p.last = math.Inf(1), math.Inf(-1)
	for _, x := range c.Points {
		if x.Round != round {
			continue
		}
		p.first, p.last = math.Min(p.first, x.DrawnMM), math.Max(p.last, x.DrawnMM)
		if !x.Outlier {
			p.least, p.most = math.Min(p.least, c.off(x)), math.Max(p.most, c.off(x))
		}
	}
	if round {
		for _, t := range c.Trials {
			p.first, p.last = math.Min(p.first, t.DrawnMM), math.Max(p.last, t.DrawnMM)
		}
	}
	if !(p.first <= p.last) {
		p.first, p.last = 0, 1
	}
	edge := math.Max(0.05*(p.last-p.first), 0.05)
	p.first, p.last = p.first-edge, p.last+edge
	if more := leastPanelMM - (p.most - p.least); more > 0 {
		p.least, p.most = p.least-more/2, p.most+more/2
	}
}

// step is 1, 2 or 5 in its decade, at least the fifth part of a range.
func step(over float64) float64 {
	decade := math.Pow(10, math.Floor(math.Log10(over/5)))
	for _, k := range []float64{1, 2, 5} {
		if k*decade >= over/5 {
			return k * decade
		}
	}
	return 10 * decade
}

func (c *couponChart) panel(p panel, round bool) {
	c.Box(picture.PenThin, geom.Box{Min: geom.Vec{X: p.left, Y: panelLow}, Max: geom.Vec{X: p.right, Y: panelHigh}})
	c.Text(geom.Vec{X: p.left, Y: panelHigh + 2}, chartText, picture.Start, p.name)
	digits := func(s float64) int { return max(0, int(math.Ceil(-math.Log10(s)-1e-9))) }
	for s, k := step(p.most-p.least), 0; ; k++ {
		y := math.Ceil(p.least/s-1e-9)*s + float64(float64(k)*s)
		if y > p.most {
			break
		}
		at := p.at(p.first, y)
		c.Line(picture.PenGrid, at, geom.Vec{X: p.right, Y: at.Y})
		c.Text(at.Add(geom.Vec{X: -1.5, Y: -chartText / 2}), chartText, picture.End, units.Signed(y, digits(s)))
	}
	for s, k := step(p.last-p.first), 0; ; k++ {
		x := math.Ceil(p.first/s-1e-9)*s + float64(float64(k)*s)
		if x > p.last {
			break
		}
		at := p.at(x, p.least)
		c.Line(picture.PenThin, at, at.Add(geom.Vec{Y: 1}))
		c.Text(at.Add(geom.Vec{Y: -chartText - 1.5}), chartText, picture.Middle, units.Decimal(x, digits(s)))
	}
	c.Text(geom.Vec{X: p.right, Y: panelLow - 2*chartText - 3}, chartText, picture.End, p.across)
	off, spread := c.fitted(round)
	for _, l := range []struct {
		off float64
		pen picture.Pen
	}{{off, picture.PenOutline}, {off - spread, picture.PenHidden}, {off + spread, picture.PenHidden}} {
		c.Line(l.pen, p.at(p.first, l.off), p.at(p.last, l.off))
	}
	for _, x := range c.Points {
		if x.Round != round {
			continue
		}
		room := 0.0
		if x.Outlier {
			room = 0.05 * (p.most - p.least) // that its ring keeps from the frame
		}
		at := p.at(x.DrawnMM, math.Max(p.least+room, math.Min(p.most-room, c.off(x))))
		if c.Rows[x.Row].Kind == coupon.Bar {
			c.Fill(at.Add(geom.Vec{X: -chartDot, Y: -chartDot}), at.Add(geom.Vec{X: chartDot, Y: -chartDot}),
				at.Add(geom.Vec{Y: chartDot}))
		} else {
			c.Circle(picture.PenThin, at, chartDot)
		}
		if x.Outlier {
			c.ring(at, x.Row)
		}
	}
}

// ring marks what does not go with the others.
func (c *couponChart) ring(at geom.Vec, row int) {
	c.Circle(picture.PenThin, at, 2.5*chartDot)
	c.Text(at.Add(geom.Vec{X: 3, Y: -chartText / 2}), chartText, picture.Start, fmt.Sprintf("line %d", c.Rows[row].Line))
}

// answers draws the pin's answers below the round holes, and how likely the fit has it enter.
func (c *couponChart) answers(p panel) {
	if len(c.Trials) == 0 {
		return
	}
	rows := map[string]float64{coupon.No: answersLow, coupon.Tight: answersLow + answerStep, coupon.Passes: answersLow +
		2*answerStep}
	for _, word := range []string{coupon.No, coupon.Tight, coupon.Passes} {
		y := rows[word]
		c.Line(picture.PenGrid, geom.Vec{X: p.left, Y: y}, geom.Vec{X: p.right, Y: y})
		c.Text(geom.Vec{X: p.left - 1.5, Y: y - chartText/2}, chartText, picture.End, word)
	}
	c.Text(geom.Vec{X: p.left, Y: answersLow - 6}, chartText, picture.Start,
		"does the pin enter?  line: odds that it does, 0 to 1")
	trials := slices.Clone(c.Trials)
	slices.SortStableFunc(trials, func(a, b calibration.Trial) int { return cmp.Compare(a.DrawnMM, b.DrawnMM) })
	var odds []geom.Vec
	for _, t := range trials {
		at := geom.Vec{X: p.at(t.DrawnMM, 0).X, Y: rows[t.Enters]}
		c.Circle(picture.PenThin, at, chartDot)
		if t.Outlier {
			c.ring(at, t.Row)
		}
		odds = append(odds, geom.Vec{X: at.X, Y: answersLow + float64(2*answerStep*t.Odds)})
	}
	if len(odds) > 1 {
		c.Line(picture.PenHidden, odds...)
	}
}
