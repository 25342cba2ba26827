package estimate

import (
	"math"
	"slices"
	"strings"

	"reseat/jig/coupon"
)

// The unknowns that all readings share. They follow the features' own.
const (
	straight = iota // kerf of straight walls at mid thickness
	rounder         // what round holes come out larger than straight openings
	taper
	scaleX // percent
	scaleY
	driftX // of an opening's size, from the middle of the piece to its end
	driftY
	jaws      // what the inside jaws read too small between straight walls
	flats     // and more in a round hole of flatsAtMM
	ringFlats // and more in the ring
	turned    // what a hole reads more across no axis in particular
	zero      // what the outside jaws read too large
	webBy     // and more between the walls of two features
	spanBy    // what the inside jaws read too large over two features
	pinBy     // the pin's diameter above the middle of its limits
	air       // by which a hole must exceed the pin so that it passes
	band      // below that, the pin is tight
	tips      // what the tips' depth, as far as it is not the usual one, takes from the taper at a face
	shared
)

// flatsAtMM is the diameter that the jaws' flats are stated for: they take a chord, so that
// the error goes with one over the diameter.
const flatsAtMM = 6.0

// normal is a prior: mean and standard deviation in mm, of the scales in percent.
type normal struct{ mean, sd float64 }

// What is known before the coupon is measured: common practice, no source, where nothing else
// is said. The priors of what a caliper does are narrow and matter; the others are so wide that
// they say nothing where there is any reading.
var priors = [shared]normal{
	straight:  {0.1, 0.5},
	rounder:   {0, 0.15},
	taper:     {0.05, 0.15},
	scaleX:    {0, 1},
	scaleY:    {0, 1},
	driftX:    {0, 0.05},
	driftY:    {0, 0.05},
	jaws:      {0.010, 0.007}, // 0 to 0.02
	flats:     {0.010, 0.010}, // a flat of 0.5 mm in 6 mm: 0.02
	ringFlats: {0.004, 0.005}, // a wider bore, and what it is below its nominal size
	turned:    {0.002, 0.004},
	zero:      {0, 0.015},
	webBy:     {0.002, 0.010},
	spanBy:    {-0.004, 0.010},
	pinBy:     {0, 0.002}, // replaced by the class's limits
	air:       {0.005, 0.005},
	band:      {0.012, 0.008},
	tips:      {0, 0}, // see tipsSD
}

// roundTools are what is known of processes whose tool is as large as its hole, of the spread (the
// logarithm of its standard deviation) and the taper: half of what fit.DefaultProcess states as
// the spread's range either way, and common practice, no source.
var roundTools = map[string]struct{ spread, taper normal }{
	"drill": {normal{math.Log(0.035), 0.8}, normal{0, 0.05}},
	"ream":  {normal{math.Log(0.01), 0.9}, normal{0, 0.03}},
}

// How deep the tips reach at a face, mm: asked for is coupon.DeepMM, held by hand 0 to 1,
// common practice, no source.
const (
	tipsMM   = 0.4
	tipsSDMM = 0.3
)

// Feature is what the coupon's drawing tells of a feature.
type Feature struct {
	X, Y   float64 // place on the piece, mm
	Round  bool
	SizeMM float64 // as drawn
}

// Options is what is known beside the form.
type Options struct {
	By                 string             // laser, router, drill, ream or print
	ThicknessMM        float64            // of the coupon; 0: unknown, taken as 4
	PinMinMM, PinMaxMM float64            // limits of the pin's class; 0: the pin rows' drawn size, give or take 0.006
	Features           map[string]Feature // by id; those not listed are told from the rows alone
}

// coefficient is one unknown's part in a reading.
type coefficient struct {
	at int
	by float64
}

// observation is one caliper reading as a sum of unknowns:
//
//	measured - drawn = sum of terms + side (taper part at face + scale) + noise
type observation struct {
	row   int
	y     float64
	terms []coefficient
	side  float64 // 1: an opening, -1: material, 0: neither
	face  string
	axis  string
	grows [2]float64 // mm that the scale acts on: where sizes scale, and where places alone do
}

// pinAnswer is one answer of the pin: that a sum of unknowns is above zero (toward = 1) or below.
type pinAnswer struct {
	row    int
	at     float64 // the sum without unknowns
	terms  []coefficient
	taper  float64 // part of the taper by which the place differs from mid thickness, for positive taper
	grows  float64
	toward float64
	width  float64
}

// Widths of steps, mm: of a pin's answer, common practice, no source; and of the taper's
// sign, which is only there to be smooth.
const (
	answerMM = 0.004
	signMM   = 0.0003
)

// feature is what the readings share of one id.
type feature struct {
	Feature
	size, oval, x, y int // its unknowns' places; -1: none
	listed           bool
}

// kind is what a feature's own unknown is.
type kind int

const (
	ofSize  kind = iota // of a slot or a bar
	ofPlace             // along one axis
	ofMean              // of a round hole: its two diameters' mean
	ofOval              // and by how much that along x is larger, that along y smaller
)

// model is a form made ready: all readings and answers over one list of unknowns.
type model struct {
	Options
	features map[string]*feature
	order    []string
	kinds    []kind // of each feature's own unknowns
	seen     []observation
	answers  []pinAnswer
	first    []int
	pinMM    float64
	prior    [shared]normal
	sds      [3]normal // of the spreads' logarithms
}

// at is the index of a shared unknown.
func (m *model) at(shared int) int { return len(m.kinds) + shared }

func paired(k coupon.Kind) bool { return k == coupon.Web || k == coupon.Span }
func own(k coupon.Kind) bool    { return k == coupon.Hole || k == coupon.Slot || k == coupon.Bar }

// newModel lists the unknowns and writes every row over them.
func newModel(rows []coupon.Row, o Options) *model {
	m := &model{Options: o, features: map[string]*feature{}, prior: priors, sds: spreadPriors}
	if known, ok := roundTools[o.By]; ok {
		m.sds[0], m.prior[taper] = known.spread, known.taper
	}
	if m.ThicknessMM <= 0 {
		m.ThicknessMM = 4
	}
	m.list(rows)
	m.center()
	m.pin(rows)
	for i, r := range rows {
		if r.Measured != nil {
			if o, ok := m.observe(i, r); ok {
				m.seen = append(m.seen, o)
			}
		}
		if r.Kind == coupon.Hole && r.Enters != "" {
			m.answer(i, r)
		}
	}
	m.shape()
	return m
}

// list finds the features and gives each its unknowns, such that features which a reading
// joins stand close: breadth first over the pairs.
func (m *model) list(rows []coupon.Row) {
	joined := map[string][]string{}
	var ids []string
	axes := map[string]map[string]bool{}
	note := func(id string, r coupon.Row) {
		f := m.features[id]
		if f == nil {
			known, ok := m.Features[id]
			if !ok {
				known.Round = strings.HasPrefix(id, "H")
			}
			f = &feature{Feature: known, oval: -1, x: -1, y: -1, listed: ok}
			m.features[id] = f
			ids = append(ids, id)
			axes[id] = map[string]bool{}
		}
		if own(r.Kind) {
			f.Round, f.SizeMM = r.Kind == coupon.Hole, r.DrawnMM
		} else {
			axes[id][r.Axis] = true
		}
	}
	for _, r := range rows {
		if r.Measured == nil && r.Enters == "" {
			continue
		}
		if paired(r.Kind) {
			a, b := coupon.Pair(r.ID)
			note(a, r)
			note(b, r)
			joined[a], joined[b] = append(joined[a], b), append(joined[b], a)
		} else if own(r.Kind) {
			note(r.ID, r)
		}
	}
	placed := map[string]bool{}
	for _, id := range ids {
		for queue := []string{id}; len(queue) > 0; queue = queue[1:] {
			id := queue[0]
			if placed[id] {
				continue
			}
			placed[id] = true
			m.order = append(m.order, id)
			f := m.features[id]
			if f.size = len(m.kinds); f.Round {
				f.oval, m.kinds = f.size+1, append(m.kinds, ofMean, ofOval)
			} else {
				m.kinds = append(m.kinds, ofSize)
			}
			if axes[id]["x"] || axes[id][""] {
				f.x, m.kinds = len(m.kinds), append(m.kinds, ofPlace)
			}
			if axes[id]["y"] {
				f.y, m.kinds = len(m.kinds), append(m.kinds, ofPlace)
			}
			queue = append(queue, joined[id]...)
		}
	}
}

// center makes places relative to the middle of the piece and its half extents.
func (m *model) center() {
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, f := range m.features {
		if f.listed {
			low = [2]float64{min(low[0], f.X), min(low[1], f.Y)}
			high = [2]float64{max(high[0], f.X), max(high[1], f.Y)}
		}
	}
	for _, f := range m.features {
		if f.listed {
			f.X = (2*f.X - low[0] - high[0]) / max(high[0]-low[0], 1)
			f.Y = (2*f.Y - low[1] - high[1]) / max(high[1]-low[1], 1)
		}
	}
}

// pin takes the pin's size from the limits of its class.
func (m *model) pin(rows []coupon.Row) {
	half := 0.006 // about IT7 at 6 mm
	if m.PinMaxMM > m.PinMinMM {
		m.pinMM, half = (m.PinMinMM+m.PinMaxMM)/2, (m.PinMaxMM-m.PinMinMM)/2
	} else {
		for _, r := range rows {
			if r.Kind == coupon.Pin {
				m.pinMM = r.DrawnMM
			}
		}
	}
	m.prior[pinBy] = normal{0, half / math.Sqrt(3)} // evenly within the class
}

// opening is what the features' own unknowns add to the size of an opening, share of each.
func (m *model) opening(side, share float64, axis string, ids ...string) []coefficient {
	terms := []coefficient{{m.at(straight), side}}
	for _, id := range ids {
		f := m.features[id]
		terms = append(terms, coefficient{f.size, side * share})
		if f.Round {
			terms = append(terms, coefficient{m.at(rounder), side * share})
			if wider := map[string]float64{"x": 1, "y": -1}[axis]; wider != 0 {
				terms = append(terms, coefficient{f.oval, side * share * wider})
			}
		}
		terms = append(terms, coefficient{m.at(driftX), side * share * f.X}, coefficient{m.at(driftY), side * share * f.Y})
	}
	return terms
}

// observe writes one reading over the unknowns; not ok: the row has no such reading.
func (m *model) observe(i int, r coupon.Row) (observation, bool) {
	o := observation{row: i, y: *r.Measured - r.DrawnMM, face: r.Face, axis: r.Axis, side: 1}
	o.grows = [2]float64{r.DrawnMM, 0}
	flat := func(size float64) float64 { return -flatsAtMM / max(size, 1) }
	switch r.Kind {
	case coupon.Hole:
		o.terms = append(m.opening(1, 1, r.Axis, r.ID), coefficient{m.at(jaws), -1}, coefficient{m.at(flats),
			flat(r.DrawnMM)})
		if r.Axis == "" {
			o.terms = append(o.terms, coefficient{m.at(turned), 1})
		}
	case coupon.Slot:
		o.terms = append(m.opening(1, 1, r.Axis, r.ID), coefficient{m.at(jaws), -1})
	case coupon.Bar:
		o.side = -1
		o.terms = append(m.opening(-1, 1, r.Axis, r.ID), coefficient{m.at(zero), 1})
	case coupon.Web, coupon.Span:
		a, b := coupon.Pair(r.ID)
		fa, fb := m.features[a], m.features[b]
		if r.Kind == coupon.Web {
			o.side = -1
			o.terms = []coefficient{{m.at(zero), 1}, {m.at(webBy), 1}}
		} else {
			o.terms = []coefficient{{m.at(jaws), -1}, {m.at(spanBy), 1}}
		}
		o.terms = append(o.terms, m.opening(o.side, 0.5, r.Axis, a, b)...)
		pa, pb := fa.x, fb.x
		if r.Axis == "y" {
			pa, pb = fa.y, fb.y
		}
		if pa >= 0 && pb >= 0 {
			o.terms = append(o.terms, coefficient{pa, -1}, coefficient{pb, 1})
		}
		o.grows[1] = r.DrawnMM - o.side*(fa.SizeMM+fb.SizeMM)/2
	case coupon.Pin:
		o.side, o.grows[0] = 0, 0
		o.y = *r.Measured - m.pinMM
		o.terms = []coefficient{{m.at(pinBy), 1}, {m.at(zero), 1}}
	case coupon.Ring:
		o.side, o.grows[0] = 0, 0
		o.terms = []coefficient{{m.at(jaws), -1}, {m.at(ringFlats), -1}}
	default:
		return o, false
	}
	o.terms = merged(o.terms)
	return o, true
}

// merged adds up the terms of each unknown.
func merged(terms []coefficient) []coefficient {
	var sum []coefficient
	for _, t := range terms {
		if i := slices.IndexFunc(sum, func(s coefficient) bool { return s.at == t.at }); i >= 0 {
			sum[i].by += t.by
		} else {
			sum = append(sum, t)
		}
	}
	return sum
}

// answer writes one answer of the pin: it passes where the narrowest diameter less the pin
// exceeds the air, does not where it is below that by more than the band.
func (m *model) answer(i int, r coupon.Row) {
	s := pinAnswer{
		row: i, at: r.DrawnMM - m.pinMM, taper: -0.5, grows: r.DrawnMM, width: answerMM,
		terms: append(m.opening(1, 1, "", r.ID), coefficient{m.at(pinBy), -1}, coefficient{m.at(air), -1}),
	}
	below := s
	below.terms = append(append([]coefficient{}, s.terms...), coefficient{m.at(band), 1})
	switch s.toward, below.toward = 1, -1; r.Enters {
	case coupon.Passes:
		m.answers = append(m.answers, s)
	case coupon.No:
		m.answers = append(m.answers, below)
	case coupon.Tight:
		s.toward, below.toward = -1, 1
		m.answers = append(m.answers, s, below)
	}
}

// shape finds the first column of every row of the matrix.
func (m *model) shape() {
	n := len(m.kinds) + shared
	m.first = make([]int, n)
	for i := range m.first {
		if m.first[i] = i; i >= len(m.kinds) {
			m.first[i] = 0
		}
	}
	for _, o := range m.seen {
		least := n
		for _, t := range o.terms {
			least = min(least, t.at)
		}
		for _, t := range o.terms {
			m.first[t.at] = min(m.first[t.at], least)
		}
	}
}
