package cli

import (
	"io"

	"reseat/jig/measure"
)

// The structs have the keys that other programs read. A half width or another
// figure that is not known is absent.

type datumJSON struct {
	Title         string             `json:"title"`
	Verdict       measure.Verdict    `json:"verdict"`
	Pass          bool               `json:"pass"` // runout_mm <= tolerance_mm, whatever the uncertainty
	ToleranceMM   float64            `json:"tolerance_mm"`
	ToleranceFrom string             `json:"tolerance_from"`
	Confidence    *float64           `json:"confidence,omitempty"`
	AngleRad      float64            `json:"angle_rad"`
	AngleHalf     *float64           `json:"angle_interval_half_rad,omitempty"`
	AngleSE       *float64           `json:"angle_standard_error_rad,omitempty"`
	RunoutMM      float64            `json:"runout_mm"`
	RunoutHalf    *float64           `json:"runout_interval_half_mm,omitempty"`
	OffsetMM      *float64           `json:"offset_mm,omitempty"`
	OffsetHalf    *float64           `json:"offset_interval_half_mm,omitempty"`
	Points        int                `json:"points"`
	On            []measure.Edge     `json:"on"`
	RMSmm         float64            `json:"rms_mm"`
	ReadingSD     *float64           `json:"reading_sd_mm,omitempty"`
	FromStated    bool               `json:"from_stated_error"`
	Bow           *bowJSON           `json:"bow,omitempty"`
	Edges         *edgesJSON         `json:"edges,omitempty"`
	Outlier       *outlierJSON       `json:"outlier,omitempty"`
	Tap           tapJSON            `json:"tap"`
	Other         tapJSON            `json:"tap_other_end"`
	AtPin         atPinJSON          `json:"at_pin"`
	ProgramRad    float64            `json:"turn_program_rad"` // counter-clockwise seen from above, about the datum's start
	Residuals     []lineResidualJSON `json:"residuals"`
	Notes         []noteJSON         `json:"notes"`
	Says          string             `json:"says"`
}

type bowJSON struct {
	SagittaMM   float64  `json:"sagitta_mm"` // to the left positive
	Half        *float64 `json:"interval_half_mm,omitempty"`
	Significant bool     `json:"significant"`
}

type edgesJSON struct {
	TwistRad       float64  `json:"twist_rad"`
	TwistHalf      *float64 `json:"twist_interval_half_rad,omitempty"`
	Twisted        bool     `json:"twisted"`
	WidthStartMM   *float64 `json:"width_start_error_mm,omitempty"`
	WidthStartHalf *float64 `json:"width_start_interval_half_mm,omitempty"`
	WidthFarMM     *float64 `json:"width_far_error_mm,omitempty"`
	WidthFarHalf   *float64 `json:"width_far_interval_half_mm,omitempty"`
	TaperFitted    bool     `json:"taper_fitted"`
}

type outlierJSON struct {
	Line        int             `json:"line"`
	On          measure.Edge    `json:"on"`
	StationMM   float64         `json:"station_mm"`
	OffMM       float64         `json:"off_mm"`
	Studentised float64         `json:"studentised"`
	Limit       float64         `json:"limit"`
	Verdict     measure.Verdict `json:"verdict_without"`
	AngleRad    float64         `json:"angle_without_rad"`
	RunoutMM    float64         `json:"runout_without_mm"`
	RunoutHalf  *float64        `json:"runout_without_interval_half_mm,omitempty"`
}

type tapJSON struct {
	End       string  `json:"end"`
	Toward    string  `json:"toward"`
	Direction string  `json:"direction"`
	MM        float64 `json:"mm"`
}

type atPinJSON struct {
	ID         string  `json:"id,omitempty"`
	From       string  `json:"from,omitempty"` // what told the pin; absent: it is the far end
	StationMM  float64 `json:"station_mm"`
	Toward     string  `json:"toward"`
	Direction  string  `json:"direction"`
	MM         float64 `json:"mm"`
	Hundredths int     `json:"hundredths"`
}

type lineResidualJSON struct {
	Line        int          `json:"line"`
	On          measure.Edge `json:"on"`
	StationMM   float64      `json:"station_mm"`
	ResidualMM  float64      `json:"residual_mm"`
	FromLineMM  float64      `json:"from_line_mm"`
	Studentised float64      `json:"studentised"`
}

func writeDatumJSON(w io.Writer, j datumJob, r measure.DatumReport) error {
	c := r.AtPin
	out := datumJSON{
		Title: j.title, Verdict: r.Verdict, Pass: r.Pass, ToleranceMM: r.ToleranceMM, ToleranceFrom: j.toleranceFrom,
		AngleRad: r.AngleRad, RunoutMM: r.RunoutMM, Points: r.Points, On: r.UsedEdges, RMSmm: r.RMSmm,
		Tap: tapJSON(r.Tap), Other: tapJSON(r.Other),
		AtPin:      atPinJSON{j.pin.id, j.pin.from, c.StationMM, c.Toward, c.Direction, c.MM, c.Hundredths},
		ProgramRad: r.ProgramRad, Residuals: []lineResidualJSON{}, Notes: notesJSON(r.Notes), Says: r.Says,
	}
	if r.OffsetKnown {
		out.OffsetMM = &r.OffsetMM
	}
	if u := r.Uncertainty; u != nil {
		out.Confidence, out.AngleHalf, out.AngleSE = &u.Confidence, &u.AngleHalfRad, &u.AngleSERad
		out.RunoutHalf, out.ReadingSD, out.FromStated = &u.RunoutHalfMM, &u.ResidualSDmm, u.Stated
		if r.OffsetKnown {
			out.OffsetHalf = &u.OffsetHalfMM
		}
	}
	if b := r.Bow; b != nil {
		out.Bow = &bowJSON{b.SagittaMM, known(b.HalfMM), b.Significant}
	}
	if e := r.Edges; e != nil {
		out.Edges = &edgesJSON{TwistRad: e.TwistRad, TwistHalf: known(e.TwistHalfRad), Twisted: e.Twisted, TaperFitted: e.TaperFitted}
		if e.WidthKnown {
			out.Edges.WidthStartMM, out.Edges.WidthStartHalf = &e.WidthStartMM, known(e.WidthStartHalfMM)
			out.Edges.WidthFarMM, out.Edges.WidthFarHalf = &e.WidthFarMM, known(e.WidthFarHalfMM)
		}
	}
	if o := r.Outlier; o != nil {
		out.Outlier = &outlierJSON{
			o.Line, o.On, o.StationMM, o.OffMM, o.Studentised, o.Limit,
			o.Without.Verdict, o.Without.AngleRad, o.Without.RunoutMM, known(o.Without.RunoutHalfMM),
		}
	}
	for _, x := range r.Residuals {
		out.Residuals = append(out.Residuals, lineResidualJSON(x))
	}
	return writeJSON(w, out)
}
