package measuring

import (
	"fmt"
	"math"
	"strings"

	"reseat/cmd/internal/command"
	"reseat/jig"
	"reseat/jig/measure"
	"reseat/jig/reading"
	"reseat/jig/setup"
	"reseat/jig/units"
	"reseat/jig/verdict"
)

// datumAnswer is what datum tells; its keys are read by other programs.
type datumAnswer struct {
	Title string `json:"title"`
	judged
	measure.DatumReport
	ToleranceFrom string    `json:"tolerance_from"`
	AtPin         *tapPin   `json:"at_pin,omitempty"` // absent when nothing is to be tapped, or no pin is known
	Seat          *seatRoom `json:"seat,omitempty"`   // absent when nothing is out of tolerance, or it takes no board
	Notes         notes     `json:"notes"`
	spec          measure.Spec
	again         string // the command line
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

// seatRoom is how far off the board may lie in a seat that is whole, and whether it lies farther.
type seatRoom struct {
	Askew  jig.Room `json:"askew"`
	Aside  jig.Room `json:"aside"`
	Beyond bool     `json:"beyond"`
}

// beyond reports whether all of an interval lies farther off than the room.
func beyond(off, half float64, r jig.Room) bool { return math.Abs(off)-half > r.FloatMM+r.ErrorMM }

// judge gives both verdicts and, where one is out of tolerance, what the seat allows and the
// pin to tap at.
func (d *datumAnswer) judge(m measured, pin lastPin) {
	d.judged = m.judged(&part{verdicts: []verdict.Verdict{
		verdict.Judge("direction", d.RunoutMM, d.RunoutHalf, d.ToleranceMM), d.Place.Judge(d.ToleranceMM),
	}})
	askew, aside := &d.Verdicts[0], &d.Verdicts[1]
	if askew.Word == verdict.OutOfTolerance || aside.Word == verdict.OutOfTolerance {
		at := 0.0
		if d.Place != nil {
			at = d.Place.StationMM
		}
		if turn, side, err := jig.SeatRoom(m.job, m.up, at); err == nil {
			d.Seat = &seatRoom{Askew: turn, Aside: side}
			d.Seat.Beyond = askew.Word == verdict.OutOfTolerance && beyond(d.RunoutMM, *d.RunoutHalf, turn)
		}
	}
	d.askew(askew, m, pin)
	d.aside(aside)
	if o := d.Outlier; o != nil {
		for k := range d.Verdicts {
			v := d.Verdicts[k].Because(verdict.Outlier,
				fmt.Sprintf("The reading of line %d is an outlier.", o.Line))
			if v.Remedy, v.Lines = nil, []int{o.Line}; k == 0 {
				v.Remedy = []string{fmt.Sprintf("Measure the point of line %d again.", o.Line)}
			}
			d.Verdicts[k] = v
		}
	}
	d.Verdict = verdict.All(d.Verdicts)
}

// mended reports whether turning the program about the datum's start puts the board right.
func (d *datumAnswer) mended() bool {
	return d.Verdicts[0].Word == verdict.OutOfTolerance && d.Verdicts[1].IsGood() && (d.Seat == nil || !d.Seat.Beyond)
}

// lift is what to do with a board that lies farther off than its seat allows.
var lift = []string{
	"Do not tap it: the seat does not let it lie so.", "Lift the board. Clean plate, walls and pins.",
	"Look for chips and burrs, and for a pin that is not home.", "Seat it again and measure again.",
}

// allows says what a seat allows; whose are the errors.
func allows(r jig.Room, whose string) string {
	return fmt.Sprintf("That is more than the seat allows: its float is %s mm, and %s err by %s mm (95 %%).",
		units.Fixed(r.FloatMM, 2), whose, units.Fixed(r.ErrorMM, 2))
}

// askew completes the verdict on the direction: why, and what to tap or to measure.
func (d *datumAnswer) askew(v *verdict.Verdict, m measured, pin lastPin) {
	switch {
	case v.Word == verdict.Inconclusive:
		*v = d.unsure(*v)
	case v.Word == verdict.OutOfTolerance:
		*v = v.Because(v.Word, fmt.Sprintf("The datum line runs %s mm askew over %s mm.", units.Fixed(d.RunoutMM, 2),
			units.Decimal(d.spec.LengthMM, 0)))
		if d.Seat != nil && d.Seat.Beyond {
			*v = v.Because(v.Word, allows(d.Seat.Askew, "holes and walls"), lift...)
			return
		}
		if pin.stationMM == 0 {
			pin = lastPinOf(m.job, m.up)
		}
		far := d.Far
		if pin.stationMM > 0 {
			d.AtPin = &tapPin{pin.id, pin.from, pin.stationMM, far.Toward, far.Direction,
				far.MM * pin.stationMM / d.spec.LengthMM}
			what := "the pin"
			if pin.id != "" {
				what = "the last pin, " + pin.id
			}
			v.Remedy = append(v.Remedy, fmt.Sprintf("Tap at %s (%s), station %s mm: %s mm towards %s, to the %s; the start "+
				"end stays.", what, pin.from, units.Decimal(pin.stationMM, 1), units.Fixed(d.AtPin.MM, 2), far.Direction,
				far.Toward))
		}
		either := "Tap"
		if pin.stationMM > 0 { // one of the two, never both
			either = "Or tap"
		}
		v.Remedy = append(v.Remedy, fmt.Sprintf("%s the far end: %s mm towards %s, to the %s; the start end stays.", either,
			units.Fixed(far.MM, 2), far.Direction, far.Toward),
			"Left and right are seen from the start end. Spindle off while you tap; measure again before you cut.")
	}
}

// aside completes the verdict on the place.
func (d *datumAnswer) aside(v *verdict.Verdict) {
	p := d.Place
	switch {
	case d.OffsetMM == nil:
		*v = v.Because(v.Word, "A dial indicator shows direction alone: its zero is arbitrary.",
			"Touch two points far apart on each edge and give those to datum; or find zero again (reseat zero).")
	case v.Word == verdict.Inconclusive:
		*v = d.unsure(*v)
	case v.Word == verdict.OutOfTolerance:
		once := ""
		if p.PutRight {
			once = " once its direction is put right"
		}
		*v = v.Because(v.Word, fmt.Sprintf("The board lies %s mm to the %s at station %s mm%s.",
			units.Fixed(math.Abs(p.OffsetMM), 2), sideName(p.OffsetMM), units.Decimal(p.StationMM, 0), once))
		if p.Bowed {
			*v = v.Because(v.Word, "Its bow takes it there: no tap and no turn mends that.",
				"Press it straight against its wall and measure again; or measure the features themselves (reseat locate).")
			return
		}
		if says := d.probe(); says != "" {
			*v = v.Because(v.Word, says, "Run this again with the probe's diameter as it is.")
			return
		}
		switch {
		case d.Seat == nil || !beyond(p.OffsetMM, p.Half, d.Seat.Aside):
			v.Remedy = append(v.Remedy, fmt.Sprintf("Push the whole board %s mm towards %s, to the %s; measure again.",
				units.Fixed(math.Abs(p.OffsetMM), 2), d.spec.Sideways(p.OffsetMM < 0), sideName(-p.OffsetMM)))
		case d.Seat.Beyond:
			*v = v.Because(v.Word, allows(d.Seat.Aside, "holes, walls and zero"))
		default:
			*v = v.Because(v.Word, allows(d.Seat.Aside, "holes, walls and zero"), lift...)
			d.Seat.Beyond = true
		}
		v.Remedy = append(v.Remedy, "Or it is the zero that is off: find it again (reseat zero).")
	}
}

const (
	// endGapMM is how far from the board's ends a touch is safe of rounded corners. Common practice,
	// no source.
	endGapMM = 12.0
	// mostStations is as many as anybody touches on a line. Common practice, no source.
	mostStations = 20
)

// unsure says why a figure cannot be told from its limit, and what to measure.
func (d *datumAnswer) unsure(v verdict.Verdict) verdict.Verdict {
	ends := fmt.Sprintf("from %s to %s mm", units.Decimal(endGapMM, 0), units.Decimal(d.spec.LengthMM-endGapMM, 0))
	if v.Half == nil {
		return v.Because(v.Word, "There are too few readings to judge their scatter.", "Measure more stations on each line, "+
			ends+"; or state how well a reading repeats (--error-mm).")
	}
	v = v.Because(v.Word, fmt.Sprintf("It is %s +- %s mm; the limit is %s mm.",
		units.Fixed(math.Abs(*v.Value), 3),
		units.Fixed(*v.Half, 3), units.Fixed(v.Limit, 3)))
	if w := d.Serial; w != nil {
		runs := "may run"
		if w.Significant {
			runs = "runs"
		}
		v = v.Because(v.Word, "The scatter "+runs+" in waves: neighbouring readings then err alike and count for little more than one.")
	}
	if d.UncoveredMM > (1-coveredPart)*d.spec.LengthMM {
		return v.Because(v.Word, fmt.Sprintf("Readings leave out %s mm of the board, where it may be bowed.",
			units.Decimal(d.UncoveredMM, 0)), "Measure on the same lines near both ends too, "+ends+".")
	}
	more := math.Abs(v.Limit - math.Abs(*v.Value))
	most := math.Ceil(float64(d.Points) / float64(len(d.On)) * math.Pow(*v.Half/more, 2))
	if !(most <= mostStations) {
		if most = mostStations / 2; math.Abs(*v.Value) > v.Limit/2 {
			return v.Because(v.Word, "It lies near the limit.", "Seat the board again and measure again.")
		}
		v = v.Because(v.Word, "The readings scatter too much.", "Look for what is loose or dirty: probe, edge, machine.")
	}
	v.Remedy = append(v.Remedy, fmt.Sprintf("Measure %g stations on each line, %s.", most, ends))
	return v
}

// coveredPart is the part of the length that readings reach over which tell of the whole. The
// contract's figure.
const coveredPart = 0.8

// probes are the usual diameters of probes and cutters that stand in for one, mm. Common
// practice, no source.
var probes = []float64{1, 1.5, 2, 3, 3.175, 4, 5, 6, 6.35, 8, 10}

// probeNearMM is how far a board lies off, at most, when it is the probe alone that was
// forgotten. Common practice, no source.
const probeNearMM = 0.1

// probeMM is the diameter of the probe whose radius a distance is, 0 when there is none.
func probeMM(radius, half float64) float64 {
	for _, mm := range probes {
		if math.Abs(radius-mm/2) <= math.Max(probeNearMM, half) {
			return mm
		}
	}
	return 0
}

// probe tells a probe that was forgotten, or taken out twice, by one edge that lies off by its
// radius; "" when it does not look so.
func (d *datumAnswer) probe() string {
	if len(d.On) != 1 || d.On[0] == reading.OnDatum || d.OffsetMM == nil || d.OffsetHalf == nil {
		return ""
	}
	out := *d.OffsetMM
	if (d.On[0] == reading.OnRight) != d.spec.ToMachine.Mirror {
		out = -out
	}
	r := d.spec.ProbeRadiusMM
	switch mm := probeMM(out, *d.OffsetHalf); {
	case r == 0 && mm > 0:
		return fmt.Sprintf("Is a probe of %[1]s mm forgotten: --probe-mm %[1]s?", units.Decimal(mm, 3))
	case r > 0 && math.Abs(-out-r) <= math.Max(probeNearMM, *d.OffsetHalf):
		return "Is the probe's radius taken out already: leave --probe-mm out?"
	}
	return ""
}

// note says what the figures alone do not.
func (d *datumAnswer) note(n *notes, errorMM float64) {
	n.contradicted(d.Contradicted, errorMM)
	if o := d.Outlier; o != nil {
		counted := "the figures still count it"
		if o.LeftOut {
			counted = "the figures leave it out"
		}
		n.say([]int{o.Line}, "line %d is an outlier: at station %s mm it lies %s mm to the %s of the others; %s",
			o.Line, units.Fixed(o.StationMM, 1), units.Fixed(math.Abs(o.OffMM), 2), sideName(o.OffMM), counted)
	}
	if w := d.Serial; w != nil && w.Significant {
		n.say(nil, "the scatter runs in waves: neighbouring readings err alike (correlation %s); the intervals allow for it",
			units.Fixed(w.Correlation, 1))
	}
	if b := d.Bow; b != nil && b.Significant {
		off := 0.0
		for _, u := range d.spec.Stations {
			off = math.Max(off, math.Abs(b.SagittaMM)*4*u/d.spec.LengthMM*(1-u/d.spec.LengthMM))
		}
		moves := ""
		if off > d.ToleranceMM {
			moves = fmt.Sprintf("; it takes features up to %s mm aside, more than the %s mm that are left",
				units.Fixed(off, 2), units.Fixed(d.ToleranceMM, 2))
		}
		n.say(nil, "the board is bowed: its middle lies %s mm to the %s of the chord between its ends; tapping does not "+
			"mend that, the angle is the chord's%s", units.Fixed(math.Abs(b.SagittaMM), 2), sideName(b.SagittaMM), moves)
	}
	if e := d.Edges; e != nil {
		if e.Twisted {
			says := ""
			if !e.TaperFitted {
				says = "; the angle does not allow for it: measure both edges over the same stations"
			}
			n.say(nil, "the edges run %s mm apart over the board beside the job's taper%s",
				units.Fixed(e.TwistRad*d.spec.LengthMM, 2),
				says)
		}
		n.width("start", e.WidthStartMM, e.WidthStartHalf, d.ToleranceMM)
		n.width("far", e.WidthFarMM, e.WidthFarHalf, d.ToleranceMM)
	}
	if d.NoTaperMM != 0 {
		n.say(nil, "the dial shows no taper, and the job's board tapers by %s mm. Was it run along a straight fence? Then "+
			"the board's widths must not be taken out of its readings", units.Fixed(d.NoTaperMM, 2))
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
	probe := "is the probe's diameter right?"
	if mm := probeMM(*off/2, *half); mm > 0 {
		probe = fmt.Sprintf("is a probe of %[1]s mm forgotten: --probe-mm %[1]s?", units.Decimal(mm, 3))
	}
	n.say(nil, "the board is %s mm %s than the job says at the %s end; %s", units.Fixed(math.Abs(*off), 2), which, end,
		probe)
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
			units.Decimal(d.spec.LengthMM, 2),
			d.ToleranceFrom),
		basisText(d.Uncertainty, fmt.Sprintf("%d readings on %s", d.Points, strings.Join(d.On, " and "))), "")
	d.values(p)
	d.note(&p.notes, m.spec.ErrorMM)
	if m.up == setup.Under {
		p.notes.say(nil, "underside up: the edges keep the names that they have as seen on the top; where to tap, and "+
			"to which side the line lies, is as you see it now")
	}
	p.verdicts, p.offer, d.Notes = d.Verdicts, []string{"Leave it as it is."}, p.notes
	if p.mended = d.mended(); p.mended {
		p.offer = []string{"Or leave the board and turn the program, since its place is good:",
			"  $ " + d.again + " --json > turn.json", "  $ reseat pocket " + command.ShellWord(m.job.File) + sideFlag(m.up) +
				" --datum turn.json"}
	}
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
	if w := d.Place; w != nil {
		says := "where a feature lies farthest off, station " + units.Decimal(w.StationMM, 0) + " mm"
		if w.PutRight {
			says += ", its direction put right"
		}
		p.add("place", w.OffsetMM, &w.Half, 3, "mm", says)
	}
	says = "root mean square of the residuals"
	if d.UncoveredMM > d.spec.LengthMM/2 {
		says += "; more than half the board was not measured"
	}
	p.add("scatter", d.RMSMM, nil, 3, "mm", says)
}
