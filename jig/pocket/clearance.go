package pocket

import (
	"fmt"
	"math"
)

// Clearance is the wood between a pocket's rim and what lies nearest, in
// millimetres; negative when the rim reaches beyond it. Named is false where there
// is nothing to be near to.
type Clearance struct {
	MM    float64
	To    string // "fret 5", "left edge", another pocket's name
	Named bool
}

// near keeps the smaller of two clearances, the first of those that tie.
func (c *Clearance) near(mm float64, to string) {
	if !c.Named || mm < c.MM {
		*c = Clearance{mm, to, true}
	}
}

// fretClearance is the distance from the rim to the nearest slot's edge. A slot runs
// straight across the whole board.
//
//	|u - station| - slot/2 - bore/2
func (b Board) fretClearance(u, boreMM float64) (c Clearance) {
	for i, f := range b.Frets {
		c.near(math.Abs(u-f.StationMM)-f.WidthMM/2-boreMM/2, "fret "+fretName(f, i))
	}
	return c
}

func fretName(f Fret, i int) string {
	if f.Name == "" {
		return fmt.Sprint(i + 1)
	}
	return f.Name
}

// edgeClearance is the distance from the rim to the nearest edge of the tapered
// board. Inside a convex outline the nearest edge is the nearest of the edges'
// lines, so the distance is exact; where the rim reaches out it is minus the
// farthest reach beyond a line. Rounded corners are taken as sharp.
//
//	left edge: (w(u)/2 - v) cos(a) - bore/2,  w(u) = w0 + (w1 - w0) u/L,  tan(a) = (w1 - w0)/(2 L)
func (b Board) edgeClearance(u, v, boreMM float64) (c Clearance) {
	slope := (b.WidthEndMM - b.WidthStartMM) / (2 * b.LengthMM)
	cos := 1 / math.Hypot(1, slope)
	half := b.WidthStartMM/2 + slope*u
	c.near((half-v)*cos-boreMM/2, "left edge")
	c.near((half+v)*cos-boreMM/2, "right edge")
	c.near(u-boreMM/2, "start end")
	c.near(b.LengthMM-u-boreMM/2, "far end")
	return c
}
