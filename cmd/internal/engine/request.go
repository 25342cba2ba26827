package engine

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"reseat/cmd/internal/outputs"
	"reseat/export/dxf"
	"reseat/jig/job"
)

// Request is one question of the page. Which of its fields count follows from Ask.
type Request struct {
	// Ask: "look", "edit", "files", "file", "touches", "measure" or "starter".
	Ask      string       `json:"ask"`
	Name     string       `json:"name"` // of the job file
	Text     string       `json:"text"` // the job
	Quick    bool         `json:"quick"`
	Set      []job.Change `json:"set"`
	File     string       `json:"file"` // "": all of them, zipped
	DXF      dxf.Flavour  `json:"dxf"`
	ThreeMF  bool         `json:"three_mf"`
	Verb     string       `json:"verb"`
	Side     string       `json:"side"`
	ProbeMM  float64      `json:"probe_mm"`
	Flags    []string     `json:"flags"`
	Readings string       `json:"readings"`
	Columns  []string     `json:"columns"`
	Typed    [][]string   `json:"typed"` // into the readings, which are a plan then; nil: they are whole
	Inch     bool         `json:"inch"`
	// Beside are files that the job names, where there is no disk.
	Beside map[string][]byte `json:"beside"`
}

// Edited is a text after an edit.
type Edited struct {
	Text  string `json:"text"`
	Fault string `json:"fault"`
}

// Got is a file's bytes, or the list of all files.
type Got struct {
	Files []Listed `json:"files,omitempty"`
	Data  []byte   `json:"data,omitempty"`
	Fault string   `json:"fault,omitempty"`
}

// Ask answers a request. open opens the files that a job names; nil: there are none. The error is for a
// request that no page makes, or for which nobody waits any more: the context has ended.
func (e *Engine) Ask(ctx context.Context, request []byte, open job.Opener) ([]byte, error) {
	var r Request
	if err := json.Unmarshal(request, &r); err != nil {
		return nil, fmt.Errorf("request: %w", err)
	}
	if open == nil {
		open = OpenFrom(r.Beside)
	}
	a, err := e.answer(ctx, r, Job{r.Name, r.Text, open})
	if err = errors.Join(err, ctx.Err()); err != nil {
		return nil, err
	}
	return json.Marshal(a)
}

func (e *Engine) answer(ctx context.Context, r Request, j Job) (any, error) {
	switch r.Ask {
	case "look":
		return e.Look(ctx, j, r.Quick), nil
	case "starter":
		return Edited{Text: Starter(r.Inch)}, nil
	case "edit":
		return edited(j.Text, r.Set), nil
	case "files", "file":
		return e.got(ctx, r, j), nil
	case "touches":
		return e.ToTouch(j, r.Verb, r.Side, r.ProbeMM), nil
	case "measure":
		if r.Typed != nil {
			filled, err := fill(r.Readings, r.Columns, r.Typed)
			if err != nil {
				return Measured{Fault: err.Error()}, nil
			}
			r.Readings = filled
		}
		return Measure(j, r.Verb, r.Readings, r.Flags), nil
	}
	return nil, fmt.Errorf("request: no such question: %q", r.Ask)
}

// edited makes all changes or none.
func edited(text string, set []job.Change) Edited {
	now := text
	for _, c := range set {
		var err error
		if now, err = Edit(now, c.Key, c.Value); err != nil {
			return Edited{Text: text, Fault: c.Key + ": " + err.Error()}
		}
	}
	return Edited{Text: now}
}

func (e *Engine) got(ctx context.Context, r Request, j Job) Got {
	b, err := e.Files(ctx, j, outputs.Options{ThreeMF: r.ThreeMF, DXF: r.DXF})
	if err != nil {
		return Got{Fault: err.Error()}
	}
	if r.Ask == "files" {
		return Got{Files: listed(b)}
	}
	data, err := content(b, r.File)
	if err != nil {
		return Got{Fault: err.Error()}
	}
	return Got{Data: data}
}
