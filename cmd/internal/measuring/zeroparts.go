package measuring

import (
	"fmt"
	"math"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/measure"
	"reseat/jig/setup"
	"reseat/jig/units"
	"reseat/jig/verdict"
)

// rimDocument is the centre of a hole, a dot or a pin.
type rimDocument struct {
	typed
	measure.RimZero
	At       string  `json:"at,omitempty"` // what the rim belongs to
	DrawnXMM float64 `json:"drawn_x_mm"`   // where that was drawn; 0 when nothing is known of it
	DrawnYMM float64 `json:"drawn_y_mm"`
}

func (d *zeroDocument) judgeRim(m measured, at string) (*part, error) {
	head, from, drawn := "rim", "", geom.Vec{}
	if at != "" {
		marks, err := marksFor(m.job, m.up, at, nil)
		if err != nil {
			return nil, err
		}
		head, from, drawn = "rim of "+at, marks.from, m.spec.ToMachine.Apply(marks.at)
		if marks.pin { // it stands in the bed, and does not turn over with the part
			drawn = lying(m.job, setup.Top).Apply(marks.at)
		}
		for _, f := range featuresOn(m.job, m.up) {
			if f.Name == at && m.spec.DiameterMM == 0 {
				m.spec.DiameterMM = f.BoreMM
			}
		}
	}
	z, err := measure.ZeroRim(m.readings, m.spec)
	if err != nil {
		return nil, err
	}
	d.Rim = &rimDocument{RimZero: z, At: at, DrawnXMM: drawn.X, DrawnYMM: drawn.Y}
	p := newPart(head+":", basisText(z.Basis, fmt.Sprintf("%d points over %s degrees", len(z.Lines),
		units.Fixed(degrees(z.ArcRad), 0))))
	p.add("centre, X", z.XMM, z.XHalf, 3, "mm", "")
	p.add("  Y", z.YMM, z.YHalf, 3, "mm", "")
	says := "the probe taken out"
	if m.spec.DiameterMM > 0 {
		says = "drawn " + units.Decimal(m.spec.DiameterMM, 3)
	}
	p.add("diameter", z.DiameterMM, z.DiameterHalf, 3, "mm", says)
	p.add("fit", z.RMSmm, nil, 3, "mm", "root mean square of the residuals")
	p.notes.contradicted(z.Contradicted, m.spec.ErrorMM)
	p.notes.pinsFrom(from)
	if z.ArcRad < math.Pi {
		p.notes.say(nil, "the points reach over %s degrees of the rim; points all round reduce the centre's "+
			"uncertainty", units.Fixed(degrees(z.ArcRad), 0))
	}
	p.notes.diameter(z, m.spec)
	if m.job != nil && z.WorstHalf != nil {
		p.notes.budget(m.job.Machine.Zero, *z.WorstHalf)
	}
	v := m.known("rim", "The centre", z.WorstHalf)
	if o := z.Outlier; o != nil {
		v = v.Because(verdict.Outlier, fmt.Sprintf("The touch of line %d lies %s mm from the circle of the others, whose "+
			"centre is X %s Y %s.", o.Line, units.Signed(o.OffMM, 3), units.Fixed(o.XMM, 3), units.Fixed(o.YMM, 3)),
			fmt.Sprintf("Touch the point of line %d again, or put # before that line.", o.Line))
		v.Lines = []int{o.Line}
	}
	p.command(&d.Rim.typed, v, fmt.Sprintf("drive to X %s Y %s", units.Fixed(z.XMM, 3), units.Fixed(z.YMM, 3)),
		fmt.Sprintf("G10 L20 P1 X%s Y%s", units.Decimal(drawn.X, 3), units.Decimal(drawn.Y, 3)))
	p.chart = residualChart{
		title: "residuals of the points from the circle, mm, outward positive",
		heads: []string{"line", ">residual"}, low: "in", high: "out", off: z.Residuals,
		row:     func(i int) []string { return []string{fmt.Sprint(z.Lines[i]), units.Fixed(z.Residuals[i], 3)} },
		outlier: func(i int) bool { return z.Outlier != nil && z.Outlier.Line == z.Lines[i] },
	}
	return p, nil
}

// offDiameterMM is how far a diameter may differ from the drawn one beyond its own
// uncertainty before a note says so. Common practice, no source.
const offDiameterMM = 0.1

// diameter notes a rim that is not as drawn, and what the difference looks like.
func (n *notes) diameter(z measure.RimZero, spec measure.Spec) {
	slack, probe := offDiameterMM, 2*spec.ProbeRadiusMM
	if z.DiameterHalf != nil {
		slack += *z.DiameterHalf
	}
	off := math.Abs(z.DiameterMM - spec.DiameterMM)
	why := "; is it this hole?"
	switch {
	case spec.DiameterMM == 0 || off <= slack:
		return
	case probe > 0 && math.Abs(off-2*probe) <= slack:
		why = ": the probe stood on the other side of the rim, most likely; the centre is the same"
	case probe > 0 && math.Abs(off-probe) <= slack:
		why = ": the points are on the rim itself, or the probe's diameter was given for its radius; the centre is the same"
	}
	n.say(nil, "it measures %s mm where %s mm are drawn%s", units.Fixed(z.DiameterMM, 3),
		units.Fixed(spec.DiameterMM, 3), why)
}

// budget notes what the error budget counts for the job's way of finding zero.
func (n *notes) budget(method string, half float64) {
	for _, m := range measure.ZeroMethods() {
		if m.Name != method {
			continue
		}
		says := "which this keeps"
		if half > m.HalfMM {
			says = "which this does not keep: touch more points, or name another way in the job"
		}
		n.say(nil, "the job's error budget counts %s mm for zero found by %q, %s (%s mm)", units.Fixed(m.HalfMM, 3), method,
			says,
			units.Fixed(half, 3))
	}
}

// edgesDocument is the datum's start from the board's edges.
type edgesDocument struct {
	typed
	measure.EdgeZero
}

// widthNoteMM is the difference from the job's width that is worth a note. Common
// practice, no source.
const widthNoteMM = 0.5

func (d *zeroDocument) judgeEdges(m measured) (*part, error) {
	z, err := measure.ZeroEdges(m.readings, m.spec)
	if err != nil {
		return nil, err
	}
	d.Edges = &edgesDocument{EdgeZero: z}
	p := newPart("edges:", basisText(z.Basis, fmt.Sprintf("%d touches", len(z.Residuals))))
	drive, command := "drive to", "G10 L20 P1"
	drawn := m.spec.ToMachine.Apply(geom.Vec{}) // turned over about the short axis it is not at zero
	var widest *float64
	for _, axis := range []struct {
		name        string
		value, half *float64
		drawn       float64
	}{{"X", z.XMM, z.XHalf, drawn.X}, {"Y", z.YMM, z.YHalf, drawn.Y}} {
		if axis.value == nil {
			continue
		}
		p.add("the datum's start, "+axis.name, *axis.value, axis.half, 3, "mm", movedText(*axis.value, axis.drawn))
		drive, command = drive+" "+axis.name+" "+units.Fixed(*axis.value, 3), command+" "+axis.name+
			units.Decimal(axis.drawn, 3)
		if widest == nil || axis.half != nil && *axis.half > *widest {
			widest = axis.half
		}
	}
	if z.AngleRad != nil {
		p.addAngle("turn", *z.AngleRad, z.AngleHalf, "counter-clockwise seen from above is positive")
	}
	if z.WidthMM != nil {
		p.add("width", *z.WidthMM, z.WidthHalf, 3, "mm", "deviation from nominal width")
	}
	p.add("fit", z.RMSmm, nil, 3, "mm", "root mean square of the residuals")
	p.notes.contradicted(z.Contradicted, m.spec.ErrorMM)
	p.notes.edges(z)
	p.command(&d.Edges.typed, m.known("edges", "The datum's start", widest), drive, command)
	off := each(z.Residuals, func(t measure.TouchResidual) float64 { return t.OffMM })
	p.chart = residualChart{
		title: "residuals of the touches from their edges, mm, outward positive",
		heads: []string{"line", "edge", ">residual"}, low: "in", high: "out", off: off,
		row: func(i int) []string {
			t := z.Residuals[i]
			return []string{fmt.Sprint(t.Line), t.Kind, units.Fixed(t.OffMM, 3)}
		},
	}
	return p, nil
}

// edges notes what the touches do not tell.
func (n *notes) edges(z measure.EdgeZero) {
	if !z.AlongKnown {
		n.say(nil, "the start end was not touched: the place along the board is as drawn")
	}
	switch {
	case !z.AcrossKnown:
		n.say(nil, "no long edge was touched: the place across the board is as drawn")
	case z.WidthMM == nil:
		n.say(nil, "one long edge was touched: the datum line is half the job's width from it; touch both to be free of "+
			"the width")
	case math.Abs(*z.WidthMM) > widthNoteMM:
		n.say(nil, "the board is %s mm wider than the job has it, or the probe's radius is wrong by a half of that",
			units.Fixed(*z.WidthMM, 3))
	}
	if z.AngleRad == nil {
		n.say(nil, "no long edge was touched at two places far apart: the board is taken to lie as straight as drawn")
	}
}

// listed joins words, the first of many.
func listed(words []string) string {
	const most = 10 // what a reader takes in
	if n := len(words); n > most {
		words = append(words[:most:most], fmt.Sprintf("and %d more", n-most))
	}
	return strings.Join(words, ", ")
}
