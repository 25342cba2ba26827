package cli

import (
	"io"

	"reseat/dowel"
	"reseat/fit"
	"reseat/jig/sourced"
)

type processJSON struct {
	Kind     fit.ProcessKind `json:"kind"`
	BiasMM   float64         `json:"bias_mm"`
	SpreadMM float64         `json:"spread_mm"`
	TaperMM  float64         `json:"taper_mm"`
	KerfMM   float64         `json:"kerf_mm"`
	Assumed  []assumedJSON   `json:"assumed"`
}

// assumedJSON is one figure of the process with the range of its sources.
type assumedJSON struct {
	What   string       `json:"what"`
	Taken  float64      `json:"taken"`
	Least  float64      `json:"least"`
	Most   float64      `json:"most"`
	Unit   string       `json:"unit"`
	Mark   sourced.Mark `json:"mark"`
	Source string       `json:"source"`
}

// choiceJSON has the keys of a hole in design.json where it can.
type choiceJSON struct {
	Class          string       `json:"class"`
	Within         string       `json:"within,omitempty"`
	MinMM          float64      `json:"min_mm"`
	MaxMM          float64      `json:"max_mm"`
	DrawnMM        float64      `json:"drawn_mm"`
	Made           string       `json:"made"`
	Holds          bool         `json:"holds"`
	ClearanceMinMM float64      `json:"clearance_min_mm"`
	ClearanceMaxMM float64      `json:"clearance_max_mm"`
	Odds           float64      `json:"odds"`
	ChamferMM      float64      `json:"chamfer_mm"`
	Reamer         *reamerJSON  `json:"reamer"`
	PreReam        *preReamJSON `json:"pre_ream"`
	Explain        []string     `json:"explain"`
	Steps          []string     `json:"steps"`
}

func choiceOut(o holeOptions, c dowel.Choice) choiceJSON {
	j := choiceJSON{
		Class: c.Class, Within: c.Within, MinMM: clean(c.MinMM), MaxMM: clean(c.MaxMM), DrawnMM: clean(drawnMM(o, c)),
		Made: c.Made, Holds: c.Holds, ClearanceMinMM: clean(c.ClearanceMinMM), ClearanceMaxMM: clean(c.ClearanceMaxMM),
		Odds: clean(c.Odds), ChamferMM: clean(c.ChamferMM), Explain: c.Explain, Steps: c.Steps,
	}
	if c.Reamer != nil {
		j.Reamer = reamerOut(*c.Reamer)
	}
	if c.PreDrill != nil {
		j.PreReam = preReamOut(*c.PreDrill)
	}
	return j
}

// refusedJSON is a press fit that would craze the plate.
type refusedJSON struct {
	Says           string  `json:"says"`
	StressMPa      float64 `json:"stress_mpa"`
	CrazingMPa     float64 `json:"crazing_mpa"`
	InterferenceMM float64 `json:"interference_mm"`
}

type holeJSON struct {
	Pin         pinJSON       `json:"pin"`
	Material    string        `json:"material"`
	Family      fit.Family    `json:"family"`
	ThicknessMM float64       `json:"thickness_mm"`
	Process     processJSON   `json:"process"`
	Purpose     dowel.Purpose `json:"purpose"`
	Slot        bool          `json:"slot"`
	Choice      *choiceJSON   `json:"choice,omitempty"`
	Candidates  []choiceJSON  `json:"candidates,omitempty"`
	Refused     *refusedJSON  `json:"refused,omitempty"`
}

func holeHead(o holeOptions, r dowel.Request) holeJSON {
	p := r.Process
	assumed := []assumedJSON{}
	for _, a := range p.Assumed {
		v := a.Range
		assumed = append(assumed, assumedJSON{a.What, clean(a.Taken), clean(v.Least), clean(v.Most), v.Unit, v.Mark, v.Source})
	}
	return holeJSON{
		Pin: pinOut(r.Pin), Material: r.Material, Family: fit.FamilyOf(r.Material), ThicknessMM: r.ThicknessMM,
		Process: processJSON{p.Kind, clean(p.Bias), clean(p.Spread), clean(p.TaperMM), o.kerfMM, assumed},
		Purpose: r.Purpose, Slot: r.Slot,
	}
}

func writeHoleJSON(w io.Writer, o holeOptions, r dowel.Request, choices []dowel.Choice) error {
	out := holeHead(o, r)
	first := choiceOut(o, choices[0])
	out.Choice = &first
	if o.all {
		for _, c := range choices {
			out.Candidates = append(out.Candidates, choiceOut(o, c))
		}
	}
	return writeJSON(w, out)
}

func writeRefusedJSON(w io.Writer, o holeOptions, r dowel.Request, e *dowel.PressError) error {
	out := holeHead(o, r)
	out.Refused = &refusedJSON{e.Error(), clean(e.StressMPa), clean(e.CrazingMPa), clean(e.InterferenceMM)}
	return writeJSON(w, out)
}
