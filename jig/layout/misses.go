package layout

import (
	"math"

	"reseat/jig/foolproof"
	"reseat/jig/geom"
)

const (
	// LeastMissMM is the least miss in a wrong placement that counts as foolproof: a
	// person who tries it feels that the plate does not go on (practice).
	LeastMissMM = 2.0
	// wantedMissMM is a miss that a person sees at a glance and no clearance hides
	// (practice).
	wantedMissMM = 8.0
	// FlipFitsMM is the largest miss at which a wanted flip counts as fitting: the
	// accuracy to which the miss itself is computed, and well below any clearance.
	FlipFitsMM = 1e-3
)

// Foolproof holds, for each wrong way to put the plate on the pins, the largest
// miss of a pin from its hole in the best possible placement, mm, counted where metal meets.
type Foolproof struct{ HalfTurnMM, FlipLongMM, FlipShortMM float64 }

// Misses works out the misses of the three wrong ways, less the play of a clear hole;
// zero when there are too few pins to block anything. It takes longer than to tell that
// they are large enough.
func Misses(pins []Pin, travelMM, playMM float64) Foolproof {
	at, holes := pinsAndHoles(pins, travelMM, playMM)
	miss := func(t foolproof.Misplacement) float64 {
		m, err := foolproof.LeastMiss(at, holes, t)
		if err != nil {
			return 0
		}
		return m
	}
	return Foolproof{miss(foolproof.HalfTurn), miss(foolproof.FlipLong), miss(foolproof.FlipShort)}
}

// wrongWays are the placements that must be blocked, except for the wanted flip.
var wrongWays = []struct {
	flip Flip
	turn foolproof.Misplacement
}{{"", foolproof.HalfTurn}, {FlipLong, foolproof.FlipLong}, {FlipShort, foolproof.FlipShort}}

// blocks reports whether every wrong placement misses by need.
func (s *Spec) blocks(pins []Pin, need float64) bool {
	at, holes := pinsAndHoles(pins, s.TravelMM, s.PlayMM)
	for _, w := range wrongWays {
		if w.flip == s.Flip {
			continue
		}
		if ok, err := foolproof.Misses(at, holes, w.turn, need); err != nil || !ok {
			return false
		}
	}
	return true
}

// pinsAndHoles returns the pattern as package foolproof takes it, with the free
// travel of the slot and the play of the clear holes.
func pinsAndHoles(pins []Pin, travel, play float64) ([]geom.Vec, []foolproof.HoleAt) {
	at := make([]geom.Vec, len(pins))
	holes := make([]foolproof.HoleAt, len(pins))
	for i, p := range pins {
		at[i] = p.At
		holes[i] = foolproof.HoleAt{At: p.At}
		switch p.Role {
		case Clear:
			holes[i].Play = play
		case Slot:
			holes[i].Travel = travel
			d := p.At.Sub(pins[0].At)
			holes[i].Angle = math.Atan2(d.Y, d.X)
		}
	}
	return at, holes
}
