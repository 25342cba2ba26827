package record

import "reseat/jig"

// program is a program of the router without its moves.
type program struct {
	File       string            `json:"file"`
	Part       string            `json:"part"`
	Dialect    string            `json:"dialect"`
	ToolMM     float64           `json:"tool_mm"`
	ToolWhy    string            `json:"tool_why"`
	ReachMM    float64           `json:"tool_reach_mm,omitempty"` // 0: not stated
	ColletMM   float64           `json:"collet_mm,omitempty"`     // 0: not stated
	BelowMM    float64           `json:"below_collet_mm,omitempty"`
	SpindleRPM float64           `json:"spindle_rpm"`
	SafeZMM    float64           `json:"safe_z_mm"`
	LeastMM    [3]float64        `json:"least_mm"` // corner of the box of the tip's way, work zero
	MostMM     [3]float64        `json:"most_mm"`
	DeepestMM  float64           `json:"deepest_mm"` // below the stock's top
	PerTurnMM  float64           `json:"per_turn_mm"`
	Turns      int               `json:"turns"`
	TimeS      float64           `json:"time_s"`
	Holes      []jig.ProgramHole `json:"holes"` // round ones
}

func programOf(p jig.Program) program {
	r := p.Path.Run
	return program{
		File: p.Path.File, Part: p.Part, Dialect: p.Dialect, ToolMM: p.Path.DiameterMM,
		ToolWhy: p.Tool.Why, ReachMM: p.Path.ReachMM, ColletMM: p.Path.ColletMM, BelowMM: p.Path.BelowMM,
		SpindleRPM: p.Path.SpindleRPM, SafeZMM: p.Path.SafeMM,
		LeastMM: [3]float64{r.Min.X, r.Min.Y, r.Min.Z}, MostMM: [3]float64{r.Max.X, r.Max.Y, r.Max.Z},
		DeepestMM: r.DeepestMM(), PerTurnMM: r.PassMM, Turns: r.Passes, TimeS: r.TimeS, Holes: p.Holes,
	}
}
