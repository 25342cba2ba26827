package jig

import (
	"fmt"
	"math"
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
	for range mostRounds {
		b.site = lay(j, r+b.travel/2, web)
		b.ground = b.site.ground(j, r, web, b.standingRails())
		b.found = b.spec().search()
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
	for _, p := range b.found.pins {
		if p.role == Clear {
			most = math.Max(most, b.play.clearAllowance(p.at, b.found.pins[0].at, b.found.pins[1].at))
		}
	}
	return most
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
