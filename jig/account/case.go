package account

import (
	"math"

	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/motion"
	"reseat/jig/part"
	"reseat/jig/seat"
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
	// Stops are where a pushed board of any outline touches its window; nil with straight sides.
	Stops  []seat.Stop
	Joints *Joints // of a plate printed in parts; nil: it is whole
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

// liesAsFirstCut: the part lies where it was first cut, on the same pins and the same way up.
func (c Case) liesAsFirstCut() bool { return c.Parts.Together && c.Turned == nil }

func (c Case) board() motion.Board {
	k := c.Job.Board
	return motion.Board{
		LengthMM: k.LengthMM, WidthStartMM: k.WidthStartMM, WidthEndMM: k.WidthEndMM, Push: c.Job.Template.Push,
		MiddleMM: k.Center().Y, Stops: c.Stops,
	}
}

// stretch is from the first to the last station of pins and features.
func (c Case) stretch() (from, to float64) {
	from, to = c.Pins[0].At.X, c.Pins[0].At.X
	for _, at := range append(c.pins().At, c.Features...) {
		from, to = math.Min(from, at.X), math.Max(to, at.X)
	}
	return from, to
}
