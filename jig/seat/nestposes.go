package seat

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"reseat/jig/geom"
)

// nestFrame is the frame of a nest's poses, and the normals of its walls.
type nestFrame struct {
	frame
	normals []geom.Vec // outward
}

func (n Nest) frame() nestFrame {
	f := nestFrame{frame: frameOf(n.Board, n.Window)}
	for i := range n.Window {
		f.normals = append(f.normals, outward(n.wall(Wall(i))))
	}
	return f
}

// poses returns the polytope of the poses that leave every board corner inside every wall,
// the walls moved outward by grow.
func (f nestFrame) poses(n Nest, grow float64) polytope {
	p := cube(f.reach + grow)
	p.bound(p.eps, func(x r3.Vec) (halfspace, [2]int, float64) { return f.deepest(n, grow, x) })
	return p
}

// deepest returns, of all board corners at all walls, the half-space that x
// lies farthest beyond.
//
//	n.d + theta (p x n) <= c + grow - n.p
//
// For one wall the deepest corner is the one farthest along m = n - theta left(n).
// Walls and corners both run counter-clockwise, so one walk round each is enough.
func (f nestFrame) deepest(n Nest, grow float64, x r3.Vec) (h halfspace, id [2]int, excess float64) {
	theta := x.Z / f.length
	excess = math.Inf(-1)
	k := -1
	for i, w := range n.Window {
		normal := f.normals[i]
		m := normal.Sub(normal.Left().Scale(theta))
		if k < 0 {
			k = 0
			for j := range n.Board {
				if n.Board[j].Dot(m) > n.Board[k].Dot(m) {
					k = j
				}
			}
		}
		far := n.Board[k].Dot(m)
		for range n.Board {
			next := k + 1
			if next == len(n.Board) {
				next = 0
			}
			d := n.Board[next].Dot(m)
			if d < far {
				break
			}
			k, far = next, d
		}
		p := n.Board[k]
		g := halfspace{
			a: r3.Vec{X: normal.X, Y: normal.Y, Z: p.Sub(f.middle).Cross(normal) / f.length},
			b: normal.Dot(w.Sub(p)) + grow,
		}
		if e := g.excess(x); e > excess {
			h, id, excess = g, [2]int{i, k}, e
		}
	}
	return h, id, excess
}

// shortfall returns by how much every wall must move outward before the board
// goes in, to shortfallTolMM.
func (f nestFrame) shortfall(n Nest) float64 {
	lo, hi := 0.0, f.reach
	for hi-lo > shortfallTolMM {
		mid := (lo + hi) / 2
		if p := f.poses(n, mid); len(p.corners) == 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}

// shortfallTolMM is the tolerance of the shortfall: a tenth of the last digit that the
// error prints.
const shortfallTolMM = 1e-5
