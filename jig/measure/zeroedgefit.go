package measure

import (
	"fmt"
	"math"

	"reseat/jig/geom"
)

// edgeTouch is a touch with its drawn edge.
type edgeTouch struct {
	ZeroTouch
	at    geom.Vec // drawn board's frame
	n     geom.Vec // outward normal of the edge
	d     float64  // n . p of its points, and the probe's radius
	long  float64  // 1 for a long edge, whose distance the width's error shifts
	along float64  // station as drawn
}

// back returns the touch in the frame of the board where x has it.
func (t edgeTouch) back(x [zeroFigures]float64) geom.Vec {
	return geom.Rigid{Angle: -x[zeroTurn]}.Apply(t.at.Sub(geom.Vec{X: x[zeroAlong], Y: x[zeroAcross]}))
}

func (t edgeTouch) off(x [zeroFigures]float64) float64 {
	return t.n.Dot(t.back(x)) - t.d - t.long*x[zeroHalfWidth]
}

// edgeFit is the touches and which figures they tell.
type edgeFit struct {
	touches []edgeTouch
	told    [zeroFigures]bool
	size    float64 // the board's length: the turn's column is in parts of it
}

func (f *edgeFit) unknowns() (n int) {
	for _, t := range f.told {
		if t {
			n++
		}
	}
	return n
}

// gather checks the spec and the touches.
func (s EdgeZeroSpec) gather(touches []ZeroTouch) (*edgeFit, error) {
	faults := s.checkEdges()
	f := &edgeFit{size: s.LengthMM}
	if len(faults) > 0 {
		return nil, together(faults)
	}
	back := s.ToMachine.Inverse()
	t := (s.WidthEndMM - s.WidthStartMM) / 2 / s.LengthMM
	h := math.Hypot(1, t)
	span := map[TouchKind][2]float64{}
	for _, z := range touches {
		e := edgeTouch{ZeroTouch: z, long: 1}
		switch z.Kind {
		case TouchLeft:
			e.n = geom.Vec{X: -t / h, Y: 1 / h}
		case TouchRight:
			e.n = geom.Vec{X: -t / h, Y: -1 / h}
		case TouchStart:
			e.n, e.long = geom.Vec{X: -1}, 0
		default:
			continue
		}
		if !finite(z.At.X, z.At.Y) {
			faults = append(faults, &InputError{fmt.Sprintf("touch on line %d (mm)", z.Line), z.At.X, "finite coordinates below 100 m"})
			continue
		}
		e.at = back.Apply(z.At)
		e.along = e.at.X
		e.d = e.long*s.WidthStartMM/2/h + s.ProbeRadiusMM
		f.touches = append(f.touches, e)
		w, seen := span[z.Kind]
		if !seen {
			w = [2]float64{e.along, e.along}
		}
		span[z.Kind] = [2]float64{math.Min(w[0], e.along), math.Max(w[1], e.along)}
	}
	if len(faults) == 0 && len(f.touches) == 0 {
		faults = append(faults, &NoTouchError{"an edge: left, right or start"})
	}
	left, onLeft := span[TouchLeft]
	right, onRight := span[TouchRight]
	_, onStart := span[TouchStart]
	f.told = [zeroFigures]bool{
		onStart, onLeft || onRight,
		onLeft && left[1]-left[0] >= leastSpanMM || onRight && right[1]-right[0] >= leastSpanMM,
		onLeft && onRight,
	}
	return f, together(faults)
}

// rows returns the derivatives of the told figures, the turn's in parts of the
// board's length, and the offs with the sign turned.
func (f *edgeFit) rows(x [zeroFigures]float64) (rows [][]float64, minus []float64) {
	for _, t := range f.touches {
		full := [zeroFigures]float64{-t.n.X, -t.n.Y, -t.n.Dot(t.back(x).Left()) / f.size, -t.long}
		var row []float64
		for k, told := range f.told {
			if told {
				row = append(row, full[k])
			}
		}
		rows, minus = append(rows, row), append(minus, -t.off(x))
	}
	return rows, minus
}

// solve fits the told figures; the others stay as given.
func (f *edgeFit) solve(x [zeroFigures]float64) [zeroFigures]float64 {
	for range mostEdgeSteps {
		rows, minus := f.rows(x)
		inv, ok := normalInverse(rows)
		if !ok {
			break // gather tells only what the touches can; a turn gone wild ends here
		}
		d, big := solveNormal(inv, rows, minus), 0.0
		var own geom.Vec // the step's shift, in the board's frame as it lies now
		turn, i := x[zeroTurn], 0
		for k, told := range f.told {
			if !told {
				continue
			}
			big = math.Max(big, math.Abs(d[i]))
			switch k {
			case zeroAlong:
				own.X = d[i]
			case zeroAcross:
				own.Y = d[i]
			case zeroTurn:
				x[k] += d[i] / f.size
			default:
				x[k] += d[i]
			}
			i++
		}
		if f.told[zeroAlong] {
			own = geom.Rigid{Angle: turn}.Apply(own)
			x[zeroAlong] += own.X
		}
		if f.told[zeroAcross] {
			x[zeroAcross] += own.Y
		}
		if big < edgeStepEnd {
			break
		}
	}
	return x
}
