package jig

import (
	"errors"
	"fmt"
	"math"
	"path/filepath"

	"reseat/dowel"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/rail"
	"reseat/jig/register"
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
	b.seat()
	b.rails()
	b.bed()
	b.judge()
	b.print()
	b.d.Sheets = cutSheets(b.d)
	b.d.Rules = b.book.rules
	return b.d, nil
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
	ground          *ground
	found           pattern
	travel          float64 // of the slot
	allowance       float64 // of the clear holes
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
	b.d = &Design{Title: j.Title, JobFile: filepath.Base(j.File), Frame: FrameOf(j)}
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

// pattern places the pins and sizes their holes. Holes are sized twice: at their
// widest before the search, since the search must know how much room they take,
// and as needed when the places are known.
func (b *builder) pattern() error {
	j := b.job
	b.play = b.worstPlay()
	width := math.Max(j.Board.WidthStartMM, j.Board.WidthEndMM)
	web := leastWebMM(b.tmpl.material, b.tmpl.make.By, b.tmpl.thickness, b.tmpl.make.NozzleMM, b.pin.NominalMM)
	reach := j.Board.LengthMM + 2*(j.Template.MarginMM+b.pin.NominalMM)
	b.travel = b.play.slotTravel(reach)
	b.allowance = b.play.mostAllowance(reach, width+2*j.Template.MarginMM)
	r, err := b.widestClear()
	if err != nil {
		return err
	}
	for range mostRounds {
		b.site = lay(j, r+b.travel/2, web)
		b.ground = b.site.ground(j, r, web)
		b.found = patternSpec{
			ground: b.ground, count: j.Dowel.Count, flip: j.Template.Flip, length: j.Board.LengthMM,
			features: b.featurePoints(), errorMM: b.play.position, travel: b.travel,
		}.search()
		b.allowance = b.clearAllowance()
		need, err := b.widestClear()
		if err != nil {
			return err
		}
		if need <= r {
			break
		}
		// A short baseline turned the plate more than was assumed.
		r = need * roundGrowth
	}
	b.plates()
	return b.drill()
}

// worstPlay is the play between the bed and whichever part goes over its pins with
// the most: one slot and one clear hole then serve for all of them.
func (b *builder) worstPlay() play {
	var w play
	for _, p := range []part{b.tmpl, b.printed, b.blank} {
		if !p.carries {
			continue
		}
		w.position = math.Max(w.position, p.positionMM(b.job.Machine.PositionMM))
		w.growth = math.Max(w.growth, growthPerMM(p.material, p.make.By))
	}
	w.position += b.bd.positionMM(b.job.Machine.PositionMM)
	w.growth += growthPerMM(b.bd.material, b.bd.make.By)
	return w
}

// widestClear returns the radius of the widest clear hole in any part with the
// present allowance.
func (b *builder) widestClear() (float64, error) {
	widest := 0.0
	for _, p := range []part{b.tmpl, b.printed, b.blank, b.bd} {
		if p.name == "" {
			continue
		}
		h, err := p.hole(b.pin, Clear, b.allowance, 0, 0)
		if err != nil {
			return 0, b.job.Fault(p.key+".make", err)
		}
		widest = math.Max(widest, h.MaxMM/2)
	}
	return widest, nil
}

// mostRounds bounds how often the search is done again because the clear holes
// came out wider than it had assumed, and roundGrowth how much more is assumed
// then. Wider holes are pushed apart, which lengthens the baseline and needs less
// allowance, so one more round nearly always does.
const (
	mostRounds  = 5
	roundGrowth = 1.05
)

// clearAllowance returns what the clear hole that needs it most must be wider
// than its pin; all get the same, so that one drill makes them.
func (b *builder) clearAllowance() float64 {
	most := 0.0
	for _, p := range b.found.pins {
		if p.role == Clear {
			most = math.Max(most, b.play.clearAllowance(p.at, b.found.pins[0].at, b.found.pins[1].at))
		}
	}
	return most
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
	side, name := leftWall, "left"
	if push == "right" {
		side, name = rightWall, "right"
	}
	st, sd := walls.Edge(int(startWall)), walls.Edge(int(side))
	return []Stop{{"start", st.P, st.Q}, {name, sd.P, sd.Q}}
}

// drill sizes the holes of every pin in every part.
func (b *builder) drill() error {
	for i, p := range b.found.pins {
		pin := Pin{
			ID: fmt.Sprintf("P%d", i+1), Role: p.role, At: p.at,
			Machine: b.d.Frame.ToMachine.Apply(p.at), Dowel: b.pin,
		}
		round, slot := b.found.pins[0].at, b.found.pins[1].at
		along := slot.Sub(round)
		angle := math.Atan2(along.Y, along.X)
		var err error
		if pin.Template, err = b.tmpl.hole(b.pin, p.role, b.allowance, b.travel, angle); err != nil {
			return b.job.Fault("template.make", err)
		}
		if pin.Print, err = b.printed.hole(b.pin, p.role, b.allowance, b.travel, angle); err != nil {
			return b.job.Fault("template.make", err)
		}
		if b.blank.name != "" {
			h, err := b.blank.hole(b.pin, p.role, b.allowance, b.travel, angle)
			if err != nil {
				return b.job.Fault("blank.make", err)
			}
			pin.Blank = &h
		}
		if pin.Bed, err = b.bd.hole(b.pin, p.role, b.allowance, 0, 0); err != nil {
			return b.job.Fault("bed.make", err)
		}
		b.d.Pins = append(b.d.Pins, pin)
	}
	return nil
}

// seat computes the float that is left once the board lies in place.
func (b *builder) seat() {
	t := b.job.Template
	b.d.Seat = Seat{Kind: t.Seat}
	if len(b.d.Pins) < 2 {
		return
	}
	// The part that the board is located by: its hole and the bed's both leave
	// the pin some play.
	loose := func(p Pin) float64 {
		h := p.Template
		if b.blank.carries {
			h = *p.Blank
		}
		return math.Max(0, h.ClearMaxMM) + math.Max(0, p.Bed.ClearMaxMM)
	}
	pins := register.PinPair{
		Round: b.d.Pins[0].At, Slot: b.d.Pins[1].At,
		RoundClearance: loose(b.d.Pins[0]), SlotClearance: loose(b.d.Pins[1]),
	}
	var nest *register.Nest
	if b.site.walls != nil {
		nest = &register.Nest{
			Window: b.nestWindow(), Board: b.site.outline.Flatten(floatChordMM),
		}
		switch t.Push {
		case "left":
			nest.Push = []register.Wall{nest.WallToward(geom.Vec{X: -1}), nest.WallToward(geom.Vec{Y: 1})}
		case "right":
			nest.Push = []register.Wall{nest.WallToward(geom.Vec{X: -1}), nest.WallToward(geom.Vec{Y: -1})}
		}
	}
	points := b.featurePoints()
	f, err := register.SeatFloat(pins, nest, points)
	if err != nil {
		b.book.judge("seat", false, Fail, 0, 0, "", "the board cannot be seated", err.Error(), "template")
		return
	}
	b.d.Seat.ThetaMax = f.ThetaMax
	for i, m := range f.At {
		b.d.Seat.Features = append(b.d.Seat.Features, FeatureFloat{
			Name: b.d.Board.Features[i].Name, At: points[i], AlongMM: m.Along, AcrossMM: m.Across, WorstMM: m.Worst,
		})
	}
}

// floatChordMM is how closely rounded corners are followed when the float is
// computed: a micrometre, below every clearance.
const floatChordMM = 1e-3

// nestWindow returns the window as the float sees it: straight walls, corners
// rounded like the window's own; reliefs do not locate.
func (b *builder) nestWindow() []geom.Vec {
	if b.site.relief > 0 {
		return b.site.walls.Corners()
	}
	return b.site.window.Flatten(floatChordMM)
}

// rails lays out strips and rails when the job wants them.
func (b *builder) rails() {
	r := b.job.Rails
	if r == nil {
		return
	}
	board := b.job.Board
	spec := rail.Spec{
		LengthMM: board.LengthMM, WidthStartMM: board.WidthStartMM, WidthEndMM: board.WidthEndMM,
		ThicknessMM: board.ThicknessMM, CrownRadiusMM: board.CrownRadiusMM,
		StripMM: r.StripMM, HeightMM: r.HeightMM, GapMM: r.GapMM, EndInsetMM: railInsetMM(board.LengthMM),
	}
	if b.site.window != nil {
		// The rails stand on the printed plate, not over its window.
		spec.PlateMM, _ = b.printThickness()
		g := windowGaps(b.job.Template.ClearanceMM, b.job.Template.Push)
		spec.LeastGapMM = [2]float64{g[leftWall], g[rightWall]}
	}
	if b.site.window == nil {
		b.book.judge("rail-on-plate", false, Warn, 0, 0, "", "a plate without a window (template.seat: pins) carries no rails",
			"leave rails out, or glue in a nest", "rails")
	}
	p, err := rail.Lay(spec)
	if err != nil {
		b.book.judge("rail-layout", false, Fail, 0, 0, "", "the rails cannot be laid out", err.Error(), "rails")
		return
	}
	b.d.Rails = &Rails{
		StripMM: r.StripMM, HeightMM: r.HeightMM, GapMM: r.GapMM, Glue: r.Glue,
		WallMM: p.WallMM, EdgeMM: p.EdgeMM, BearingMM: p.BearingMM, Outlines: p.Rails,
	}
	if b.d.Blank != nil {
		b.d.Blank.Strips = p.Strips
	}
}

// railInsetMM keeps the rails off the board's ends, where fingers lift it out:
// a twentieth of the length. Common practice, no source.
func railInsetMM(length float64) float64 { return length / 20 }

func (b *builder) bed() {
	k := b.job.Bed
	b.d.Bed = Bed{Material: k.Material, ThicknessMM: k.ThicknessMM}
	b.d.Bed.Outline = bedOutline(b.d, k.LengthMM, k.WidthMM)
}
