package measure

import (
	"math"

	"reseat/jig/geom"
)

// sight is one observation of where a board lies: a measured point whose drawn
// place is known, or a point on an edge whose drawn line is known. Machine frame,
// millimetres.
type sight struct {
	q    geom.Vec // measured
	p    geom.Vec // drawn place; for an edge any point of its line
	edge bool
	n    geom.Vec // edge: unit normal out of the drawn board
	r    float64  // edge: how far outside it the probe's centre stands
}

// rows is the number of figures that the sight gives.
func (s sight) rows() int {
	if s.edge {
		return 1
	}
	return 2
}

// rigidFit is the move that carries the drawn board onto the measured one.
//
//	q = c + R(angle)(p - p0)
type rigidFit struct {
	angle    float64
	p0, c    geom.Vec
	cov      [3][3]float64 // of angle, c.X and c.Y for readings of 1 mm^2 variance
	residual []geom.Vec    // by sight, measured less fitted; an edge's in X, outward positive
	sse      float64
	df       int
}

func (f *rigidFit) turn(d geom.Vec) geom.Vec { return geom.Rigid{Angle: f.angle}.Apply(d) }

// apply returns where the drawn point p lies.
func (f *rigidFit) apply(p geom.Vec) geom.Vec { return f.c.Add(f.turn(p.Sub(f.p0))) }

// move returns the fit as a move of the machine's plane.
func (f *rigidFit) move() geom.Rigid {
	return geom.Rigid{Angle: f.angle, Shift: f.c.Sub(f.turn(f.p0))}
}

// jacobian returns the derivatives of a sight's residuals after angle, c.X, c.Y.
//
//	point: e = q - c - R(p - p0)           de = -left(R(p - p0)), -I
//	edge:  e = N.(q - c - R(p - p0)) - r   de = left(N).(q - c),  -N      with N = R n
func (f *rigidFit) jacobian(s sight) (j [2][3]float64) {
	if s.edge {
		n := f.turn(s.n)
		j[0] = [3]float64{n.Left().Dot(s.q.Sub(f.c)), -n.X, -n.Y}
		return j
	}
	d := f.turn(s.p.Sub(f.p0)).Left()
	return [2][3]float64{{-d.X, -1, 0}, {-d.Y, 0, -1}}
}

func (f *rigidFit) residualOf(s sight) geom.Vec {
	e := s.q.Sub(f.apply(s.p))
	if s.edge {
		return geom.Vec{X: f.turn(s.n).Dot(e) - s.r}
	}
	return e
}

// kabsch is the closed solution for points: the best turn about the centroids.
//
//	angle = atan2(sum p x q, sum p . q),  p and q from their centroids
//
// It is what the singular value decomposition of sum p q' comes to in the plane
// (Kabsch, Acta Cryst. A32, 1976; Umeyama, IEEE PAMI 13, 1991; recalled, not
// seen). Held against that decomposition in the tests. It also returns the sums: cross, inner, and
// pp = sum p.p; ok is false when the points give no direction.
func kabsch(p, q []geom.Vec) (f rigidFit, s sums, ok bool) {
	f.p0, f.c = middle(p), middle(q)
	for i := range p {
		a, b := p[i].Sub(f.p0), q[i].Sub(f.c)
		s.inner += a.Dot(b)
		s.cross += a.Cross(b)
		s.pp += a.Dot(a)
	}
	f.angle = math.Atan2(s.cross, s.inner)
	return f, s, s.inner != 0 || s.cross != 0
}

// sums are the products that the closed solution is made of, mm^2.
type sums struct{ inner, cross, pp float64 }

// scale is the factor that fits best beside the turn.
func (s sums) scale() float64 { return math.Hypot(s.inner, s.cross) / s.pp }

func middle(p []geom.Vec) (c geom.Vec) {
	for _, x := range p {
		c = c.Add(x.Scale(1 / float64(len(p))))
	}
	return c
}

const (
	// mostSteps bounds the steps of the fit with edges, which converges
	// quadratically: from ten degrees off it takes five.
	mostSteps = 50
	// stepEnd ends it, in parts of the set's size: rounding of the sums.
	stepEnd = 1e-14
)

// fitRigid finds the move with the least sum of squared residuals: in closed form
// for points, and from there by Gauss and Newton's steps when there are edges.
// ok is false when the sights do not fix a pose.
func fitRigid(sights []sight) (f rigidFit, ok bool) {
	f, edges := start(sights)
	size := 1.0
	for _, s := range sights {
		size = math.Max(size, s.q.Dist(f.c))
	}
	for range mostSteps {
		var a [3][3]float64
		var b [3]float64
		for _, s := range sights {
			j, e := f.jacobian(s), f.residualOf(s)
			for k := range s.rows() {
				r := [2]float64{e.X, e.Y}[k]
				for m := range 3 {
					b[m] -= j[k][m] * r
					for l := range 3 {
						a[m][l] += j[k][m] * j[k][l]
					}
				}
			}
		}
		if f.cov, ok = invert(a); !ok {
			return f, false
		}
		if !edges {
			break
		}
		var d [3]float64
		for m := range 3 {
			for l := range 3 {
				d[m] += f.cov[m][l] * b[l]
			}
		}
		f.angle = math.Remainder(f.angle+d[0], 2*math.Pi)
		f.c = f.c.Add(geom.Vec{X: d[1], Y: d[2]})
		if !finite(f.c.X, f.c.Y, f.angle) {
			return f, false
		}
		if math.Abs(d[0])*size+math.Hypot(d[1], d[2]) <= stepEnd*size {
			break
		}
	}
	rows := 0
	for _, s := range sights {
		e := f.residualOf(s)
		f.residual = append(f.residual, e)
		f.sse += e.Dot(e)
		rows += s.rows()
	}
	f.df = rows - 3
	return f, true
}

// start returns the closed solution of the points, or a first guess when there
// are fewer than two of them: turned as the edge with the longest chord between
// its touches, the way nearest to the drawn one.
func start(sights []sight) (f rigidFit, edges bool) {
	var p, q, all []geom.Vec
	for _, s := range sights {
		all = append(all, s.q)
		if s.edge {
			edges = true
			continue
		}
		p, q = append(p, s.p), append(q, s.q)
	}
	if len(p) > 1 {
		if g, _, ok := kabsch(p, q); ok {
			return g, edges
		}
	}
	f.p0 = middle(all)
	f.c = f.p0
	if len(p) > 0 {
		f.p0, f.c = middle(p), middle(q)
	}
	longest, seen := 0.0, map[geom.Vec]bool{}
	for _, s := range sights {
		if !s.edge || seen[s.n] {
			continue
		}
		seen[s.n] = true
		far := farthest(sights, s.n, s.q)
		d := farthest(sights, s.n, far).Sub(far)
		if d.Norm() <= longest {
			continue
		}
		longest = d.Norm()
		along := s.n.Left()
		if along.Dot(d) < 0 {
			along = along.Scale(-1)
		}
		f.angle = math.Atan2(along.Cross(d), along.Dot(d))
	}
	return f, edges
}

// farthest returns the touch of the edge with normal n that lies farthest from a point.
// The farthest from the farthest of any is at least half as far as any two are apart.
func farthest(sights []sight, n, from geom.Vec) geom.Vec {
	far := from
	for _, s := range sights {
		if s.edge && s.n == n && s.q.Dist(from) > far.Dist(from) {
			far = s.q
		}
	}
	return far
}

// leastPivot is the least part of a diagonal element that elimination must leave
// for the sights to fix a pose; rounding leaves 1e-14.
const leastPivot = 1e-11

// invert inverts a symmetric positive definite matrix by Cholesky's factors; ok is
// false when it is singular.
func invert(a [3][3]float64) (inv [3][3]float64, ok bool) {
	var l [3][3]float64
	for i := range 3 {
		for j := range i + 1 {
			v := a[i][j]
			for k := range j {
				v -= l[i][k] * l[j][k]
			}
			if i != j {
				l[i][j] = v / l[j][j]
				continue
			}
			if !(v > leastPivot*a[i][i]) {
				return inv, false
			}
			l[i][i] = math.Sqrt(v)
		}
	}
	for c := range 3 {
		var z [3]float64
		for i := range 3 {
			if i == c {
				z[i] = 1
			}
			for k := range i {
				z[i] -= l[i][k] * z[k]
			}
			z[i] /= l[i][i]
		}
		for i := 2; i >= 0; i-- {
			for k := i + 1; k < 3; k++ {
				z[i] -= l[k][i] * z[k]
			}
			z[i] /= l[i][i]
			inv[i][c] = z[i]
		}
	}
	return inv, true
}
