package plate

import (
	"math"

	"reseat/jig/geom"
)

// Wall numbers the edges of a board's outline as geom.Taper runs them, and the walls
// of the window beside them.
type Wall int

// The walls of a window.
const (
	Right Wall = iota
	Far
	Left
	Start
)

// Gaps returns the distance of each window wall from the board as it must lie. Both
// pairs of opposite walls leave twice the clearance; a wall that the board is pushed
// against ("left" or "right", always with the start) has none, so that the pushed
// board lies true. Push "none" leaves the clearance all round.
func Gaps(clearance float64, push string) [4]float64 {
	g := [4]float64{clearance, clearance, clearance, clearance}
	if push == "none" {
		return g
	}
	g[Start], g[Far] = 0, 2*clearance
	if push == "left" {
		g[Left], g[Right] = 0, 2*clearance
	} else {
		g[Right], g[Left] = 0, 2*clearance
	}
	return g
}

// GluedGaps are those of a plate that the board is glued in, with a film against its walls: gap all round,
// or for a board that is pushed the film alone at its stops, and as much room as without a push.
func GluedGaps(gap, film float64, push string) [4]float64 {
	g := Gaps(gap, push)
	for i := range g {
		if push == "left" || push == "right" {
			if g[i] == 0 {
				g[i] = film
			} else {
				g[i] = math.Max(film, g[i]-film)
			}
		}
	}
	return g
}

// Walls moves each edge of the board, a convex counter-clockwise quadrilateral without
// roundings, outward by its own gap and intersects neighbours.
func Walls(board geom.Loop, gaps [4]float64) geom.Loop {
	n := len(board)
	out := make([]geom.Vec, n)
	for i := range board {
		in, next := board.Edge((i+n-1)%n), board.Edge(i)
		t1, t2 := in.Q.Sub(in.P).Unit(), next.Q.Sub(next.P).Unit()
		n1, n2 := t1.Left().Scale(-1), t2.Left().Scale(-1)
		// The corner p + x solves x.n1 = d1, x.n2 = d2.
		d1, d2 := gaps[(i+n-1)%n], gaps[i]
		det := n1.Cross(n2)
		x := geom.Vec{X: (d1*n2.Y - d2*n1.Y) / det, Y: (d2*n1.X - d1*n2.X) / det}
		out[i] = board[i].Add(x)
	}
	return geom.FromPoints(out)
}

const (
	// cornerUnderMM is how much sharper a window's corner is than the board's, so that
	// the board meets both walls before the corner: more than what a laser, a cutter
	// or a printer rounds off. Common practice, no source.
	cornerUnderMM = 0.25
	// reliefOverMM is added to the cutter's radius in a corner relief, so that the
	// cutter turns in the corner instead of stopping there. Common practice, no source.
	reliefOverMM = 0.1
	// leastRadiusMM is the smallest rounding that is drawn: a laser's beam is wider.
	// Common practice, no source.
	leastRadiusMM = 0.1
)

// Window returns the opening between the walls as it is cut, and the radius of its
// corner reliefs, 0 for none. The board's corners never touch it: a corner is sharper
// than the board's, sharp where that leaves too small a rounding once the kerf is taken
// off, and relieved where a cutter (radius rc; 0: a laser or a printer) does not reach
// into it.
func Window(walls geom.Loop, boardRadius, rc, kerf float64) (window geom.Loop, relief float64) {
	r := boardRadius - cornerUnderMM
	if r-kerf/2 < leastRadiusMM {
		r = 0
	}
	if r < rc {
		relief = rc + reliefOverMM
		return geom.Relieve(walls, relief), relief
	}
	return geom.RoundCorners(walls, r), 0
}

// Board returns the outline of a board whose corners are rounded by the radius, with the
// key's cut off; a radius too small to cut is left sharp.
func Board(length, widthStart, widthEnd, radius float64, key Key) geom.Loop {
	l := key.Cut(geom.Taper(length, widthStart, widthEnd))
	if radius < leastRadiusMM {
		return l
	}
	return geom.RoundCorners(l, radius)
}

// CenteredRect returns a rectangle of the given size whose middle is c, that of a board: a blank, or
// a bed.
func CenteredRect(c geom.Vec, length, width float64) geom.Loop {
	h := geom.Vec{X: length / 2, Y: width / 2}
	return geom.Rect(geom.Box{Min: c.Sub(h), Max: c.Add(h)})
}

// UpTo rounds x up to a whole step; a value that is whole but for rounding error stays.
func UpTo(x, step float64) float64 { return math.Ceil(x/step-gridTol) * step }

// DownTo is the like downward.
func DownTo(x, step float64) float64 { return math.Floor(x/step+gridTol) * step }

// gridTol keeps a size that is whole but for rounding error from growing by a step:
// 1e-6 of a step is far above float64 rounding and far below a machine's.
const gridTol = 1e-6
