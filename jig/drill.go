package jig

import (
	"fmt"
	"math"

	"reseat/jig/layout"
)

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
	if err := b.place(r, web); err != nil {
		return err
	}
	b.plates()
	return b.drill()
}

// place searches the pattern for holes of radius r: with wider ones as long as those that
// a short baseline needs come out wider than assumed, and when not every pin has a place,
// with as many pins as do in holes of radius r.
func (b *builder) place(r, web float64) error {
	lie := func(r float64) {
		b.site = lay(b.job, r+b.travel/2, web)
		b.region = b.site.region(b.job, r, web, b.standingRails())
	}
	need := func() (float64, error) {
		b.allowance = b.clearAllowance()
		return b.widestClear()
	}
	wide := r
	for range mostRounds {
		lie(wide)
		b.found = b.spec().Place()
		if b.found.Pins == nil {
			break
		}
		n, err := need()
		if err != nil || n <= wide {
			return err
		}
		wide = n * roundGrowth
	}
	if b.found.Pins != nil {
		return nil // a little too wide, which the rules tell
	}
	lie(r)
	refused := b.found
	for n := b.job.Dowel.Count - 1; n >= 2; n-- {
		s := b.spec()
		s.Count = n
		if b.found = s.PlaceOnGrid(); b.found.Pins == nil {
			continue
		}
		if n, err := need(); err != nil || n <= r {
			return err
		}
	}
	b.found = refused
	return nil
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
		w.growth = math.Max(w.growth, p.swing)
	}
	w.position += b.bd.positionMM(b.job.Machine.PositionMM)
	w.growth += b.bd.swing
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
	for _, p := range b.found.Pins {
		if p.Role == Clear {
			most = math.Max(most, b.play.clearAllowance(p.At, b.found.Pins[0].At, b.found.Pins[1].At))
		}
	}
	return most
}

// settle adds what is told about the pattern once it is final.
func (b *builder) settle() {
	b.misses = layout.Misses(b.found.Pins, b.travel)
	b.d.Pattern = b.report()
	b.advice = b.advise()
}

// spec is what the pattern is searched with.
func (b *builder) spec() layout.Spec {
	return layout.Spec{
		Region: b.region, Count: b.job.Dowel.Count, Flip: layout.Flip(b.job.Template.Flip), AllRound: b.allRound(),
		LengthMM: b.job.Board.LengthMM, Features: b.featurePoints(), ErrorMM: b.locatingError(), TravelMM: b.travel,
	}
}

// locatingError is how far off the holes of a locating pin may be together: in the
// bed and in the part that the board is located by, along either axis, 95 %.
func (b *builder) locatingError() float64 {
	m := b.job.Machine.PositionMM
	return b.carrier().positionMM(m) + b.bd.positionMM(m)
}

// drill sizes the holes of every pin in every part.
func (b *builder) drill() error {
	for i, p := range b.found.Pins {
		pin := Pin{
			ID: fmt.Sprintf("P%d", i+1), Role: p.Role, At: p.At,
			Machine: b.d.Frame.ToMachine.Apply(p.At), Dowel: b.pin,
		}
		round, slot := b.found.Pins[0].At, b.found.Pins[1].At
		along := slot.Sub(round)
		angle := math.Atan2(along.Y, along.X)
		var err error
		if pin.Template, err = b.tmpl.hole(b.pin, p.Role, b.allowance, b.travel, angle); err != nil {
			return b.job.Fault("template.make", err)
		}
		if pin.Print, err = b.printed.hole(b.pin, p.Role, b.allowance, b.travel, angle); err != nil {
			return b.job.Fault("template.make", err)
		}
		if b.blank.name != "" {
			h, err := b.blank.hole(b.pin, p.Role, b.allowance, b.travel, angle)
			if err != nil {
				return b.job.Fault("blank.make", err)
			}
			pin.Blank = &h
		}
		if pin.Bed, err = b.bd.hole(b.pin, p.Role, b.allowance, 0, 0); err != nil {
			return b.job.Fault("bed.make", err)
		}
		b.d.Pins = append(b.d.Pins, pin)
	}
	return nil
}
