package cli

import "reseat/jig/measure"

// The structs have the keys that other programs read. What was not touched, or is not
// known, is absent, as is what to type when it is in doubt.

type zeroJSON struct {
	Title string     `json:"title,omitempty"`
	Holds bool       `json:"holds_good"`
	Rim   *rimJSON   `json:"rim,omitempty"`
	Edges *sidesJSON `json:"edges,omitempty"`
	Top   *topJSON   `json:"top,omitempty"`
	Ways  []wayJSON  `json:"ways"`
}

type rimJSON struct {
	At           string     `json:"at,omitempty"`
	XMM          float64    `json:"x_mm"`
	YMM          float64    `json:"y_mm"`
	DrawnXMM     float64    `json:"drawn_x_mm"`
	DrawnYMM     float64    `json:"drawn_y_mm"`
	Type         string     `json:"type,omitempty"`
	DiameterMM   float64    `json:"diameter_mm"`
	ArcRad       float64    `json:"arc_rad"`
	RMSmm        float64    `json:"rms_mm"`
	Confidence   *float64   `json:"confidence,omitempty"`
	XHalf        *float64   `json:"x_half_mm,omitempty"`
	YHalf        *float64   `json:"y_half_mm,omitempty"`
	WorstHalf    *float64   `json:"worst_half_mm,omitempty"`
	DiameterHalf *float64   `json:"diameter_half_mm,omitempty"`
	Residuals    []float64  `json:"residuals_mm"`
	Lines        []int      `json:"lines"`
	Odd          *oddJSON   `json:"outlier,omitempty"`
	Notes        []noteJSON `json:"notes"`
}

type oddJSON struct {
	Line        int     `json:"line"`
	OffMM       float64 `json:"off_mm"`
	Studentised float64 `json:"studentised"`
	Limit       float64 `json:"limit"`
	XMM         float64 `json:"x_without_mm"`
	YMM         float64 `json:"y_without_mm"`
	DiameterMM  float64 `json:"diameter_without_mm"`
}

// sidesJSON tells the datum's start; a coordinate or another figure that the touches
// do not tell is absent.
type sidesJSON struct {
	XMM        *float64        `json:"x_mm,omitempty"`
	YMM        *float64        `json:"y_mm,omitempty"`
	AngleRad   *float64        `json:"angle_rad,omitempty"`
	WidthMM    *float64        `json:"width_error_mm,omitempty"`
	Type       string          `json:"type,omitempty"`
	RMSmm      float64         `json:"rms_mm"`
	Confidence *float64        `json:"confidence,omitempty"`
	XHalf      *float64        `json:"x_half_mm,omitempty"`
	YHalf      *float64        `json:"y_half_mm,omitempty"`
	AngleHalf  *float64        `json:"angle_half_rad,omitempty"`
	WidthHalf  *float64        `json:"width_half_mm,omitempty"`
	Residuals  []sideTouchJSON `json:"residuals"`
	Notes      []noteJSON      `json:"notes"`
}

type sideTouchJSON struct {
	Line  int               `json:"line"`
	Kind  measure.TouchKind `json:"kind"`
	OffMM float64           `json:"off_mm"`
}

func (r zeroReport) sides() *sidesJSON {
	z := r.edges
	out := &sidesJSON{RMSmm: z.RMSmm, Residuals: []sideTouchJSON{}, Notes: notesJSON(z.Notes)}
	u := z.Uncertainty
	if u != nil {
		out.Confidence = &u.Confidence
	}
	if r.edgesDoubt() == "" {
		out.Type = r.edgeCommand()
	}
	hx, hy := r.edgeHalves()
	x, y := r.edgeAxes()
	if x {
		out.XMM, out.XHalf = &z.Start.X, known(hx)
	}
	if y {
		out.YMM, out.YHalf = &z.Start.Y, known(hy)
	}
	if z.AngleKnown {
		if out.AngleRad = &z.AngleRad; u != nil {
			out.AngleHalf = &u.AngleHalfRad
		}
	}
	if z.WidthKnown {
		if out.WidthMM = &z.WidthOffMM; u != nil {
			out.WidthHalf = &u.WidthHalfMM
		}
	}
	for _, t := range z.Residuals {
		out.Residuals = append(out.Residuals, sideTouchJSON(t))
	}
	return out
}

type topJSON struct {
	ZMM        float64        `json:"z_mm"`
	TypeAtZMM  *float64       `json:"type_at_z_mm,omitempty"`
	Type       string         `json:"type,omitempty"`
	RMSmm      float64        `json:"rms_mm"`
	Confidence *float64       `json:"confidence,omitempty"`
	Half       *float64       `json:"z_half_mm,omitempty"`
	Touches    []topTouchJSON `json:"touches"`
	Notes      []noteJSON     `json:"notes"`
}

type topTouchJSON struct {
	Line   int     `json:"line"`
	VMM    float64 `json:"v_mm"`
	RiseMM float64 `json:"rise_mm"`
	ZMM    float64 `json:"z_mm"`
}

// wayJSON is a way of finding zero and what the budget counts for it.
type wayJSON struct {
	Name   string  `json:"name"`
	HalfMM float64 `json:"half_mm"`
	How    string  `json:"how"`
	Basis  string  `json:"basis"`
}

func (r zeroReport) json() zeroJSON {
	out := zeroJSON{Holds: r.good()}
	if r.job != nil {
		out.Title = r.job.Title
	}
	for _, m := range measure.ZeroMethods() {
		out.Ways = append(out.Ways, wayJSON(m))
	}
	if z := r.rim; z != nil {
		out.Rim = &rimJSON{
			At: r.at, XMM: z.Center.X, YMM: z.Center.Y, DrawnXMM: r.drawn.X, DrawnYMM: r.drawn.Y,
			DiameterMM: z.DiameterMM, ArcRad: z.ArcRad, RMSmm: z.RMSmm, Residuals: z.Residuals, Lines: r.lines, Notes: notesJSON(z.Notes),
		}
		if u := z.Uncertainty; u != nil {
			out.Rim.Confidence, out.Rim.XHalf, out.Rim.YHalf = &u.Confidence, &u.Half.X, &u.Half.Y
			out.Rim.WorstHalf, out.Rim.DiameterHalf = &u.WorstMM, &u.DiameterHalfMM
		}
		if r.rimDoubt() == "" {
			out.Rim.Type = r.rimCommand()
		}
		if o := z.Odd; o != nil {
			out.Rim.Odd = &oddJSON{r.lines[o.Index], o.OffMM, o.Studentised, o.Limit, o.Center.X, o.Center.Y, o.DiameterMM}
		}
	}
	if r.edges != nil {
		out.Edges = r.sides()
	}
	if z := r.top; z != nil {
		out.Top = &topJSON{ZMM: z.ZMM, RMSmm: z.RMSmm, Touches: []topTouchJSON{}, Notes: notesJSON(z.Notes)}
		if u := z.Uncertainty; u != nil {
			out.Top.Confidence, out.Top.Half = &u.Confidence, &u.HalfMM
		}
		if r.topDoubt() == "" {
			at := z.ZMM + clearMM
			out.Top.Type, out.Top.TypeAtZMM = topCommand(), &at
		}
		for _, t := range z.Touches {
			out.Top.Touches = append(out.Top.Touches, topTouchJSON{t.Line, t.VMM, t.RiseMM, t.ZMM})
		}
	}
	return out
}
