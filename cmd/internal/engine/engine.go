// Package engine answers for a page what the commands answer on the terminal: the text of a job goes in,
// and faults, verdict, sizes, drawings and files come out as values. It reads and writes no files, so that
// it serves behind a server and within a browser alike.
package engine

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"reseat/cmd/internal/report"
	"reseat/export"
	"reseat/export/overview"
	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/job"
	"reseat/jig/setup"
	"reseat/jig/units"
)

// Job is the text of a job file, not yet read.
type Job struct {
	Name string // of its file, without a folder
	Text string
	// Open opens the files that the text names; nil: there are none.
	Open func(name string) (fs.File, error)
}

// Fault is one thing wrong with a job's text.
type Fault struct {
	Line   int    `json:"line"` // from 1; 0: no place
	Column int    `json:"column"`
	Key    string `json:"key"` // dotted; "": none
	Says   string `json:"says"`
	Remedy string `json:"remedy"`
	File   string `json:"file,omitempty"` // where it is another than the job's
}

// Finding is a rule that does not pass.
type Finding struct {
	ID       string       `json:"id"`
	Level    string       `json:"level"` // "fail" or "warn"
	Says     string       `json:"says"`
	Line     int          `json:"line"`
	Remedies []jig.Remedy `json:"remedies"` // changes of the text by which it passes
}

// Step is a set-up in the order of work.
type Step struct {
	Title    string   `json:"title"`
	Place    string   `json:"place"`
	Part     string   `json:"part"`
	Lies     string   `json:"lies"`
	Files    []string `json:"files"`
	Tool     string   `json:"tool"`
	Zero     string   `json:"zero"`
	Steps    []string `json:"steps"`
	Checks   []string `json:"checks"`
	Cautions []string `json:"cautions"`
}

// Answer is what a job comes to. With faults all else is empty but the sizes.
type Answer struct {
	Title    string    `json:"title"`
	Faults   []Fault   `json:"faults"`
	Holds    bool      `json:"holds"`
	Word     string    `json:"word"` // the verdict
	Says     string    `json:"says"`
	Findings []Finding `json:"findings"`
	Sizes    []Size    `json:"sizes"`
	Plate    string    `json:"plate"` // the plate's picture, SVG
	PlateAlt string    `json:"plate_alt"`
	Walls    bool      `json:"walls"` // the board is pushed against some, which the picture shows
	Take     []string  `json:"take"`
	Work     []Step    `json:"work"`
	Notes    []string  `json:"notes"`
	Flips    bool      `json:"flips"` // the board is turned over for a second face
	Safety   string    `json:"safety"`
}

// Look reads a job and designs it. quick: what would help where it does not hold is not looked for.
func (e *Engine) Look(ctx context.Context, j Job, quick bool) Answer {
	a := Answer{Sizes: sizesOf(strings.TrimPrefix(j.Text, byteOrderMark)), Safety: export.Safety}
	d, err := e.design(ctx, j, quick)
	if err != nil {
		a.Faults = faultsOf(j, err)
		return a
	}
	a.Title, a.Holds = d.Title, true
	a.Word, a.Says = report.Verdict(d)
	for _, level := range []jig.Level{jig.Fail, jig.Warn} {
		for _, r := range d.Rules {
			if r.Level == level {
				a.Holds = a.Holds && level != jig.Fail
				a.Findings = append(a.Findings, Finding{r.ID, string(level), r.Says, r.Line, r.Remedies})
			}
		}
	}
	var svg bytes.Buffer
	if err := picture.WriteSVG(&svg, overview.Plate(d)); err != nil {
		a.Faults = faultsOf(j, err)
	}
	a.Plate, a.PlateAlt = svg.String(), overview.AltText(d)
	a.Walls = len(d.Template.Stops) > 0
	a.Take, a.Notes = report.TakeList(d), d.Notes
	for _, s := range d.Setups {
		a.Work = append(a.Work, stepOf(s))
		a.Flips = a.Flips || s.ID == setup.TurnOver
	}
	return a
}

func stepOf(s setup.Setup) Step {
	out := Step{Title: s.Title, Place: s.Place, Part: s.Part, Lies: s.Lies, Files: s.Files, Steps: s.Steps,
		Cautions: s.Cautions}
	if s.Program != "" {
		out.Files = append(slices.Clone(s.Files), s.Program)
	}
	if t := s.Tool; t != nil {
		out.Tool = fmt.Sprintf("%s %s mm, reach %s mm", t.Name, units.Decimal(t.DiameterMM, 3),
			units.Fixed(t.ReachNeededMM, 1))
	}
	if s.Zero != nil {
		out.Zero = s.Zero.Says
	}
	for _, c := range s.Checks {
		out.Checks = append(out.Checks, report.Checks([]setup.Check{c}))
	}
	return out
}

// read reads a job's text.
func (j Job) read() (*job.Job, error) { return job.Parse(j.Name, []byte(j.Text), j.Open) }

// faultsOf are the faults that an error holds.
func faultsOf(j Job, err error) (out []Fault) {
	var all *job.Problems
	if !errors.As(err, &all) {
		return []Fault{{Says: err.Error()}}
	}
	for _, p := range all.List {
		f := Fault{p.Pos.Line, p.Pos.Column, p.Path, p.Says, p.Remedy, p.File}
		if f.File == j.Name {
			f.File = ""
		}
		out = append(out, f)
	}
	return out
}

// Starter is a commented job to begin with; inch: in inches.
func Starter(inch bool) string {
	unit := units.MM
	if inch {
		unit = units.Inch
	}
	return string(job.Starter(unit))
}
