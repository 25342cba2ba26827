package jig

import (
	"errors"
	"fmt"
	"math"

	"reseat/fit"
	"reseat/jig/climate"
	"reseat/jig/job"
	"reseat/jig/plate"
)

// Two readings of one workshop's thermometer and hygrometer are each good to about
// this, plus or minus, 95 %; what the instrument is off in both drops out. Common
// practice, no source.
const (
	readingC     = 1.0
	readingRHPct = 2.0
)

// A job without a climate is held against a workshop's usual swing to either side of
// usualAir between making and use. Common practice, no source.
var (
	usualAir = climate.Air{TempC: 20, RHPct: 50}
	swing    = climate.Air{TempC: 10, RHPct: 10}
)

// printScale is what a measured and scaled print still errs by, mm per mm, 95 %:
// a printer's own 0.5 % above 100 mm (layerx3d.in, FOUND) is measured off on one
// printed length. Common practice, no source.
const printScale = 5e-4

// change is the growth of one part between making and use, mm per mm.
type change struct {
	climate.Change
	// The change by one reading's error, and the workshop's swing, each way.
	unsureAlong, unsureAcross float64
	scale                     float64 // of a print, each way, 95 %
	known                     bool    // from the job's climate; otherwise unsure is the swing
	missing                   error   // the material is in no table: nothing is computed
}

// air converts the job's climate.
func air(a job.Air) climate.Air { return climate.Air{TempC: a.TempC, RHPct: a.RHPct} }

// strainer computes the change of a material.
type strainer func(from, to climate.Air) (climate.Change, error)

// changeOf works out a part's change between the job's two climates, or over the
// usual swing when the job names none.
func changeOf(k *job.Climate, strain strainer) (change, error) {
	from, to := usualAir, usualAir
	step := swing
	if k != nil {
		from, to = air(k.Made), air(k.Now)
		// Both readings err.
		step = climate.Air{TempC: readingC * math.Sqrt2, RHPct: readingRHPct * math.Sqrt2}
	}
	c, err := strain(from, to)
	if err != nil {
		return change{}, err
	}
	out := change{Change: c, known: k != nil}
	for _, side := range []float64{-1, 1} {
		// A step that would leave the range of the equation is taken as far as it goes.
		warm, damp := to, to
		warm.TempC += side * step.TempC
		damp.RHPct = math.Max(0, math.Min(climateMostRH, damp.RHPct+side*step.RHPct))
		w, err1 := strain(to, warm)
		d, err2 := strain(to, damp)
		if err1 != nil {
			w = climate.Change{} // beyond the equation's range; the other side tells
		}
		if err2 != nil {
			d = climate.Change{}
		}
		out.unsureAlong = math.Max(out.unsureAlong, math.Hypot(most(w.Along, w.Unsure), most(d.Along, d.Unsure)))
		out.unsureAcross = math.Max(out.unsureAcross, math.Hypot(most(w.Across, w.Unsure), most(d.Across, d.Unsure)))
	}
	// Between the two climates the material's own figures are unsure as well.
	out.unsureAlong = math.Hypot(out.unsureAlong, c.Unsure)
	out.unsureAcross = math.Hypot(out.unsureAcross, c.Unsure)
	return out, nil
}

// most is how far a change may reach that is unsure by so much either way.
func most(change, unsure float64) float64 { return math.Abs(change) + unsure }

// climateMostRH is the dampest air that the moisture equation is good for.
const climateMostRH = 98.0

// changes works out every part's growth. A climate that no equation covers is a
// fault of the job; a material that no table has leaves that part out, which a rule
// tells.
func (b *builder) changes() error {
	k := b.job.Climate
	var faults []error
	of := func(key, material string, strain strainer) change {
		c, err := changeOf(k, strain)
		var bad *climate.AirError
		switch {
		case err == nil:
		case errors.As(err, &bad):
			faults = append(faults, b.airFault(err))
		default:
			c = change{missing: err, known: k != nil}
		}
		return c
	}
	plate := func(p part) change {
		c := of(p.key, p.material, func(from, to climate.Air) (climate.Change, error) {
			return climate.Strain(p.material, climate.Quarter, from, to)
		})
		if p.make.By == "print" {
			c.scale = printScale
		}
		if c.missing != nil && k == nil {
			// No table has it and nobody asked: as solid wood along the grain, the least
			// that anything grows.
			c.unsureAlong = growthOfWood
			c.unsureAcross = growthOfWood
		}
		return c
	}
	for _, p := range []*part{&b.tmpl, &b.printed, &b.bd} {
		p.change, p.swing = plate(*p), swingOf(*p)
	}
	if b.blank.name != "" {
		wood := b.blank.material
		b.blank.change, b.blank.swing = of("blank.wood", wood, b.woodStrain(wood)), swingOf(b.blank)
	}
	if k != nil && b.job.Board.Wood != "" {
		b.boardChange = of("board.wood", b.job.Board.Wood, b.woodStrain(b.job.Board.Wood))
	} else if k != nil {
		b.boardChange = change{missing: errors.New("the job does not name the board's wood"), known: true}
	}
	return job.Join(unique(faults)...)
}

// swingOf is how far a part may grow or shrink per millimetre along the board over a
// workshop's swing, so that slots are long enough and clear holes wide enough
// whatever the job says of the climate.
func swingOf(p part) float64 {
	c, err := changeOf(nil, func(from, to climate.Air) (climate.Change, error) {
		return climate.Strain(p.material, climate.Quarter, from, to)
	})
	grows := growthOfWood
	if err == nil {
		grows = c.unsureAlong
	}
	if p.make.By == "print" {
		grows += printScale
	}
	return grows
}

// growthOfWood is solid wood's growth along the grain over 2 % of moisture, the
// usual swing: 0.000067 per 1 % (Wood Handbook, DERIVED).
const growthOfWood = 2 * 0.000067

// woodStrain is the strain of solid wood as the board is sawn, or by the movement
// that the job gives for it.
func (b *builder) woodStrain(wood string) strainer {
	grain := climate.Grain(b.job.Board.Grain)
	if m := b.job.Board.MovementPct; m > 0 && wood == b.job.Board.Wood {
		return func(from, to climate.Air) (climate.Change, error) {
			w, err := climate.GivenWood(wood, m)
			if err != nil {
				return climate.Change{}, err
			}
			return w.Strain(grain, from, to)
		}
	}
	return func(from, to climate.Air) (climate.Change, error) { return climate.Strain(wood, grain, from, to) }
}

// boardWood is the board's wood as climate knows it.
func (b *builder) boardWood() (climate.Wood, error) {
	if m := b.job.Board.MovementPct; m > 0 {
		return climate.GivenWood(b.job.Board.Wood, m)
	}
	return climate.LookupWood(b.job.Board.Wood)
}

// airFault says which of the two climates is out of range.
func (b *builder) airFault(err error) error {
	key := "climate.made"
	if _, e := climate.EMC(air(b.job.Climate.Made)); e == nil {
		key = "climate.now"
	}
	return b.job.Fault(key, err)
}

// unique drops faults that say the same.
func unique(faults []error) []error {
	seen := map[string]bool{}
	var out []error
	for _, f := range faults {
		if !seen[f.Error()] {
			seen[f.Error()] = true
			out = append(out, f)
		}
	}
	return out
}

// swelling is what the board's movement leaves of the window's clearance.
type swelling struct {
	boardMM, windowMM float64 // growth of the board's width at its widest, and of the window there
	lengthMM          float64 // growth of the board's length less the window's
	leftMM            float64 // clearance per side that is left, the least of width and length
}

func (b *builder) swelling() swelling {
	t, k := b.job.Template, b.job.Board
	width := math.Max(k.WidthStartMM, k.WidthEndMM)
	s := swelling{leftMM: t.ClearanceMM}
	if b.job.Climate == nil || b.boardChange.missing != nil {
		return s
	}
	s.boardMM = b.boardChange.Across * width
	s.windowMM = b.tmpl.change.Across * width
	s.lengthMM = (b.boardChange.Along - b.tmpl.change.Along) * k.LengthMM
	s.leftMM = t.ClearanceMM - math.Max(s.boardMM-s.windowMM, s.lengthMM)/2
	return s
}

// climateOf sums up, for people and programs, what the climate did to the board.
func (b *builder) climateOf() *Climate {
	k := b.job.Climate
	if k == nil || b.boardChange.missing != nil {
		return nil
	}
	c, s := b.boardChange, b.swelling()
	out := &Climate{
		MadeC: k.Made.TempC, MadeRHPct: k.Made.RHPct, NowC: k.Now.TempC, NowRHPct: k.Now.RHPct,
		Wood: c.Taken, MoistureMadePct: c.MoistureFrom, MoistureNowPct: c.MoistureTo,
		WidthMM: s.boardMM, LengthMM: c.Along * b.job.Board.LengthMM, WindowMM: s.windowMM,
		Source: c.Source, FromMemory: c.FromMemory, Note: c.Note,
	}
	if b.site.window != nil {
		out.ClearanceLeftMM = s.leftMM
		if rh, ok := b.entersBelow(); ok {
			out.EntersBelowRHPct = rh
		}
	}
	return out
}

// entersBelow is the humidity up to which the board goes into its window, at the
// temperature of today, the template resting in the same air. The template's own
// growth depends on the humidity that is looked for; it moves far less than the wood,
// so the rounds close in on it.
func (b *builder) entersBelow() (rh float64, ok bool) {
	k := b.job.Board
	w, err := b.boardWood()
	if err != nil || b.job.Climate == nil {
		return 0, false
	}
	made, now := air(b.job.Climate.Made), air(b.job.Climate.Now)
	width := math.Max(k.WidthStartMM, k.WidthEndMM)
	plate := b.tmpl.change.Across
	for range entryRounds {
		strain := 2*b.job.Template.ClearanceMM/width + plate
		if rh, ok = climate.HumidityFor(w, climate.Grain(k.Grain), made, now.TempC, strain); !ok {
			return 0, false
		}
		c, err := climate.Strain(b.tmpl.material, climate.Quarter, made, climate.Air{TempC: now.TempC, RHPct: rh})
		if err != nil {
			break // no table has the plate: it counts as it is
		}
		plate = c.Across
	}
	return rh, true
}

// entryRounds leave a thousandth of a percent: each is at least four times as near,
// since no sheet moves a quarter as much as wood does across the grain.
const entryRounds = 10

// entryRule: the board must go into the window although the window comes out
// smaller than drawn by what the process strays, half of it on each side, and
// although the board may have swollen.
func (b *builder) entryRule() {
	if b.site.window == nil {
		return
	}
	s, need := b.swelling(), b.tmpl.process.HalfWidth()/2
	says := fmt.Sprintf("the window leaves %.3f mm on each side of the board, and comes out up to %.3f mm tighter", s.leftMM, need)
	remedy := "a larger template.clearance, or measure the process and give template.make.spread"
	key := "template.clearance"
	level := Warn
	if eaten := b.job.Template.ClearanceMM - s.leftMM; math.Abs(eaten) >= worthTellingMM {
		says = fmt.Sprintf("the window was drawn with %.3f mm on each side; since then the board %s by %.3f mm in width, which leaves %.3f; the window comes out up to %.3f mm tighter",
			b.job.Template.ClearanceMM, grewOrShrank(s.boardMM), math.Abs(s.boardMM), s.leftMM, need)
	}
	if s.leftMM <= 0 {
		level = Fail
		if rh, ok := b.entersBelow(); ok && b.job.Climate != nil {
			remedy = fmt.Sprintf("it goes in again below %.0f %% relative humidity: let it rest there, or a template.clearance of %.2f mm",
				math.Floor(rh), plate.UpTo(b.job.Template.ClearanceMM-s.leftMM+need, 0.01))
			key = "climate.now"
		}
	}
	b.book.judge("board-enters-window", s.leftMM > 0 && s.leftMM >= need-ruleSlack, level, s.leftMM, need, "mm", says, remedy, key)
}

// worthTellingMM is a change of size that a maker would notice in a fit. Common
// practice, no source.
const worthTellingMM = 0.002

func grewOrShrank(x float64) string {
	if x < 0 {
		return "shrank"
	}
	return "swelled"
}

// climateRules tell what could not be computed although the job asks for it.
func (b *builder) climateRules() {
	if b.job.Climate == nil {
		return
	}
	told := func(id, key string, c change, remedy string) {
		if c.missing != nil {
			b.book.judge(id, false, Warn, 0, 0, "", "its movement with the climate is not computed: "+c.missing.Error(), remedy, key)
		}
	}
	told("board-movement", "board.wood", b.boardChange, "name a wood of the table, or give board.movement_pct")
	told("template-movement", "template.material", b.tmpl.change, "name a material of the table")
	told("bed-movement", "bed.material", b.bd.change, "name a material of the table")
	if b.blank.carries {
		told("blank-movement", "blank.wood", b.blank.change, "name a wood of the table")
	}
	if c := b.boardChange; c.missing == nil && c.Extrapolated {
		b.d.Notes = append(b.d.Notes, fmt.Sprintf(
			"The board's moisture lies outside 6 to 14 %% (%.1f %% made, %.1f %% now), where the coefficients hold: take its movement as a rough figure.",
			c.MoistureFrom, c.MoistureTo))
	}
	if slow := b.tmpl.change.SlowMoisture; fit.FamilyOf(b.tmpl.material) != fit.Wood && math.Abs(slow)*b.d.Board.LengthMM > worthTellingMM {
		b.d.Notes = append(b.d.Notes, fmt.Sprintf(
			"The %s plate takes up moisture over weeks; left in the new air it changes by up to %.2f mm over the board's length, which is not in the budget.",
			b.tmpl.material, math.Abs(slow)*b.d.Board.LengthMM))
	}
}
