package measure

import (
	"math"

	"reseat/jig/reading"
	"reseat/jig/verdict"
)

// DatumReport says how the board lies. Its figures are those of all readings but one that
// certainly does not belong.
type DatumReport struct {
	Judgement
	*Uncertainty         // nil when nothing is left to judge by and no error was stated
	ToleranceMM  float64 `json:"tolerance_mm"`
	Pass         bool    `json:"pass"` // RunoutMM <= ToleranceMM, whatever the uncertainty
	// OffsetMM is the datum line's start from where it should lie, to the left positive; nil
	// when a dial alone was read, whose zero lies anywhere.
	OffsetMM   *float64           `json:"offset_mm,omitempty"`
	OffsetHalf *float64           `json:"offset_interval_half_mm,omitempty"`
	Place      *Aside             `json:"place,omitempty"` // nil as OffsetMM is, and without an interval
	Points     int                `json:"points"`
	On         []string           `json:"on"`              // the lines of the board that were read, in the readings' order
	RMSMM      float64            `json:"rms_mm"`          // root mean square of the residuals
	Bow        *Bow               `json:"bow,omitempty"`   // nil when there are too few stations to tell
	Serial     *SerialCorrelation `json:"waves,omitempty"` // nil when the scatter shows none
	Edges      *Edges             `json:"edges,omitempty"` // nil unless both edges were read
	Outlier    *Outlier           `json:"outlier,omitempty"`
	// ProgramRad turns a program instead of the board: by this much, counter-clockwise
	// seen from above, about the datum's start.
	ProgramRad float64    `json:"turn_program_rad"`
	Residuals  []Residual `json:"residuals"` // in the order of the readings

	UncoveredMM float64  `json:"-"` // length of the board that no reading covers
	Repeats     []Repeat `json:"-"`
	// Contradicted: the readings scatter by more than the stated error lets happen.
	Contradicted bool `json:"-"`
	// NoTaperMM is the job's taper per edge over the board where a dial shows next to none
	// of it, as when it ran along a straight fence; otherwise 0.
	NoTaperMM float64 `json:"-"`
}

// Judgement is the answer from one choice of readings.
type Judgement struct {
	// Verdict on the direction: good when the whole interval lies within the tolerance.
	Verdict verdict.Word `json:"verdict"`
	// AngleRad is that of the datum line from where it should run, counter-clockwise seen
	// from above.
	AngleRad   float64  `json:"angle_rad"`
	AngleHalf  *float64 `json:"angle_interval_half_rad,omitempty"`
	RunoutMM   float64  `json:"runout_mm"` // |tan angle| x length: how far the far end is off when the start is right
	RunoutHalf *float64 `json:"runout_interval_half_mm,omitempty"`
	Far        Tap      `json:"tap"`           // what puts it right at the far end
	Start      Tap      `json:"tap_other_end"` // the same correction made at the start
}

// Tap is a correction in the shop's words; the other end stays.
type Tap struct {
	End       string  `json:"end"`       // "start" or "far": the end to move
	Toward    string  `json:"toward"`    // "left" or "right", looking from the start end, seen from above
	Direction string  `json:"direction"` // machine direction: "+X", "-X", "+Y" or "-Y"
	MM        float64 `json:"mm"`
}

// Residual is what a reading differs from the fitted line by, to the left positive.
type Residual struct {
	Line       int     `json:"line"`
	On         string  `json:"on"`
	StationMM  float64 `json:"station_mm"` // along the datum line from the board's start
	ResidualMM float64 `json:"residual_mm"`
	// FromLineMM is the same from the straight line: the residual and the bow that
	// was fitted, if any. It is what a chart of the board's shape shows.
	FromLineMM  float64 `json:"from_line_mm"`
	Studentised float64 `json:"studentised"` // externally; zero when there are too few readings
}

// Bow is how far the board is bent in its plane.
type Bow struct {
	// SagittaMM is the middle of the board from the chord between its ends, to the left
	// positive.
	SagittaMM   float64  `json:"sagitta_mm"`
	Half        *float64 `json:"interval_half_mm,omitempty"`
	Significant bool     `json:"significant"` // the interval excludes zero; the angle is then that of the chord
}

// Edges is how the two edges differ from the job's.
type Edges struct {
	TwistRad    float64  `json:"twist_rad"` // angle between the edges less the job's: positive when the board widens more
	TwistHalf   *float64 `json:"twist_interval_half_rad,omitempty"`
	Twisted     bool     `json:"twisted"`      // the interval excludes zero
	TaperFitted bool     `json:"taper_fitted"` // the angle allows for the twist; false: the job's taper was trusted
	// The widths less the job's; nil when an edge was read by dial alone, whose zero lies
	// anywhere.
	WidthStartMM   *float64 `json:"width_start_error_mm,omitempty"`
	WidthStartHalf *float64 `json:"width_start_interval_half_mm,omitempty"`
	WidthFarMM     *float64 `json:"width_far_error_mm,omitempty"`
	WidthFarHalf   *float64 `json:"width_far_interval_half_mm,omitempty"`
}

// Outlier is the reading that does not belong.
type Outlier struct {
	Line        int     `json:"line"`
	On          string  `json:"on"`
	StationMM   float64 `json:"station_mm"`
	OffMM       float64 `json:"off_mm"` // from the line of the others, to the left positive
	Studentised float64 `json:"studentised"`
	Limit       float64 `json:"limit"`    // that no reading of a good set passes, with 95 % probability
	LeftOut     bool    `json:"left_out"` // it lies off by so much that the figures leave it out
}

// leastSpanMM is the shortest span of stations that a direction is taken from.
// A point touched by hand is good to a few hundredths; over less than 10 mm that
// alone is more than 1 mm at the far end of a neck. Common practice, no source.
const leastSpanMM = 10.0

// CheckDatum lays the datum line through the readings and compares it with
// where it should run. Each reading's distance from its own line (the datum line,
// or an edge of the tapered board) is taken square to that line, so the taper is
// removed exactly and one slope, the tangent of the angle, is common to all. The
// edges keep offsets of their own: a board that is wider than the job says does
// not turn into an angle. With enough readings on both edges the taper is fitted
// too, so that a wrong taper does not turn into one either; and when the readings
// show a bow, the angle is that of the chord between the board's ends.
//
// The error tells readings in the wrong unit or with axes exchanged, off the board, that
// give no direction, of a board turned too far or end for end, or with left and right mixed up.
func CheckDatum(readings []reading.Reading, s Spec) (DatumReport, error) {
	g := s.gather(readings)
	if err := g.misread(readings); err != nil {
		return DatumReport{}, err
	}
	if err := reading.Joined(append(g.offBoard(), g.directionless()...)); err != nil {
		return DatumReport{}, err
	}
	a, ok := g.analyse()
	if !ok {
		along, across := g.spans()
		return DatumReport{}, tooFew(len(readings), "", along, across)
	}
	if w, ok := g.startWidth(&a.plain); ok && w < 0 {
		return DatumReport{}, edgesExchanged(w)
	}
	slope, _ := a.plain.contrast(a.plain.of(slopeTerm, 1)...)
	if angle := math.Atan(slope); math.Abs(angle) > mostSkewRad {
		return DatumReport{}, skewed(angle)
	}
	r := g.report(a)
	if err := s.endForEnd(r.Edges); err != nil {
		return DatumReport{}, err
	}
	return r, nil
}
