package measure

import (
	"math"

	"reseat/jig/geom"
	"reseat/jig/reading"
)

// Spec is the board as drawn, how it was measured, and what the answer is held against.
// Each answer takes the fields that it needs; its caller has checked them.
type Spec struct {
	LengthMM, WidthStartMM, WidthEndMM float64         // of the board
	Sides                              map[string]Side // of another board, those that are touched; nil: straight and tapered
	CrownRadiusMM                      float64         // of its top; 0: flat
	ToMachine                          geom.Rigid      // board frame -> machine frame, as drawn
	// Points on an edge or a rim are probe centres ProbeRadiusMM from it; 0: on it.
	ProbeRadiusMM float64
	ToleranceMM   float64 // CheckDatum: largest runout over the board's length
	AccuracyMM    float64 // how far zero may lie off, and a touch off the others; 0: any distance
	Precision

	// For Locate.
	File     string // the readings file, for messages
	Marks    []Mark
	At       []geom.Vec // board frame: the points that Pose.Places tells of
	AnyAngle bool       // take a board that is turned by more than ten degrees
	// A mark lies off by plus or minus this, 95 %, each way, since it was made; 0: not known.
	MarkErrorMM float64

	// For ZeroRim.
	DiameterMM float64 // of the rim as drawn; 0: not known
	// DiameterErrorMM is how far the rim can be off that, plus or minus, 95 %.
	DiameterErrorMM float64
	Outside         bool // the probe stood outside: round a pin or a raised dot, not in a hole

	// For CheckDatum: the stations that must come back (none: the board's ends), and how far a board
	// is bowed in its plane, middle from the chord between its ends, plus or minus, 95 %; 0: straight.
	Stations []float64
	BowMM    float64

	// For CheckDatum, ZeroEdges and the height. What the touches do not tell is good to plus or minus
	// this, 95 %; 0: taken as exact.
	TurnErrorRad   float64 // turn from ToMachine
	WidthErrorMM   float64 // of the board's width
	FeelerErrorMM  float64 // of the feeler's thickness
	AcrossErrorMM  float64 // of a top's touch from the datum line
	FlatMM, BallMM float64 // diameter of the flat or ball tip that touched the top; 0: a point
}

// Side is the line of a straight stretch of an edge, board frame: v at station 0, and its slope.
type Side struct{ VMM, Slope float64 }

// width returns the drawn width of the board at a station.
func (s *Spec) width(u float64) float64 {
	if s.Sides != nil {
		l, r := s.Sides[reading.OnLeft], s.Sides[reading.OnRight]
		return l.VMM - r.VMM + float64((l.Slope-r.Slope)*u)
	}
	return s.WidthStartMM + (s.WidthEndMM-s.WidthStartMM)*u/s.LengthMM
}

// boardLine is a line of the drawn board in the board frame: through (0, v) at the angle
// whose sine and cosine are given.
type boardLine struct {
	v, sin, cos float64
	out         float64 // side on which the probe stands: +1 left, -1 right, 0 on the line
}

// line returns the datum line or a long edge of the board.
//
//	edge of a tapered board: v = +-(width start/2 + u (width end - width start)/(2 length))
func (s *Spec) line(on string) boardLine {
	side := map[string]float64{reading.OnLeft: 1, reading.OnRight: -1}[on]
	if k, drawn := s.Sides[on]; drawn {
		h := math.Hypot(1, k.Slope)
		return boardLine{k.VMM, k.Slope / h, 1 / h, side}
	}
	t := side * (s.WidthEndMM - s.WidthStartMM) / 2 / s.LengthMM
	h := math.Hypot(1, t)
	return boardLine{side * s.WidthStartMM / 2, t / h, 1 / h, side}
}

// edge returns the drawn edge as an observation in the board frame; ok is false when on
// names none.
func (s *Spec) edge(on string) (o observation, ok bool) {
	switch on {
	case reading.OnLeft, reading.OnRight:
		l := s.line(on)
		return observation{drawn: geom.Vec{Y: l.v}, normal: geom.Vec{X: -l.sin, Y: l.cos}.Scale(l.out),
			probe: s.ProbeRadiusMM, long: true}, true
	case reading.OnStart:
		return observation{normal: geom.Vec{X: -1}, probe: s.ProbeRadiusMM}, true
	}
	return o, false
}
