package account

import (
	"math"

	"reseat/fit"
	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/motion"
	"reseat/jig/part"
)

// Case is a job's parts as they lie for a cut.
type Case struct {
	Job      *job.Job
	Parts    part.Parts
	Pins     []Pin // that locate: round and slot, or all of them in round holes
	AllRound bool
	Features []geom.Vec
	OnPins   budget.Play // of plate or blank
	Window   bool        // the board lies in one
	InWindow budget.Play // of the board; nil without a window, or pushed home
	Joints   *Joints     // of a plate printed in parts; nil: it is whole
	// Turned is where a place of the part lies now when it is turned over; nil: as it was first
	// cut.
	Turned func(geom.Vec) geom.Vec
}

// Pin is a locating pin and the play that its holes leave it, on the diameter.
type Pin struct {
	At              geom.Vec
	LeastMM, MostMM float64 // holes and pin at their limits
	HalfMM          float64 // so far to either side of the middle 95 % of specimens lie
}

// Joints are those of a plate printed in parts.
type Joints struct {
	SeamsMM     []float64 // stations
	ClearanceMM float64   // of a key in its socket, per side
	ApartMM     float64   // least distance between the outer keys of a seam
}

// pins are the places of the pins, and what the first cut knew of them.
func (c Case) pins() motion.Pins {
	out := motion.Pins{
		AllRound: c.AllRound, Zeroed: c.Job.Machine.Zero != "kept", Before: c.Parts.Together, Turned: c.Turned,
	}
	for _, q := range c.Pins {
		out.At = append(out.At, q.At)
	}
	return out
}

// back: the part lies where it was first cut, on the same pins and the same way up.
func (c Case) back() bool { return c.Parts.Together && c.Turned == nil }

func (c Case) board() motion.Board {
	k := c.Job.Board
	return motion.Board{
		LengthMM: k.LengthMM, WidthStartMM: k.WidthStartMM, WidthEndMM: k.WidthEndMM, Push: c.Job.Template.Push,
	}
}

// clearanceShare is the usual clearance as a share of the largest: holes and pins
// lie within their limits, in 95 % of cases, about their middle, each by itself.
func (c Case) clearanceShare() budget.Scale {
	var mean, half, most float64
	for _, q := range c.Pins {
		mean += (q.LeastMM + q.MostMM) / 2
		half += q.HalfMM
		most += q.MostMM
	}
	if most == 0 {
		return budget.Scale{}
	}
	return budget.Scale{Mean: mean / most, SD: half / fit.Normal95 / most}
}

// leanMM is how far off a pin that leans stands halfway up what it bears over, per axis,
// 95 %. One that leans over more than the clearance c of its hole is stood up before anything
// goes over it, so that of leans all round, of standard deviation s, those within a circle
// are left:
//
//	variance per axis = s^2 (1 - k/(e^k - 1)),  k = c^2/(2 s^2)
//
// Reference: the Rayleigh distribution cut off at c; derived.
func (c Case) leanMM() float64 {
	var clear float64 // mean square
	for _, q := range c.Pins {
		usual, sd := (q.LeastMM+q.MostMM)/2, q.HalfMM/fit.Normal95
		clear += (float64(usual*usual) + float64(sd*sd)) / float64(len(c.Pins))
	}
	p := c.Parts.Stand
	s := c.Job.Dowel.LeanRad * math.Min(c.Parts.Carrier().ThicknessMM, p.LengthMM-p.DepthMM) / fit.Normal95
	if s == 0 || clear == 0 {
		return 0
	}
	k := clear / (2 * s * s)
	return fit.Normal95 * s * math.Sqrt(1-k/math.Expm1(k)) / 2
}

// stretch is from the first to the last station of pins and features.
func (c Case) stretch() (from, to float64) {
	from, to = c.Pins[0].At.X, c.Pins[0].At.X
	for _, at := range append(c.pins().At, c.Features...) {
		from, to = math.Min(from, at.X), math.Max(to, at.X)
	}
	return from, to
}
