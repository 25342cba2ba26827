package measuring

import (
	"fmt"
	"math"
	"strings"

	"reseat/jig/measure"
	"reseat/jig/setup"
	"reseat/jig/units"
	"reseat/jig/verdict"
)

// datumAnswer is what datum tells; its keys are read by other programs.
type datumAnswer struct {
	Title string `json:"title"`
	judged
	measure.DatumReport
	ToleranceFrom string  `json:"tolerance_from"`
	AtPin         *tapPin `json:"at_pin,omitempty"` // absent when nothing is to be tapped, or no pin is known
	Notes         notes   `json:"notes"`
	lengthMM      float64
}

// tapPin is the correction made at a pin; the start end stays.
type tapPin struct {
	ID        string  `json:"id,omitempty"`
	From      string  `json:"from"` // what told the pin
	StationMM float64 `json:"station_mm"`
	Toward    string  `json:"toward"`
	Direction string  `json:"direction"`
	MM        float64 `json:"mm"`
}

// best is the judgement without the outlier, if there is one.
func (d *datumAnswer) best() measure.Judgement {
	if d.Outlier != nil {
		return d.Outlier.Without
	}
	return d.Judgement
}

func (d *datumAnswer) tapAt(p lastPin) {
	if p.stationMM == 0 {
		return
	}
	far := d.best().Far
	d.AtPin = &tapPin{p.id, p.from, p.stationMM, far.Toward, far.Direction, far.MM * p.stationMM / d.lengthMM}
}

// direction is the verdict on how the datum line runs, with what would put it right. With an
// outlier that is what the other readings ask for.
func (d *datumAnswer) direction() verdict.Verdict {
	best, o := d.best(), d.Outlier
	v := verdict.Judge("direction", d.RunoutMM, d.RunoutHalf, d.ToleranceMM)
	v.Word = d.Judgement.Verdict
	switch {
	case o != nil:
		v = v.Because(verdict.Outlier, fmt.Sprintf("The reading of line %d does not belong to the others.", o.Line),
			fmt.Sprintf("Measure the point of line %d again.", o.Line))
		v.Lines = []int{o.Line}
	case v.Word == verdict.Inconclusive:
		v = v.Because(v.Word, "The interval is wider than the tolerance leaves.",
			"Measure more points, nearer to both ends; or repeat them.")
	case v.Word == verdict.OutOfTolerance:
		v = v.Because(v.Word, "The datum line runs askew.")
	}
	if v.Good() || best.RunoutMM <= d.ToleranceMM {
		return v
	}
	say := func(format string, a ...any) { v.Remedy = append(v.Remedy, fmt.Sprintf(format, a...)) }
	if p := d.AtPin; p != nil {
		what := "the pin"
		if p.ID != "" {
			what = "the last pin, " + p.ID
		}
		say("Tap at %s (%s), station %s mm: %s mm towards %s, to the %s; the start end stays.", what, p.From,
			units.Decimal(p.StationMM, 1), units.Fixed(p.MM, 2), p.Direction, p.Toward)
	}
	for _, t := range []struct {
		measure.Tap
		stays string
	}{{best.Far, "start"}, {best.Start, "far"}} {
		say("Tap the %s end: %s mm towards %s, to the %s; the %s end stays.", t.End, units.Fixed(t.MM, 2), t.Direction,
			t.Toward, t.stays)
	}
	say("Left and right are seen from the start end. Spindle off while you tap; measure again before you cut.")
	return v
}

// note says what the figures alone do not.
func (d *datumAnswer) note(n *notes, errorMM float64) {
	n.contradicted(d.Contradicted, errorMM)
	if o := d.Outlier; o != nil {
		n.say([]int{o.Line}, "line %d is an outlier: at station %s mm it lies %s mm to the %s of the others; without it: "+
			"%s, runout %s mm",
			o.Line, units.Fixed(o.StationMM, 1), units.Fixed(math.Abs(o.OffMM), 2), sideName(o.OffMM), o.Without.Verdict,
			units.Fixed(o.Without.RunoutMM, 3))
	}
	if b := d.Bow; b != nil && b.Significant {
		n.say(nil, "the board is bowed: its middle lies %s mm to the %s of the chord between its ends; tapping does not "+
			"mend that, the angle is the chord's",
			units.Fixed(math.Abs(b.SagittaMM), 2), sideName(b.SagittaMM))
	}
	if e := d.Edges; e != nil {
		if e.Twisted {
			says := ""
			if !e.TaperFitted {
				says = "; the angle does not allow for it: measure both edges over the same stations"
			}
			n.say(nil, "the edges run %s mm apart over the board beside the job's taper%s",
				units.Fixed(e.TwistRad*d.lengthMM, 2),
				says)
		}
		n.width("start", e.WidthStartMM, e.WidthStartHalf, d.ToleranceMM)
		n.width("far", e.WidthFarMM, e.WidthFarHalf, d.ToleranceMM)
	}
	if d.NoTaperMM != 0 {
		n.say(nil, "the dial shows no taper where the job's is %s mm: was it run along a straight fence? Then the "+
			"board's widths do not belong to it", units.Fixed(d.NoTaperMM, 2))
	}
	for _, r := range d.Repeats {
		n.say(r.Lines, "%d readings on %s at station %s mm, range %s mm: each counts", len(r.Lines), r.On,
			units.Fixed(r.StationMM, 1), units.Fixed(r.RangeMM, 3))
	}
}

// width notes a board's end that is wider or narrower than the job says.
func (n *notes) width(end string, off, half *float64, tolerance float64) {
	if off == nil || half == nil || math.Abs(*off) <= math.Max(*half, tolerance) {
		return
	}
	which := "wider"
	if *off < 0 {
		which = "narrower"
	}
	n.say(nil, "the board is %s mm %s than the job says at the %s end; is the probe's diameter right?",
		units.Fixed(math.Abs(*off), 2), which, end)
}

func sideName(left float64) string {
	if left < 0 {
		return "right"
	}
	return "left"
}

// answer is the report for somebody who stands at the machine.
func (d *datumAnswer) answer(m measured) *answer {
	p := newPart(
		fmt.Sprintf("  tolerance   %s mm over the board's %s mm (%s)", units.Fixed(d.ToleranceMM, 3),
			units.Decimal(d.lengthMM, 2),
			d.ToleranceFrom),
		basisText(d.Basis, fmt.Sprintf("%d readings on %s", d.Points, strings.Join(d.On, " and "))), "")
	d.values(p)
	d.note(&p.notes, m.spec.ErrorMM)
	if m.up == setup.Under {
		p.notes.say(nil, "underside up: the edges keep the names that they have as seen on the top; where to tap, and to which "+
			"side the line lies, is as you see it now")
	}
	p.verdicts, p.offer = []verdict.Verdict{d.direction()}, []string{"Leave it as it is."}
	d.Notes, d.judged = p.notes, m.judged(p)
	// Left of the line is drawn on the left.
	off := each(d.Residuals, func(x measure.Residual) float64 { return -x.FromLineMM })
	p.chart = residualChart{
		title: "residuals from the fitted straight line, mm, to the left positive",
		heads: []string{"line", "on", ">station", ">residual"}, low: "left", high: "right", off: off,
		row: func(i int) []string {
			x := d.Residuals[i]
			return []string{fmt.Sprint(x.Line), x.On, units.Fixed(x.StationMM, 1), units.Fixed(x.FromLineMM, 3)}
		},
		outlier: func(i int) bool { return d.Outlier != nil && d.Outlier.Line == d.Residuals[i].Line },
	}
	return &answer{judged: d.judged, title: d.Title, parts: []*part{p}, document: d, draw: d.draw}
}

func (d *datumAnswer) values(p *part) {
	p.addAngle("angle", d.AngleRad, d.AngleHalf, "counter-clockwise seen from above is positive")
	says := "straight"
	if d.RunoutMM > 0 {
		says = "the far end lies towards " + d.Start.Direction
	}
	p.add("runout", d.RunoutMM, d.RunoutHalf, 3, "mm", says)
	if d.OffsetMM != nil {
		p.add("offset at the start", *d.OffsetMM, d.OffsetHalf, 3, "mm",
			"to the left of where the program has it is positive")
	}
	significant := func(is bool, says string) string {
		if is {
			return says
		}
		return "not significant"
	}
	if b := d.Bow; b != nil {
		p.add("bow", b.SagittaMM, b.Half, 3, "mm", significant(b.Significant,
			"the middle from the chord between the ends, to the left positive"))
	}
	if e := d.Edges; e != nil {
		p.addAngle("twist", e.TwistRad, e.TwistHalf, significant(e.Twisted,
			"the edges widen more than the job's taper; less is negative"))
		if e.WidthStartMM != nil {
			p.add("width, start", *e.WidthStartMM, e.WidthStartHalf, 3, "mm", "deviation from nominal width")
			p.add("width, far", *e.WidthFarMM, e.WidthFarHalf, 3, "mm", "")
		}
	}
	says = "root mean square of the residuals"
	if d.UncoveredMM > d.lengthMM/2 {
		says += "; more than half the board was not measured"
	}
	p.add("scatter", d.RMSmm, nil, 3, "mm", says)
}
