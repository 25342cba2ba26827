package measure

import (
	"math"

	"reseat/jig/geom"
)

// Mark is a named place that can be measured on the machine: a feature of the
// board or a pin, where it lies when the board lies as drawn.
type Mark struct {
	Name string
	At   geom.Vec // machine frame
}

// MarkReading is one measurement: the centre of the mark with that name, or a
// point touched along the edge left, right or start.
type MarkReading struct {
	Line int // of the file it came from
	Name string
	At   geom.Vec // machine frame; for an edge the probe's centre
}

// LocateSpec is what the readings are held against.
type LocateSpec struct {
	File string // the readings file, for the place of a fault; "": not known

	Marks                              []Mark
	LengthMM, WidthStartMM, WidthEndMM float64    // of the board; may be zero when no edge was touched
	ToMachine                          geom.Rigid // board frame -> machine frame, as drawn
	ProbeRadiusMM                      float64    // of the probe that touched the edges
	At                                 geom.Vec   // board frame: the point that Located.At tells of
	Features                           []geom.Vec // board frame: the places that must come back
	AnyAngle                           bool       // take a board that is turned by more than ten degrees
	Precision                                     // of one coordinate of a reading
}

// Located says where the board lies. Its figures are those of all readings;
// Outlier holds the placing without the one that does not belong.
type Located struct {
	Placing
	Residuals []MarkResidual // in the order of the readings
	Scale     *Scale         // nil with fewer than two marks
	Outlier   *OddMark       // nil when every reading belongs
	Notes     []Note
}

// Placing is where the board lies, by one choice of readings.
type Placing struct {
	AngleRad  float64    // from the drawn place, counter-clockwise seen from above: turn the program by it
	Move      geom.Rigid // machine frame: drawn place -> where it lies
	ToMachine geom.Rigid // board frame -> machine frame, as the board lies
	Start     Place      // the datum's start
	At        Place      // the chosen point
	Features  []Place    // in the order of LocateSpec.Features
	RMSmm     float64    // root mean square of the distances; 0 when the readings are just enough
	Spare     int        // figures read beyond the three that a pose takes
	// Uncertainty is nil when nothing is left to judge it by and no error was stated.
	Uncertainty *PlaceUncertainty
}

// Place is a point of the board in the machine frame.
type Place struct {
	Drawn, Lies, Shift geom.Vec // Shift = Lies - Drawn
	SD                 geom.Vec // standard deviation each way; zero when not known
	Half               geom.Vec // the interval is Lies +- this at the confidence
}

// PlaceUncertainty is from the scatter of the residuals, or from the stated error
// when there is next to no scatter.
type PlaceUncertainty struct {
	DF           int
	Stated       bool
	Confidence   float64
	ReadingSDmm  float64 // of one coordinate of a reading
	AngleSDRad   float64
	AngleHalfRad float64 // the interval is AngleRad +- this at the confidence
}

// MarkResidual is what a reading differs by from where the fit has it.
type MarkResidual struct {
	Line        int
	Name        string
	Off         geom.Vec // machine frame; along the edge's normal for an edge
	OffMM       float64
	Studentised float64 // externally studentised; zero when there are too few readings
}

// Scale is the factor between measured and drawn distances.
type Scale struct {
	Factor float64 // 1 when all is well
	Half   float64 // the interval is Factor +- this; negative when not known
	SpanMM float64 // longest drawn distance between the first mark and another
	Off    bool    // the interval does not hold 1: a wrong mark, or the axes' steps
}

// OddMark is the reading that does not belong.
type OddMark struct {
	Line        int
	Name        string
	Off         geom.Vec // machine frame, from where the others have it
	OffMM       float64
	Studentised float64
	Limit       float64 // that no reading of a good set passes, with 95 % probability
	Near        string  // the mark that the reading fits instead; "": none
	Without     Placing
}

// Locate finds the turn and shift that carries the drawn board onto the readings
// with the least sum of squared distances. Nothing is stretched. Two marks are
// enough, or one and an edge; a third one guards against a mistake.
//
// Errors, all that are found at once: *InputError, *UnknownNameError; then
// *InchError, *SwappedError, *MirroredError, *ExchangedNamesError, *SkewError for
// readings that are not of this board as they stand, *UnfixedError when they do not fix a pose.
func Locate(readings []MarkReading, s LocateSpec) (Located, error) {
	sights, err := s.sights(readings)
	if err != nil {
		return Located{}, err
	}
	if err := s.mistaken(sights); err != nil {
		return Located{}, err
	}
	if err := s.exchangedNames(readings, sights); err != nil {
		return Located{}, err
	}
	f, ok := fitRigid(sights)
	if err := s.unfixed(&f, ok, sights); err != nil {
		return Located{}, err
	}
	if !s.AnyAngle && math.Abs(f.angle) > mostSkewRad {
		return Located{}, &SkewError{f.angle}
	}
	out := Located{Placing: s.placing(&f)}
	t, odd := s.odd(sights, &f)
	for i, r := range readings {
		m := MarkResidual{Line: r.Line, Name: r.Name, Off: f.offset(sights[i], f.residual[i]), OffMM: f.residual[i].Norm()}
		if t != nil {
			m.Studentised = t[i]
		}
		out.Residuals = append(out.Residuals, m)
	}
	clean, cleanFit := sights, f
	if odd != nil {
		clean = append(append([]sight{}, sights[:odd.sight]...), sights[odd.sight+1:]...)
		if g, ok := fitRigid(clean); ok && s.unfixed(&g, ok, clean) == nil {
			r := readings[odd.sight]
			off := g.residualOf(sights[odd.sight])
			out.Outlier = &OddMark{
				Line: r.Line, Name: r.Name, Off: g.offset(sights[odd.sight], off), OffMM: off.Norm(),
				Studentised: odd.t, Limit: odd.limit, Near: s.nearMark(&g, r), Without: s.placing(&g),
			}
			cleanFit = g
		} else {
			clean = sights
		}
	}
	out.Scale = s.scaleOf(clean)
	out.Notes = s.notes(readings, &out, &cleanFit)
	return out, nil
}

// offset returns a residual as a vector in the machine frame.
func (f *rigidFit) offset(s sight, e geom.Vec) geom.Vec {
	if s.edge {
		return f.turn(s.n).Scale(e.X)
	}
	return e
}

// placing puts a fit into figures.
func (s LocateSpec) placing(f *rigidFit) Placing {
	move := f.move()
	p := Placing{
		AngleRad: f.angle, Move: move,
		ToMachine: geom.Rigid{Angle: math.Remainder(f.angle+s.ToMachine.Angle, 2*math.Pi), Mirror: s.ToMachine.Mirror, Shift: move.Apply(s.ToMachine.Shift)},
		RMSmm:     math.Sqrt(f.sse / float64(len(f.residual))), Spare: f.df,
	}
	sp, ok := s.spread(f.sse, f.df)
	k := 0.0
	if ok {
		k = sp.limit(s.confidence())
		sd := sp.sd * math.Sqrt(f.cov[0][0])
		p.Uncertainty = &PlaceUncertainty{DF: f.df, Stated: sp.stated, Confidence: s.confidence(), ReadingSDmm: sp.sd, AngleSDRad: sd, AngleHalfRad: k * sd}
	}
	at := func(u geom.Vec) Place {
		drawn := s.ToMachine.Apply(u)
		x := Place{Drawn: drawn, Lies: f.apply(drawn)}
		x.Shift = x.Lies.Sub(drawn)
		vx, vy := f.varianceAt(drawn)
		x.SD = geom.Vec{X: sp.sd * math.Sqrt(vx), Y: sp.sd * math.Sqrt(vy)}
		x.Half = x.SD.Scale(k)
		return x
	}
	p.Start, p.At = at(geom.Vec{}), at(s.At)
	for _, u := range s.Features {
		p.Features = append(p.Features, at(u))
	}
	return p
}

// varianceAt returns the variances of where the drawn point p lies, for readings
// of 1 mm^2 variance.
func (f *rigidFit) varianceAt(p geom.Vec) (vx, vy float64) {
	d := f.turn(p.Sub(f.p0)).Left()
	of := func(j [3]float64) (v float64) {
		for m := range 3 {
			for l := range 3 {
				v += j[m] * f.cov[m][l] * j[l]
			}
		}
		return math.Max(0, v)
	}
	return of([3]float64{d.X, 1, 0}), of([3]float64{d.Y, 0, 1})
}

// scaleOf fits a factor beside turn and shift to the marks.
//
//	factor = |(sum p.q, sum p x q)|/sum p.p,  sd = s/sqrt(sum p.p),  s^2 = SSE/(2 n - 4)
func (s LocateSpec) scaleOf(sights []sight) *Scale {
	var p, q []geom.Vec
	for _, x := range sights {
		if !x.edge {
			p, q = append(p, x.p), append(q, x.q)
		}
	}
	if len(p) < 2 {
		return nil
	}
	f, sum, ok := kabsch(p, q)
	if !ok || sum.pp == 0 {
		return nil
	}
	out := &Scale{Factor: sum.scale(), Half: -1, SpanMM: spanOf(p)}
	var sse float64
	for i := range p {
		e := q[i].Sub(f.c).Sub(f.turn(p[i].Sub(f.p0)).Scale(out.Factor))
		sse += e.Dot(e)
	}
	if sp, ok := s.spread(sse, 2*len(p)-4); ok {
		out.Half = sp.limit(s.confidence()) * sp.sd / math.Sqrt(sum.pp)
		out.Off = math.Abs(out.Factor-1) > out.Half
	}
	return out
}
