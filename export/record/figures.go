package record

import (
	"fmt"
	"reflect"

	"reseat/jig"
	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/rail"
)

// figuresOf gives the types of the computing packages, which carry no keys, the form
// that they have in design.json.
func figuresOf(x any) (reflect.Value, bool) {
	switch x := x.(type) {
	case *budget.Budget:
		return reflect.ValueOf(budgetOf(x)), true
	case jig.Program:
		return reflect.ValueOf(programOf(x)), true
	case *rail.Gluing:
		if x == nil {
			return reflect.ValueOf((*gluing)(nil)), true
		}
		return reflect.ValueOf(gluingOf(x)), true
	}
	return reflect.Value{}, false
}

type featureBudget struct {
	Feature       string   `json:"feature"`
	At            geom.Vec `axes:"u_mm,v_mm"`
	Terms         []term   `json:"terms"`
	WorstMM       float64  `json:"worst_mm"` // sum of the terms
	AlongWorstMM  float64  `json:"along_worst_mm"`
	AcrossWorstMM float64  `json:"across_worst_mm"`
	P95MM         float64  `json:"p95_mm"` // simulated
	AlongP95MM    float64  `json:"along_p95_mm"`
	AcrossP95MM   float64  `json:"across_p95_mm"`
	Largest       string   `json:"largest"` // source with the largest share of the mean square error
	LargestShare  float64  `json:"largest_share"`
	Remedy        string   `json:"remedy"`
}

type term struct {
	Source        string  `json:"source"`
	WorstMM       float64 `json:"worst_mm"`
	SDMM          float64 `json:"sd_mm"` // both axes together
	AlongWorstMM  float64 `json:"along_worst_mm"`
	AcrossWorstMM float64 `json:"across_worst_mm"`
	AlongSDMM     float64 `json:"along_sd_mm"`
	AcrossSDMM    float64 `json:"across_sd_mm"`
	AlongOffMM    float64 `json:"along_off_mm"` // known bias, signed
	AcrossOffMM   float64 `json:"across_off_mm"`
	Share         float64 `json:"share"`
}

func budgetOf(b *budget.Budget) []featureBudget {
	var out []featureBudget
	for _, f := range b.Features {
		row := featureBudget{
			Feature: f.Name, At: f.At,
			WorstMM: f.WorstMM, AlongWorstMM: f.AlongWorstMM, AcrossWorstMM: f.AcrossWorstMM,
			P95MM: f.P95MM, AlongP95MM: f.P95AlongMM, AcrossP95MM: f.P95AcrossMM,
		}
		shares := f.Shares()
		for i, t := range f.Terms {
			row.Terms = append(row.Terms, term{
				Source: t.Source, WorstMM: t.WorstMM, SDMM: t.SDMM,
				AlongWorstMM: t.AlongWorstMM, AcrossWorstMM: t.AcrossWorstMM,
				AlongSDMM: t.AlongSDMM, AcrossSDMM: t.AcrossSDMM,
				AlongOffMM: t.AlongBiasMM, AcrossOffMM: t.AcrossBiasMM, Share: shares[i],
			})
		}
		if t, share, ok := f.Largest(); ok {
			row.Largest, row.LargestShare, row.Remedy = t.Source, share, t.Remedy
		}
		out = append(out, row)
	}
	return out
}

type program struct {
	File       string            `json:"file"`
	Part       string            `json:"part"`
	Dialect    string            `json:"dialect"`
	ToolMM     float64           `json:"tool_mm"`
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
		SpindleRPM: p.Path.SpindleRPM, SafeZMM: p.Path.SafeMM,
		LeastMM: [3]float64{r.Min.X, r.Min.Y, r.Min.Z}, MostMM: [3]float64{r.Max.X, r.Max.Y, r.Max.Z},
		DeepestMM: r.DeepestMM(), PerTurnMM: r.PassMM, Turns: r.Passes, TimeS: r.TimeS, Holes: p.Holes,
	}
}

// gluing has the least figures where a range is usual, and the most under a key of
// its own.
type gluing struct {
	PressureMPa       float64 `json:"pressure_mpa"`
	PressureMostMPa   float64 `json:"pressure_most_mpa"`
	ClosingForceN     float64 `json:"closing_force_n"`
	ClosingForceMostN float64 `json:"closing_force_most_n"`
	ClampForceN       float64 `json:"clamp_force_n"`
	Clamps            float64 `json:"clamps"`
	ClampsMost        float64 `json:"clamps_most"`
	GlueG             float64 `json:"glue_g"`
	GlueMostG         float64 `json:"glue_most_g"`
	SqueezeOutML      float64 `json:"squeeze_out_ml"` // at most
	ChamferMM         float64 `json:"squeeze_out_chamfer_mm"`
	SideLoadN         float64 `json:"side_load_n"`   // on one rail, at most
	DeflectionMM      float64 `json:"deflection_mm"` // of the rail's top, at most
	Sources           string  `json:"gluing_sources"`
}

// gluingOf writes the gluing's figures; those that are not known are 0.
func gluingOf(g *rail.Gluing) gluing {
	return gluing{
		GlueG: g.Mass.Least, GlueMostG: g.Mass.Most, SqueezeOutML: g.SqueezeOut.Most, ChamferMM: g.Chamfer.Most,
		PressureMPa: g.Pressure.Least, PressureMostMPa: g.Pressure.Most, ClosingForceN: g.Force.Least,
		ClosingForceMostN: g.Force.Most,
		ClampForceN:       g.ClampForce.Least, Clamps: g.Clamps.Least, ClampsMost: g.Clamps.Most,
		SideLoadN: g.SideLoad.Most, DeflectionMM: g.Deflection.Most,
		Sources: fmt.Sprintf("pressure (%s): %s; spread (%s): %s", g.Pressure.Mark, g.Pressure.Source, g.Spread.Mark,
			g.Spread.Source),
	}
}
