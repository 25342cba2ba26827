package glued

import (
	"reseat/jig/beam"
	"reseat/jig/bridge"
	"reseat/jig/job"
	"reseat/jig/rail"
)

// Bridges are what keeps the board in its frame while it is cut out of the blank that the pins
// stand in, against a cutter's most sideways and up, N. The error says what would do.
func Bridges(j *job.Job, cutterMM, sidewaysN, liftN float64) (bridge.Plan, error) {
	b := j.Board
	return bridge.Lay(bridge.Spec{
		LengthMM: b.LengthMM, WidthMM: b.NarrowestMM(), ThicknessMM: b.ThicknessMM,
		Wood: beam.Wood(rail.HardnessOf(b.Wood) == rail.Softwood), GapMM: cutterMM, BridgeWidthMM: bridge.WidthMM,
		BridgeMM: bridge.Thickness(b.ThicknessMM), SidewaysN: sidewaysN, LiftN: liftN,
	})
}
