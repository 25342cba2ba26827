package pocket

import (
	"fmt"
	"math"
)

// JudgeOpposite judges the wood between pockets of the top and of the underside of a board: over
// each other between their floors, beside each other between their walls where both are as
// deep. Deeper than the top's pocket leaves room for is no fault: a bolt may have its nut
// let in from the other side. Thickness is the board's on the datum line.
func JudgeOpposite(top, under Plan, thicknessMM float64) (out []Finding) {
	for _, k := range top.Pockets {
		for _, o := range under.Pockets {
			floors := thicknessMM - k.Seat.DepthMM - o.Seat.DepthMM
			walls := math.Hypot(k.UMM-o.UMM, k.VMM-o.VMM) - k.Size.BoreMM/2 - o.Size.BoreMM/2
			say := func(mm, limit float64, format string, args ...any) {
				r := Remedy{Says: "another place; or leave it, where a hole right through is meant"}
				if deep := thicknessMM - k.Seat.DepthMM - leastFloorMM; deep > 0 && !o.Seat.HasInlay {
					r = atMost("a depth", "depth", deep)
				}
				out = append(out, Finding{"faces", false, o.Name, mm, limit, o.Name + ": " + fmt.Sprintf(format, args...), r})
			}
			switch {
			case walls < -sameMM && floors < sameMM:
				say(floors, 0, "meets %s of the top inside the board: together they go right through", k.Name)
			case walls < -sameMM && floors < leastFloorMM-sameMM:
				say(floors, leastFloorMM, "%.3f mm of board is left between its floor and that of %s in the top. Under %.3g mm it "+
					"may break through", floors, k.Name, leastFloorMM)
			case walls < leastWebMM-sameMM && floors < -sameMM:
				say(walls, leastWebMM, "%.3f mm beside %s of the top, which is as deep. Less than %.3g mm of wood crumbles",
					max(0, walls), k.Name, leastWebMM)
			}
		}
	}
	return out
}
