package measure

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"reseat/jig/geom"
)

// observation is one measured point of a board: a mark whose drawn place is known, or a
// touch of an edge whose drawn line is known. All in one frame.
type observation struct {
	at     geom.Vec // measured
	drawn  geom.Vec // drawn place; of an edge any point of its line
	normal geom.Vec // of an edge: unit normal out of the drawn board; zero for a mark
	probe  float64  // of an edge: how far outside it the probe's centre stands
	long   bool     // of a long edge, which half the width's error puts farther out
}

func (o observation) edge() bool { return o.normal != geom.Vec{} }

// rows is the number of coordinates that the observation gives.
func (o observation) rows() int {
	if o.edge() {
		return 1
	}
	return 2
}

// The unknowns of a board's pose.
const (
	poseTurn = iota
	poseX    // where the point p0 lies
	poseY
	poseHalfWidth // by how much either long edge lies farther out than drawn
	poseUnknowns
)

// poseFit is the move that carries the drawn board onto the measured one.
//
//	at = c + R(turn)(drawn - p0)
type poseFit struct {
	fit
	x    [poseUnknowns]float64
	p0   geom.Vec
	free []int // the unknowns that were fitted, in the fit's order
}

func (f *poseFit) c() geom.Vec { return geom.Vec{X: f.x[poseX], Y: f.x[poseY]} }

func (f *poseFit) turn(d geom.Vec) geom.Vec { return geom.Rigid{Angle: f.x[poseTurn]}.Apply(d) }

// apply returns where the drawn point p lies.
func (f *poseFit) apply(p geom.Vec) geom.Vec { return f.c().Add(f.turn(p.Sub(f.p0))) }

// back returns where a measured point was drawn.
func (f *poseFit) back(q geom.Vec) geom.Vec {
	return geom.Rigid{Angle: -f.x[poseTurn]}.Apply(q.Sub(f.c())).Add(f.p0)
}

// residualOf returns measured less fitted; an edge's is outward positive, in X.
func (f *poseFit) residualOf(o observation) geom.Vec {
	if !o.edge() {
		return o.at.Sub(f.apply(o.drawn))
	}
	e := o.normal.Dot(f.back(o.at).Sub(o.drawn)) - o.probe
	if o.long {
		e -= f.x[poseHalfWidth]
	}
	return geom.Vec{X: e}
}

// linear returns the rows by which a step of every unknown takes residuals off.
//
//	mark:  e = at - c - R(drawn - p0)               left(R(drawn - p0)), I
//	edge:  e = N.(at - c) - n.(drawn - p0) - probe  -left(N).(at - c), N    with N = R n
func (f *poseFit) linear(o observation) (rows [2][poseUnknowns]float64) {
	if o.edge() {
		n := f.turn(o.normal)
		rows[0] = [poseUnknowns]float64{-n.Left().Dot(o.at.Sub(f.c())), n.X, n.Y, 0}
		if o.long {
			rows[0][poseHalfWidth] = 1
		}
		return rows
	}
	d := f.turn(o.drawn.Sub(f.p0)).Left()
	return [2][poseUnknowns]float64{{d.X, 1, 0, 0}, {d.Y, 0, 1, 0}}
}

// solve improves the free unknowns to the least sum of squared residuals; the others stay
// as they are. ok is false when the observations do not fix them.
func (f *poseFit) solve(obs []observation) (ok bool) {
	rows, size := 0, 1.0
	for _, o := range obs {
		rows += o.rows()
		size = math.Max(size, math.Max(o.at.Norm(), o.at.Dist(f.c())))
	}
	if rows < len(f.free) || len(f.free) == 0 {
		return false
	}
	x := make([]float64, len(f.free))
	for i, k := range f.free {
		x[i] = f.x[k]
	}
	put := func(x []float64) {
		for i, k := range f.free {
			f.x[k] = x[i]
		}
	}
	f.fit, ok = gaussNewton(x, size, func(x []float64) (*mat.Dense, []float64) {
		put(x)
		a, b := mat.NewDense(rows, len(f.free), nil), make([]float64, 0, rows)
		for _, o := range obs {
			j, e := f.linear(o), f.residualOf(o)
			for row := range o.rows() {
				for i, k := range f.free {
					a.Set(len(b), i, j[row][k])
				}
				b = append(b, [2]float64{e.X, e.Y}[row])
			}
		}
		return a, b
	})
	put(x)
	f.x[poseTurn] = math.Remainder(f.x[poseTurn], 2*math.Pi)
	return ok
}

// kabsch is the closed solution for marks: the best turn about the centroids.
//
//	angle = atan2(sum p x q, sum p . q),  p and q from their centroids
//
// It also returns the factor that fits best beside the turn, and the sum of p.p; ok is
// false when the points give no direction.
//
// Reference: Kabsch, Acta Cryst. A32, 1976; Umeyama, IEEE PAMI 13, 1991 (recalled): what
// the singular value decomposition of sum p q' comes to in the plane.
func kabsch(p, q []geom.Vec) (f poseFit, scale, pp float64, ok bool) {
	f.p0 = middle(p)
	c := middle(q)
	var inner, cross float64
	for i := range p {
		a, b := p[i].Sub(f.p0), q[i].Sub(c)
		inner += a.Dot(b)
		cross += a.Cross(b)
		pp += a.Dot(a)
	}
	f.x = [poseUnknowns]float64{math.Atan2(cross, inner), c.X, c.Y, 0}
	for i := range p {
		e := q[i].Sub(f.apply(p[i]))
		f.sse += e.Dot(e)
	}
	return f, math.Hypot(inner, cross) / pp, pp, inner != 0 || cross != 0
}

func middle(p []geom.Vec) (c geom.Vec) {
	for _, x := range p {
		c = c.Add(x.Scale(1 / float64(len(p))))
	}
	return c
}

// marksOf returns drawn and measured places of the marks.
func marksOf(obs []observation) (p, q []geom.Vec) {
	for _, o := range obs {
		if !o.edge() {
			p, q = append(p, o.drawn), append(q, o.at)
		}
	}
	return p, q
}

// fitPose fits turn and shift. ok is false when the observations do not fix them.
func fitPose(obs []observation) (f poseFit, ok bool) {
	f = start(obs)
	f.free = []int{poseTurn, poseX, poseY}
	return f, f.solve(obs)
}

// start returns the closed solution of the marks, or a first guess when there
// are fewer than two of them: turned as the edge with a long chord between
// its touches, the way nearest to the drawn one.
func start(obs []observation) (f poseFit) {
	p, q := marksOf(obs)
	if len(p) > 1 {
		if g, _, _, ok := kabsch(p, q); ok {
			return g
		}
	}
	touches := map[geom.Vec][]geom.Vec{} // by the edge's normal
	var edges, all []geom.Vec
	for _, o := range obs {
		all = append(all, o.at)
		if o.edge() && touches[o.normal] == nil {
			edges = append(edges, o.normal)
		}
		touches[o.normal] = append(touches[o.normal], o.at)
	}
	c := middle(all)
	f.p0 = c
	if len(p) > 0 {
		f.p0, c = middle(p), middle(q)
	}
	f.x[poseX], f.x[poseY] = c.X, c.Y
	longest := 0.0
	for _, n := range edges {
		// The farthest from the farthest of any is at least half as far as any two are apart.
		far := farthest(touches[n], touches[n][0])
		d := farthest(touches[n], far).Sub(far)
		if along := n.Left(); d.Norm() > longest {
			if longest = d.Norm(); along.Dot(d) < 0 {
				along = along.Scale(-1)
			}
			f.x[poseTurn] = math.Atan2(along.Cross(d), along.Dot(d))
		}
	}
	return f
}

// farthest returns the point that lies farthest from another.
func farthest(points []geom.Vec, from geom.Vec) geom.Vec {
	far := from
	for _, p := range points {
		if p.Dist(from) > far.Dist(from) {
			far = p
		}
	}
	return far
}
