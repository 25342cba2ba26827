package trial

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// place is a place of a board's outline with the wall opposite, all to first order: the
// board goes no farther along out.
type place struct {
	at, out complex128
	a       [3]float64 // out.(move), by du, dv and theta in mm at the board's size
	near    [2]int     // the stretches of wall that it lies between, or on
	share   float64    // of the way from the one to the other
	bent    bool
}

// rimmed is a board of any outline in its window.
type rimmed struct {
	places    []place
	stretches int
	middle    complex128
	size      float64
	load      [3]float64 // that it is pushed with; none: it lies free
	stops     [3]int     // places that carry it in a true window
	home      [3]float64 // where it lies in a window that is true, before that is drawn for it
	box       [3]float64 // what holds all poses of a free one
}

// stepMM is how far apart the places lie at most.
const stepMM = 2.0

// newRimmed takes places all round. Corners are met by both walls. A wall errs by itself
// in each of its stretches, which are about half as long as the board; walls part where the
// outline turns.
func newRimmed(w *workshop, push complex128) *rimmed {
	l, b := w.Board.Outline, &rimmed{}
	lo, hi := complex(math.Inf(1), math.Inf(1)), complex(math.Inf(-1), math.Inf(-1))
	type run struct{ from, to int } // of a wall's places
	var runs []run
	var last complex128
	for i := range l {
		e := l.Edge(i)
		n := max(2, int(math.Ceil(e.Length()/stepMM)))
		if !e.IsArc() {
			n = 1
		}
		for k := range n + 1 {
			p, t := complex(0, 0), complex(e.Q.X-e.P.X, e.Q.Y-e.P.Y)
			p = complex(e.P.X, e.P.Y) + t*complex(float64(k)/float64(n), 0)
			if s := 4 * math.Atan(e.Bulge); e.IsArc() {
				centre := complex(e.P.X, e.P.Y) + t/2 + t*complex(0, 1/(2*math.Tan(s/2)))
				sin, cos := math.Sincos(s * float64(k) / float64(n))
				from := complex(e.P.X, e.P.Y) - centre
				p = centre + from*complex(cos, sin)
				t = from * complex(cos, sin) * complex(0, math.Copysign(1, s))
			}
			out := unit(t) * -1i
			if k == 0 && (len(runs) == 0 || real(out)*real(last)+imag(out)*imag(last) < math.Cos(0.2)) {
				runs = append(runs, run{from: len(b.places)})
			}
			last = out
			b.places = append(b.places, place{at: p, out: out, bent: e.IsArc()})
			runs[len(runs)-1].to = len(b.places)
			lo, hi = complex(min(real(lo), real(p)), min(imag(lo), imag(p))),
				complex(max(real(hi), real(p)), max(imag(hi), imag(p)))
		}
	}
	b.middle, b.size = (lo+hi)/2, max(real(hi-lo), imag(hi-lo))
	for _, r := range runs {
		along := make([]float64, r.to-r.from)
		for i := 1; i < len(along); i++ {
			d := b.places[r.from+i].at - b.places[r.from+i-1].at
			along[i] = along[i-1] + math.Hypot(real(d), imag(d))
		}
		whole := along[len(along)-1]
		n := max(1, int(math.Round(whole/(b.size/2))))
		for i, s := range along {
			at := s / whole * float64(n-1)
			k := min(int(at), max(n-2, 0))
			p := &b.places[r.from+i]
			p.near, p.share = [2]int{b.stretches + k, b.stretches + min(k+1, n-1)}, at-float64(k)
		}
		b.stretches += n
	}
	for i := range b.places {
		p := &b.places[i]
		r := p.at - b.middle
		p.a = [3]float64{real(p.out), imag(p.out), (real(r)*imag(p.out) - imag(r)*real(p.out)) / b.size}
	}
	gaps := make([]float64, len(b.places))
	for i := range gaps {
		gaps[i] = w.Template.ClearanceMM
	}
	if push != 0 {
		b.load = [3]float64{real(push), imag(push), 0}
		b.home, _ = b.farthest(b.load, gaps)
		b.stop(gaps)
		return b
	}
	for k := range 3 {
		for _, s := range []float64{-1, 1} {
			var c [3]float64
			c[k] = s
			_, far := b.farthest(c, gaps)
			b.box[k] = max(b.box[k], 2*far)
		}
	}
	return b
}

// farthest is the pose that goes farthest along c, by a linear programme over few places at
// first, and then over those too that it leaves a gap at.
func (b *rimmed) farthest(c [3]float64, gaps []float64) (x [3]float64, far float64) {
	var taken []int
	for i := 0; i < len(b.places); i += 1 + len(b.places)/24 {
		taken = append(taken, i)
	}
	for range 100 {
		// Free moves are differences of two that are not negative; slacks follow.
		m := len(taken)
		a, h, cost := mat.NewDense(m, 6+m, nil), make([]float64, m), make([]float64, 6+m)
		for i, at := range taken {
			for k, v := range b.places[at].a {
				a.Set(i, k, v)
				a.Set(i, 3+k, -v)
			}
			a.Set(i, 6+i, 1)
			h[i] = gaps[at]
		}
		for k, v := range c {
			cost[k], cost[3+k] = -v, v
		}
		most, y, err := lp.Simplex(cost, a, h, 1e-12, nil)
		if err != nil {
			return x, math.NaN()
		}
		x = [3]float64{y[0] - y[3], y[1] - y[4], y[2] - y[5]}
		worst := b.beyond(x, gaps)
		if worst < 0 {
			return x, -most
		}
		taken = append(taken, worst)
	}
	return x, math.NaN()
}

// beyond is the place that a pose leaves its gap at the most; -1 without.
func (b *rimmed) beyond(x [3]float64, gaps []float64) int {
	worst, over := -1, 1e-6
	for i := range b.places {
		if e := dot(b.places[i].a, x) - gaps[i]; e > over {
			worst, over = i, e
		}
	}
	return worst
}

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// solve returns x with rows x = h, and m with m rows = load; by Cramer.
func solve(rows [3][3]float64, h, load [3]float64) (x, m [3]float64, det float64) {
	cross := func(a, b [3]float64) [3]float64 {
		return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
	}
	det = dot(rows[0], cross(rows[1], rows[2]))
	for i := range rows {
		n := cross(rows[(i+1)%3], rows[(i+2)%3])
		m[i] = dot(n, load) / det
		for k := range x {
			x[k] += n[k] * h[i] / det
		}
	}
	return x, m, det
}

// stop finds the three places that carry the load where the walls stand true, the surest.
func (b *rimmed) stop(gaps []float64) {
	var on []int
	for i, p := range b.places {
		if math.Abs(dot(p.a, b.home)-gaps[i]) < 1e-5 {
			on = append(on, i)
		}
	}
	most := 0.0
	for i := range on {
		for j := range i {
			for k := range j {
				at := [3]int{on[i], on[j], on[k]}
				if _, m, det := solve(b.rows(at), [3]float64{}, b.load); min(m[0], m[1], m[2]) >= -1e-9 && math.Abs(det) > most {
					b.stops, most = at, math.Abs(det)
				}
			}
		}
	}
}

func (b *rimmed) rows(at [3]int) (rows [3][3]float64) {
	for i, k := range at {
		rows[i] = b.places[k].a
	}
	return rows
}

// driven is the pose that the load brings the board to: the linear programme's, from stops
// to stops until no place leaves its gap. ok is false when the board does not go in.
func (b *rimmed) driven(gaps []float64) (x [3]float64, ok bool) {
	at := b.stops
	for range 200 {
		rows := b.rows(at)
		x, m, _ := solve(rows, [3]float64{gaps[at[0]], gaps[at[1]], gaps[at[2]]}, b.load)
		k := b.beyond(x, gaps)
		if k < 0 {
			return x, true
		}
		_, y, _ := solve(rows, [3]float64{}, b.places[k].a)
		leaves, least := -1, math.Inf(1)
		for i := range y {
			if y[i] > 1e-12 && m[i]/y[i] < least {
				leaves, least = i, m[i]/y[i]
			}
		}
		if leaves < 0 {
			return x, false
		}
		at[leaves] = k
	}
	return x, false
}

// draw draws the gaps of a window that the plate brings along.
func (b *rimmed) draw(r *rand.Rand, w *workshop, plate func(complex128) complex128) []float64 {
	half := math.Hypot(math.Hypot(w.wallMM, w.Template.Make.StraightMM), w.Board.WidthErrorMM/2)
	errs, gaps := make([]float64, b.stretches), make([]float64, len(b.places))
	for i := range errs {
		errs[i] = half / normal95 * r.NormFloat64()
	}
	wider := w.Template.ClearanceMM + w.widerMM/normal95*r.NormFloat64()
	for i, p := range b.places {
		from, to := 1-p.share, p.share
		if p.bent { // no less sure between than there
			to, from = math.Sincos(p.share * math.Pi / 2)
		}
		d := plate(p.at) - p.at
		gaps[i] = wider + errs[p.near[0]]*from + errs[p.near[1]]*to + real(d)*real(p.out) + imag(d)*imag(p.out)
	}
	return gaps
}

// lies draws how the board lies in its window; only boards that go in count.
func (b *rimmed) lies(r *rand.Rand, w *workshop, plate func(complex128) complex128) func(complex128) complex128 {
	shift := plate(b.middle) - b.middle
	turn := (plate(b.middle+complex(b.size, 0)) - b.middle - shift) / complex(b.size, 0)
	x, ok := [3]float64{}, false
	for !ok {
		gaps := b.draw(r, w, plate)
		if b.load != [3]float64{} {
			x, ok = b.driven(gaps)
			continue
		}
		for try := 0; try < 200000 && !ok; try++ {
			x = [3]float64{real(shift) + even(r, b.box[0]), imag(shift) + even(r, b.box[1]), imag(turn)*b.size +
				even(r, b.box[2])}
			ok = b.beyond(x, gaps) < 0
		}
	}
	for k := range x {
		x[k] -= b.home[k]
	}
	about := complex(0, x[2]/b.size)
	return func(p complex128) complex128 { return p + complex(x[0], x[1]) + about*(p-b.middle) }
}

// pushed finds in a design how far off the datum line the board is pushed.
var pushed = regexp.MustCompile(`pushed home, (\d+) degrees off the datum line`)

// pushOf is the direction that a design says the board is pushed in; 0 for a free one.
func pushOf(design []byte, side string) complex128 {
	found := pushed.FindSubmatch(design)
	if found == nil {
		return 0
	}
	deg, _ := strconv.ParseFloat(string(found[1]), 64)
	sin, cos := math.Sincos(deg * math.Pi / 180)
	if side == "right" {
		sin = -sin
	}
	return complex(-cos, sin)
}

// rimJob is the job of a board of another outline.
const rimJob = `
board:
  outline: %s
  thickness: 5
  features: [{name: a, u: %g, v: %g}, {name: b, u: %g, v: %g}]
bed: {thickness: 18, make: {by: router, cutter: 3}}
machine: {long_axis: y, position: 0.02, square: 0.05, cutter: 3}
dowel: {diameter: 6, lean_deg: 0.1}
template: {seat: nest, material: birch plywood, thickness: 4, clearance: 0.1, push: %s,
  make: {by: laser, kerf: 0.2, spread: 0.03, straight: 0.01, position: 0.03, taper: 0.02}}
accuracy: 0.4
`

// TestOutlinedBudget holds the budget of boards of any outline against some that are put back.
// Pushed home the stops are those of the true window: where walls that err let others in, as
// where several lie in one line, the budget may be off by a little more. Of a free board it
// knows the walls' part of the room's size as between two parallel ones, and nothing of what
// growth makes of it.
func TestOutlinedBudget(t *testing.T) {
	const (
		kidney = "[[0, -30], {arc: [200, -30], through: [100, -15]}, [200, 30], {arc: [0, 30], through: [100, 60]}]"
		ell    = "[[0, -40], [160, -40], [160, 0], [60, 0], [60, 50], [0, 50]]"
		kite   = "[[0, -40], [180, 0], [0, 40]]"
	)
	boards := 100_000
	if !deep() {
		boards = 5_000
	}
	for _, c := range []struct {
		name   string
		text   string // "": an example
		within float64
	}{
		{"bridge-from-drawing", "", 0.01},
		{"cover-symmetric", "", 0.025},
		{"kidney, pushed", fmt.Sprintf(rimJob, kidney, 20.0, 20.0, 180.0, -10.0, "right"), 0.02},
		{"ell, pushed", fmt.Sprintf(rimJob, ell, 20.0, 30.0, 140.0, -20.0, "left"), 0.025},
		{"kite, pushed", fmt.Sprintf(rimJob, kite, 20.0, 20.0, 150.0, 0.0, "left"), 0.02},
		{"kidney", fmt.Sprintf(rimJob, kidney, 20.0, 20.0, 180.0, -10.0, "none"), 0.025},
		{"ell", fmt.Sprintf(rimJob, ell, 20.0, 30.0, 140.0, -20.0, "none"), 0.025},
		{"kite", fmt.Sprintf(rimJob, kite, 20.0, 20.0, 150.0, 0.0, "none"), 0.025},
	} {
		within, file := c.within, example("jobs", c.name+".yaml")
		if !deep() {
			if c.text != "" {
				continue
			}
			within = 0.035 // 5 000 boards tell it to 1.0 %, one sigma
		}
		if c.text != "" {
			file = (&bench{t: t, dir: t.TempDir()}).write("job.yaml", c.text)
		}
		w := newWorkshop(t, file)
		var at []complex128
		var names []string
		var want []float64
		for _, f := range w.design.Budget {
			at, names, want = append(at, complex(f.UMM, f.VMM)), append(names, f.Feature), append(want, f.P95MM)
		}
		judge(t, w, c.name, false, at, names, want, boards, within)
	}
}
