package jig

import (
	"errors"
	"math"
	"path/filepath"

	"reseat/dowel"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/layout"
	"reseat/jig/plate"
)

// Build turns a job into a design. The error is for jobs that ask for what does
// not exist, such as a pin that no standard has: all such faults at once, as
// *job.Problems. A design that cannot hold is no error: it comes back with
// failed rules.
func Build(j *job.Job) (*Design, error) {
	b, err := newBuilder(j)
	if err != nil {
		return nil, err
	}
	if err := b.pattern(); err != nil {
		return nil, err
	}
	b.split()
	seats := b.seat()
	// The simulations take longest and read only what stands by now.
	accounted := make(chan error, 1)
	go func() { accounted <- b.account(seats) }()
	b.rails()
	b.bed()
	b.marks()
	b.settle()
	if err := <-accounted; err != nil {
		return nil, err
	}
	b.judge()
	b.programs()
	b.pockets()
	b.holdDown()
	b.print()
	b.d.Sheets = cutSheets(b.d)
	b.d.Rules = b.book.rules
	return b.d, nil
}

// Pins returns the pins of a job's design, as Build places them, without the rest of
// it. Errors as for Build.
func Pins(j *job.Job) ([]Pin, error) {
	b, err := newBuilder(j)
	if err != nil {
		return nil, err
	}
	if err := b.pattern(); err != nil {
		return nil, err
	}
	return b.d.Pins, nil
}

// builder carries what the steps of Build share.
type builder struct {
	job             *job.Job
	d               *Design
	book            *ruleBook
	pin             dowel.Pin
	tmpl, blank, bd part // blank.name is "" without a blank
	printed         part // the template as a print
	play            play // between the bed and the part that seats on it
	site            site
	region          *layout.Region
	found           layout.Pattern
	misses          layout.Foolproof
	advice          []advice
	travel          float64 // of the slot
	allowance       float64 // of the clear holes
	boardChange     change  // of the board between making and use
	pieces          []piece // of a plate printed in parts
	cannotSplit     error   // why a plate too long for its printer is whole
}

func newBuilder(j *job.Job) (*builder, error) {
	b := &builder{job: j, book: &ruleBook{job: j}}
	var faults []error
	note := func(key string, err error) {
		if err != nil {
			faults = append(faults, j.Fault(key, err))
		}
	}
	var err error
	if len(j.Dowel.Measured) > 0 {
		b.pin, err = dowel.Measured(j.Dowel.DiameterMM, j.Dowel.Measured)
		note("dowel.measured", err)
	} else {
		b.pin, err = dowel.Lookup(j.Dowel.Standard, j.Dowel.DiameterMM, j.Dowel.Class)
		note(dowelKey(err), err)
	}
	b.pin.LengthMM = j.Dowel.LengthMM
	t := j.Template
	b.tmpl, err = newPart("template", "template", t.Material, t.ThicknessMM, t.Make, true)
	note("template.make", err)
	b.printed, err = printedPart(b.tmpl)
	note("template", err)
	if k := j.Blank; k != nil {
		b.blank, err = newPart("blank", "blank", k.Wood, k.ThicknessMM, k.Make, t.Seat == "pins")
		note("blank.make", err)
	}
	b.bd, err = newPart("bed", "bed", j.Bed.Material, j.Bed.ThicknessMM, j.Bed.Make, false)
	note("bed.make", err)
	if len(faults) > 0 {
		return nil, job.Join(faults...)
	}
	if err := b.changes(); err != nil {
		return nil, err
	}
	b.d = &Design{Title: j.Title, JobFile: filepath.Base(j.File), JobSHA256: j.SHA256, Frame: FrameOf(j)}
	b.d.Board = board(j)
	return b, nil
}

// dowelKey is the key of the job that a fault of the pin belongs to.
func dowelKey(err error) string {
	var standard *dowel.StandardError
	var diameter *dowel.DiameterError
	var class *dowel.ClassError
	switch {
	case errors.As(err, &standard):
		return "dowel.standard"
	case errors.As(err, &diameter):
		return "dowel.diameter"
	case errors.As(err, &class):
		return "dowel.class"
	}
	return "dowel"
}

// FrameOf returns the placement of the board on the machine, zero at the datum's
// start: long axis y puts u on +Y and v on -X, long axis x puts u on +X, v on +Y.
func FrameOf(j *job.Job) Frame {
	f := Frame{LongAxis: j.Machine.LongAxis}
	if f.LongAxis == "y" {
		f.ToMachine.Angle = math.Pi / 2
	}
	return f
}

func board(j *job.Job) Board {
	b := j.Board
	out := Board{
		LengthMM: b.LengthMM, WidthStartMM: b.WidthStartMM, WidthEndMM: b.WidthEndMM,
		ThicknessMM: b.ThicknessMM, CrownRadiusMM: b.CrownRadiusMM, Wood: b.Wood,
		Outline: boardOutline(b),
	}
	for _, f := range b.AllFeatures() {
		out.Features = append(out.Features, Feature{
			Name: f.Name, At: geom.Vec{X: f.UMM, Y: f.VMM}, BoreMM: f.BoreMM, DepthMM: f.DepthMM,
		})
	}
	for _, k := range b.KeepOut {
		out.KeepOut = append(out.KeepOut, KeepOut{k.Name, geom.Box{Min: k.From, Max: k.To}})
	}
	if len(out.Features) == 0 {
		out.Features = []Feature{
			{Name: "start end"},
			{Name: "middle", At: geom.Vec{X: b.LengthMM / 2}},
			{Name: "far end", At: geom.Vec{X: b.LengthMM}},
		}
	}
	return out
}

func (b *builder) featurePoints() []geom.Vec {
	out := make([]geom.Vec, len(b.d.Board.Features))
	for i, f := range b.d.Board.Features {
		out[i] = f.At
	}
	return out
}

// plates fills in template and blank as laid out.
func (b *builder) plates() {
	t := b.job.Template
	b.d.Template = Template{
		Outline: b.site.plate, Window: b.site.window, ThicknessMM: t.ThicknessMM, ClearanceMM: t.ClearanceMM,
		MarginMM: b.site.margin, Material: t.Material, MakeBy: t.Make.By, KerfMM: t.Make.KerfMM,
		ReliefMM: b.site.relief, Stops: stops(b.site.walls, t.Push),
	}
	if k := b.job.Blank; k != nil {
		b.d.Blank = &Blank{
			LengthMM: k.LengthMM, WidthMM: k.WidthMM, ThicknessMM: k.ThicknessMM, Wood: k.Wood, Outline: b.site.blank,
		}
	}
}

// stops lists the walls that a pushed board lies against.
func stops(walls geom.Loop, push string) []Stop {
	if walls == nil || push == "none" {
		return nil
	}
	side, name := plate.Left, "left"
	if push == "right" {
		side, name = plate.Right, "right"
	}
	st, sd := walls.Edge(int(plate.Start)), walls.Edge(int(side))
	return []Stop{{"start", st.P, st.Q}, {name, sd.P, sd.Q}}
}

func (b *builder) bed() {
	k := b.job.Bed
	b.d.Bed = Bed{Material: k.Material, ThicknessMM: k.ThicknessMM}
	b.d.Bed.Outline = bedOutline(b.d, k.LengthMM, k.WidthMM)
}
