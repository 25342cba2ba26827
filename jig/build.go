package jig

import (
	"context"
	"fmt"
	"math"
	"path/filepath"

	"reseat/fit"
	"reseat/jig/bridge"
	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/glued"
	"reseat/jig/holddown"
	"reseat/jig/job"
	"reseat/jig/layout"
	"reseat/jig/outlined"
	"reseat/jig/plate"
	"reseat/jig/program"
	"reseat/jig/remedy"
	"reseat/jig/setup"
	"reseat/jig/site"
)

// Build turns a job into a design. The error is for jobs that ask for what does
// not exist, such as a pin that no standard has: all such faults at once, as
// *job.Problems. A design that cannot hold is no error: it comes back with
// failed rules.
func Build(j *job.Job) (*Design, error) { return BuildContext(context.Background(), j) }

// BuildContext is Build that looks no further for what helps once the context ends, and returns its error then.
func BuildContext(ctx context.Context, j *job.Job) (*Design, error) {
	home := later(func() (atHome, error) { return pushedHome(j) })
	d, all, err := designed(j, trials, nil)
	if err != nil {
		return nil, err
	}
	d.Rules = withRemedies(ctx, j, all)
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if h, err := home(); err == nil {
		d.Rules = append(d.Rules, h.advice(j, d)...)
	}
	d.withhold()
	return d, nil
}

// Judged is Build without the search for what helps: the same design and verdict in a fraction of the
// time where rules do not pass, each with the remedy that it offers of its own.
func Judged(j *job.Job) (*Design, error) {
	d, all, err := designed(j, trials, nil)
	if err == nil {
		d.Rules = toRules(j, all)
		d.withhold()
	}
	return d, err
}

// designed makes the design but for its rules, which are told once what helps is found;
// runs of each simulation are made, 0 for all. A trial keeps the patterns that it searched, and is
// not asked for what judges no rule: places of pins that have none, what keeps the others from
// better ones, worst cases.
func designed(j *job.Job, runs int, trial layout.Searched) (*Design, []ruling, error) {
	advised := trial == nil
	p, err := planOf(j, trial) // parts, places of the pins, their holes
	if err != nil {
		return nil, nil, err
	}
	j = p.job
	cut := p.split()
	seat := p.seat()
	// What takes longest is computed side by side; each reads values that stand.
	accounts := later(func() (*budget.Budget, error) { return p.budget(seat, cut.split, runs, advised) })
	odds := later(func() ([]Assembly, error) { return p.assemblies(seat, runs) })
	misses := later(func() (layout.Foolproof, error) {
		return layout.Misses(p.found.Pins, p.spec.TravelMM, p.spec.PlayMM), nil
	})
	ways := later(func() (outlined.WrongWays, error) { return p.nest.Ways(advised), nil })
	pattern := later(func() (Pattern, error) {
		if !advised {
			return Pattern{}, nil // what keeps the pins from better places is not asked of a trial
		}
		return p.report(), nil
	})

	rails := railsOf(j)
	onBlank := later(func() (*glued.Plan, error) { return p.gluedOf(rails.rails) })
	marks := p.templateMarks(cut, rails.rails)
	var advice []remedy.Advice
	if advised {
		advice = p.advise()
	}
	d := &Design{
		Title: j.Title, JobFile: filepath.Base(j.File), JobSHA256: j.SHA256, Frame: FrameOf(j),
		Board: boardOf(j), Template: p.templateOf(marks), Blank: p.blankOf(rails.strips), Bed: p.bedOf(),
		Pins: p.pins, Seat: seat.float, Climate: p.ClimateOf(j),
		Rails: rails.rails, Split: cut.split,
	}
	if len(p.pins) > 0 {
		d.MachinePin = &p.Stand
		if p.GluesOnPins() {
			d.GluingPin = &p.Glue
		}
	}
	d.Print, d.Parts, d.Wedges = p.prints(cut, marks, rails.rails)
	if d.Rails != nil {
		d.Rails.Sheet, d.Rails.Pairs = p.railSheet(), p.site.Pairs
		d.Rails.Glued, rails.glued = onBlank()
	}
	if d.Budget, err = accounts(); err != nil {
		return nil, nil, err
	}
	if d.Assembly, err = odds(); err != nil {
		return nil, nil, err
	}
	m, _ := misses()
	d.Foolproof = Foolproof(m)
	d.BoardWays, _ = ways()
	d.BoardFoolproof = p.boardLacks(d.BoardWays)
	d.Pattern, _ = pattern()
	all := made{plan: p, d: d, advice: advice, seat: seat, rail: rails, cut: cut}
	work := all.work()
	over := setup.HeightsOverZero(work)
	all.stocks, all.pockets = p.stocks(over), pocketsOf(j, over)
	d.Programs, d.Unwritten = bores(j, all.stocks)
	for _, q := range all.pockets {
		if q.pockets != nil {
			d.Pockets = append(d.Pockets, q.pockets)
		}
		if q.program != nil {
			d.Programs = append(d.Programs, *q.program)
		} else if q.not != nil {
			d.Unwritten = append(d.Unwritten, Unwritten{program.PocketsFile(q.face), "board", q.not.Error()})
		}
	}
	force, cutter := p.holdDown(all.pockets)
	if p.Blank.Carries && force != nil {
		if k, err := glued.Bridges(j, cutter, force.SidewaysN, force.LiftN); err == nil {
			work.BridgesAt, work.BridgeMM = k.At, [2]float64{bridge.WidthMM, bridge.Thickness(j.Board.ThicknessMM)}
			d.Blank.Bridges = bridge.Outlines(d.Board.Outline, k.At, cutter)
		}
	} else if force != nil {
		d.HoldDown = force
		family := fit.FamilyOf(j.Template.Material)
		d.Lifting = holddown.Lifting(p.site.LiftMM > 0, family == fit.CastAcrylic || family == fit.ExtrudedAcrylic)
		work.TapeMM2 = d.HoldDown.NeedLastingMM2
	}
	d.Sheets = sheetsOf(d, p.Parts)
	work.Runs, work.Lifting = program.Runs(d.Programs), d.Lifting
	d.Setups = setup.Derive(work)
	for _, q := range all.pockets {
		q.head(j, d)
	}
	d.Notes = all.notes()
	return d, judged(all), nil
}

// later computes f on another core; the function that it returns waits for the value.
func later[T any](f func() (T, error)) func() (T, error) {
	type result struct {
		value T
		err   error
	}
	c := make(chan result, 1)
	go func() {
		v, err := f()
		c <- result{v, err}
	}()
	return func() (T, error) {
		r := <-c
		return r.value, r.err
	}
}

// Pins returns the pins of a job's design, as Build places them, without the rest of
// it. Errors as for Build.
func Pins(j *job.Job) ([]Pin, error) {
	p, err := planOf(j, nil)
	return p.pins, err
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

func boardOf(j *job.Job) Board {
	b := j.Board
	out := Board{
		LengthMM: b.LengthMM, WidthStartMM: b.WidthStartMM, WidthEndMM: b.WidthEndMM,
		ThicknessMM: b.ThicknessMM, CrownRadiusMM: b.CrownRadiusMM, Wood: b.Wood,
		Outline: site.Board(j), Holes: b.Holes, Outlined: b.Outline != nil, Features: features(j),
	}
	for _, k := range b.KeepOut {
		out.KeepOut = append(out.KeepOut, KeepOut{k.Name, geom.Box{Min: k.From, Max: k.To}})
	}
	return out
}

// features are the places on the board that must come back; without any, three along
// the datum line.
func features(j *job.Job) []Feature {
	var out []Feature
	for _, f := range j.Board.AllFeatures() {
		out = append(out, Feature{Name: f.Name, At: geom.Vec{X: f.UMM, Y: f.VMM}, BoreMM: f.BoreMM, DepthMM: f.DepthMM,
			Side: f.Side})
	}
	if len(out) == 0 {
		l := j.Board.LengthMM
		out = []Feature{{Name: "start end"}, {Name: "middle", At: geom.Vec{X: l / 2}}, {Name: "far end", At: geom.Vec{X: l}}}
		for i := range out {
			out[i].Side = string(setup.Top)
		}
	}
	return out
}

func (p plan) templateOf(marks []Mark) Template {
	t := p.job.Template
	return Template{
		Outline: p.site.Plate, Window: p.site.Opening, ThicknessMM: t.ThicknessMM, ClearanceMM: t.ClearanceMM,
		MarginMM: p.site.MarginMM, Material: t.Material, MakeBy: t.Make.By, KerfMM: t.Make.KerfMM, EdgeMM: t.Make.EdgeMM,
		ReliefMM: p.site.ReliefMM, Stops: p.stops(), Marks: marks,
		KeyLegMM: p.site.Key.LegMM, KeySide: p.site.Key.Side(),
	}
}

// stops lists the walls that a pushed board lies against, of an outline the places.
func (p plan) stops() (out []Stop) {
	s, push := p.site, p.job.Template.Push
	if p.nest != nil {
		for i, k := range p.nest.Stops() {
			out = append(out, Stop{fmt.Sprintf("place %d", i+1), k.A, k.B})
		}
		return out
	}
	if s.Walls == nil || push == "none" {
		return nil
	}
	side, name := plate.Left, "left"
	if push == "right" {
		side, name = plate.Right, "right"
	}
	st, sd := s.Filled.Edge(int(s.Key.Wall(plate.Start))), s.Filled.Edge(int(s.Key.Wall(side)))
	return []Stop{{"start", st.P, st.Q}, {name, sd.P, sd.Q}}
}

func (p plan) blankOf(strips []geom.Loop) *Blank {
	k := p.job.Blank
	if k == nil {
		return nil
	}
	bars := append([]geom.Loop{p.site.Outline}, strips...)
	return &Blank{
		LengthMM: k.LengthMM, WidthMM: k.WidthMM, ThicknessMM: k.ThicknessMM, Wood: k.Wood, Outline: p.site.Blank,
		Strips: strips, Marks: p.marks(p.site.Blank, func(q Pin) Hole { return *q.Blank }, bars...),
	}
}

func (p plan) bedOf() Bed {
	k, outline := p.job.Bed, p.site.Bed(p.job)
	return Bed{
		Material: k.Material, ThicknessMM: k.ThicknessMM, Outline: outline,
		Marks: p.marks(outline, func(q Pin) Hole { return q.Bed }, p.site.Outline),
	}
}
