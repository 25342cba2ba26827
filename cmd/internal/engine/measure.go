package engine

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/cmd/internal/measuring"
	"reseat/cmd/internal/touching"
	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/reading"
	"reseat/jig/touch"
	"reseat/jig/units"
)

// Measured is what readings come to: the words of the command and what it tells other programs.
type Measured struct {
	Text     string          `json:"text"`
	Document json.RawMessage `json:"document"` // nil with Fault
	Fault    string          `json:"fault"`    // "": none
}

// readingsFile is what typed readings are called in messages.
const readingsFile = "readings.csv"

// verbs are the commands that take readings.
var verbs = map[string]func(command.Streams) *cobra.Command{
	"datum": measuring.NewDatum, "locate": measuring.NewLocate, "zero": measuring.NewZero,
}

// Measure has readings judged by the command of the verb: readings are its CSV, flags those of the command
// line.
func Measure(j Job, verb, readings string, flags []string) Measured {
	text, err := run(j, verb, readings, flags)
	if err != nil {
		return Measured{Fault: err.Error()}
	}
	doc, err := run(j, verb, readings, append([]string{"--json"}, flags...))
	if err != nil {
		return Measured{Fault: err.Error()}
	}
	return Measured{Text: string(text), Document: doc}
}

// run runs a command over the job and the readings alone; a verdict that is not good is no error.
func run(j Job, verb, readings string, flags []string) ([]byte, error) {
	make, ok := verbs[verb]
	if !ok {
		return nil, fmt.Errorf("no measurement is called %q", verb)
	}
	own := OpenFrom(map[string][]byte{j.Name: []byte(j.Text), readingsFile: []byte(readings)})
	open := func(name string) (fs.File, error) {
		f, err := own(name)
		if err != nil && j.Open != nil {
			return j.Open(name)
		}
		return f, err
	}
	var out bytes.Buffer
	root := &cobra.Command{Use: "reseat", SilenceErrors: true, SilenceUsage: true}
	root.AddCommand(make(command.Streams{Out: &out, Err: io.Discard, Open: open}))
	root.SetArgs(append([]string{verb, readingsFile, "--job", j.Name}, flags...))
	root.SetOut(&out)
	root.SetErr(io.Discard)
	err := root.Execute()
	if errors.Is(err, command.ErrFails) {
		err = nil
	}
	return out.Bytes(), err
}

// Touches is what to touch for a verb, in order, and the file that takes what the machine showed.
type Touches struct {
	CSV     string   `json:"csv"`
	Typed   []string `json:"typed"` // columns that are filled in
	Rows    []Row    `json:"rows"`
	Blocked []string `json:"told"` // what cannot be touched, and why
	Enough  bool     `json:"sure"`
	Fault   string   `json:"fault"`
}

// Row is one touch.
type Row struct {
	Line   int      `json:"line"` // of the filled file
	On     string   `json:"on"`   // as its first column has it
	What   string   `json:"what"`
	Place  string   `json:"place"`  // on the board
	Expect []string `json:"expect"` // what each column that it has shows when all lies as drawn; "": unknown
	Driven []bool   `json:"driven"` // columns that are driven to, not found
}

// ToTouch plans the touches for a verb with a side up and a probe of a diameter in mm.
func (e *Engine) ToTouch(j Job, verb, side string, probeMM float64) Touches {
	fault := func(err error) Touches { return Touches{Fault: err.Error()} }
	read, err := j.read()
	if err != nil {
		return fault(err)
	}
	now, up, err := measuring.JobAsNow(read, side)
	if err != nil {
		return fault(err)
	}
	d, err := jig.Judged(now)
	if err != nil {
		return fault(err)
	}
	plan, blocked, enough, err := touching.Plan(d, touch.Spec{Job: now, Up: up, For: touch.Purpose(verb),
		ProbeMM: probeMM})
	if err != nil {
		return fault(err)
	}
	var file bytes.Buffer
	if err := plan.Write(&file); err != nil {
		return fault(err)
	}
	t := Touches{CSV: file.String(), Blocked: blocked, Enough: enough, Typed: []string{"x_mm", "y_mm"}}
	if verb == "zero" {
		t.Typed = append(t.Typed, "z_mm", "feeler_mm")
	}
	for i, p := range plan.Touches {
		r := Row{Line: headLines + 1 + i, On: p.What, What: p.What, Place: placed(p.Station),
			Expect: []string{units.Fixed(p.At.X, 2), units.Fixed(p.At.Y, 2)}}
		top := p.What == reading.OnTop
		r.Driven = []bool{top || p.IsProbed() && math.Abs(p.Dir.X) < across, top || p.IsProbed() &&
			math.Abs(p.Dir.Y) < across}
		switch {
		case top:
			r.What, r.Expect, r.Driven = "the board's top", append(r.Expect, "", ""), append(r.Driven, false, false)
		case p.What == reading.OnDatum:
			r.What, r.Driven = "over the datum line", []bool{false, false}
		case !p.IsProbed():
			r.What, r.Driven = "over the middle of "+p.What, []bool{false, false}
		case p.Mark != "":
			r.What, r.Driven = "rim of "+p.Mark, []bool{false, false}
		case p.What == reading.OnStart:
			r.What = "start end"
		default:
			r.What = p.What + " edge"
		}
		t.Rows = append(t.Rows, r)
	}
	return t
}

// placed is a place on the board in words, left and right as seen on its top.
func placed(at geom.Vec) string {
	along, side := units.Fixed(at.X, 1)+" mm from the start end, ", "left"
	if math.Abs(at.Y) < onLineMM {
		return along + "on the datum line"
	}
	if at.Y < 0 {
		side = "right"
	}
	return along + units.Fixed(math.Abs(at.Y), 1) + " mm " + side
}

// onLineMM is what is told as on the datum line.
const onLineMM = 0.05

// across is the share of a unit direction below which a touch does not move along an axis.
const across = 0.1

// headLines are the lines of a plan's file before its touches.
const headLines = 2

// fill puts what was typed into a plan's file, row by row; a row with nothing typed becomes an empty line.
func fill(plan string, columns []string, typed [][]string) (string, error) {
	head, body, _ := strings.Cut(plan, "\n")
	rows, err := csv.NewReader(strings.NewReader(body)).ReadAll()
	if err != nil || len(rows) == 0 {
		return "", errors.New("this is no plan of touches")
	}
	var out strings.Builder
	out.WriteString(head + "\n")
	w := csv.NewWriter(&out)
	w.Write(rows[0])
	for i, row := range rows[1:] {
		if i >= len(typed) || strings.Join(typed[i], "") == "" {
			w.Flush()
			out.WriteString("\n")
			continue
		}
		for k, name := range columns {
			if at := slices.Index(rows[0], name); at >= 0 && k < len(typed[i]) {
				row[at] = strings.TrimSpace(typed[i][k])
			}
		}
		w.Write(row)
	}
	w.Flush()
	return out.String(), nil
}
