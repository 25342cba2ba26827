package outlined

import (
	"errors"
	"math"

	"reseat/jig/job"
	"reseat/jig/plate"
	"reseat/jig/rail"
	"reseat/jig/seat"
)

// GlueCutter is the radius of the cutter that cuts the plate for gluing; 0: none does.
func GlueCutter(j *job.Job) float64 {
	if mk := j.Rails.Make; mk.By == "router" {
		return mk.Cutter.DiameterMM / 2
	}
	return 0
}

const mm3PerML = 1e3

// SqueezeMM3 is the most glue that runs out; 0 of a glue that is not known.
func SqueezeMM3(j *job.Job) float64 {
	area, edge := j.Board.GlueLand()
	g, err := rail.Glue(rail.GlueSpec{AreaMM2: area, EdgeMM: edge, Glue: j.Rails.Glue})
	if err != nil {
		return 0
	}
	return g.SqueezeOut.Most * mm3PerML
}

// ErrNoLands is the error of an outline that no plate for gluing goes round.
var ErrNoLands = errors.New("no plate for gluing goes round the outline: it has nowhere to touch it, or closes round it; " +
	"give rails.plate: template, or leave rails out")

// landedOf is the window of the plate that the board of a job is glued in; nil: it is another.
func landedOf(j *job.Job) (*plate.LandedWindow, error) {
	k := j.Rails
	if k == nil || k.Plate != "sheet" {
		return nil, nil
	}
	w, ok := plate.LandedOutline{
		Board: j.Board.Outline, GapMM: k.GapMM, CutterMM: GlueCutter(j), SqueezeMM3: SqueezeMM3(j), DeepMM: k.ThicknessMM,
	}.Window()
	if !ok {
		return nil, ErrNoLands
	}
	return &w, nil
}

// Glued is how the board lies while it is glued: between the lands of its plate, or in the
// template's window, with a film of filmMM against them; nil for a straight-sided board.
func (n *Nest) Glued(gapMM, filmMM float64) *seat.Contour {
	if n == nil {
		return nil
	}
	if n.Landed == nil {
		c := seat.Contour{Outline: n.Outline}
		for _, g := range n.Gaps {
			c.Gaps = append(c.Gaps, math.Max(0, g-filmMM))
		}
		return &c
	}
	c := seat.Contour{Outline: n.Landed.Outline}
	for _, bears := range n.Landed.Bears {
		gap := math.Inf(1)
		if bears {
			gap = math.Max(0, gapMM-filmMM)
		}
		c.Gaps = append(c.Gaps, gap)
	}
	return &c
}
