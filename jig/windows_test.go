package jig

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/plate"
)

// outlinedJob is the job of a board with an outline, its clearance, push and process.
const outlinedJob = `
board:
  outline: %s
  thickness: 6
  features: [{name: a, u: 20, v: 2}, {name: b, u: 100, v: -4}]
machine: {position: 0.02, cutter: 3}
dowel: {diameter: 6}
template: {seat: nest, thickness: 4, clearance: %g, push: %s, lift: false, make: %s}
accuracy: 0.4
`

const laserCut, routerCut = "{by: laser, kerf: 0.2, spread: 0.04}", "{by: router, cutter: 3, spread: 0.03}"

// windowJobs are boards of all kinds in windows of all kinds; without an outline, an example.
var windowJobs = []struct {
	name, outline string
	clearance     float64
	push, by      string
}{
	{name: "bridge-from-drawing"},
	{name: "cover-symmetric"},
	{"ell", "[[0, -40], [160, -40], [160, 0], [60, 0], [60, 50], [0, 50]]", 0.1, "none", routerCut},
	{"ell, pushed", "[[0, -40], [160, -40], [160, 0], [60, 0], [60, 50], [0, 50]]", 0.1, "right", routerCut},
	{"kidney", "[[0, -30], {arc: [200, -30], through: [100, -15]}, [200, 30], {arc: [0, 30], through: [100, 60]}]",
		0.15, "none", laserCut},
	{"leaf with sharp tips", "[[0, 0], {arc: [180, 0], through: [90, -35]}, {arc: [0, 0], through: [90, 45]}]", 0.1,
		"none", routerCut},
	{"two wide ends", "[[0, -30], [50, -30], [50, -8], [110, -8], [110, -30], [160, -30], [160, 30], [110, 30], [110, " +
		"4], [50, 4], " +
		"[50, 30], [0, 30]]", 0.2, "none", routerCut},
	{"ends not square", "[[0, -18], [190, -30], [210, 26], [12, 22]]", 0.08, "left", laserCut},
	{"round inside corners", "[[0, -35], [150, -35], [150, 35], [110, 35], {arc: [60, 35], through: [85, 5]}, [0, 35]]",
		0.1, "left",
		laserCut},
}

// windowDesign builds one of them; its board's outline is the job's own.
func windowDesign(t *testing.T, i int) (*job.Job, *Design) {
	t.Helper()
	c := windowJobs[i]
	if c.outline != "" {
		j := mustParse(t, fmt.Sprintf(outlinedJob, c.outline, c.clearance, c.push, c.by))
		return j, build(t, j)
	}
	j, err := job.Read("../testdata/jobs/" + c.name + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	return j, build(t, j)
}

// contour is a closed line and places on it, each with the direction out of it.
type contour struct {
	edges []geom.Edge
	at    []geom.Vec
	out   []geom.Vec
	edge  []int
}

// contourOf takes places no farther apart than step, the ends of every edge included by a hair.
func contourOf(l geom.Loop, step float64) (c contour) {
	const hair = 1e-6 // of an edge
	for i := range l {
		e := l.Edge(i)
		c.edges = append(c.edges, e)
		n := 1 + int(math.Ceil(e.Length()/step))
		if e.IsArc() {
			n += int(math.Abs(e.Arc().Sweep) / 0.1)
		}
		for k := range n + 1 {
			share := min(max(float64(k)/float64(n), hair), 1-hair)
			p := e.At(share)
			along := e.At(share + hair).Sub(e.At(share - hair))
			c.at, c.out, c.edge = append(c.at, p), append(c.out, along.Left().Unit().Scale(-1)), append(c.edge, i)
		}
	}
	return c
}

// room is how far a place lies inside, negative outside: by the nearest edge, and by the turns
// that the places make about it.
func (c contour) room(p geom.Vec) float64 {
	least, turns := math.Inf(1), 0.0
	for _, e := range c.edges {
		least = min(least, e.Distance(p))
	}
	for i, q := range c.at {
		a, b := q.Sub(p), c.at[(i+1)%len(c.at)].Sub(p)
		turns += math.Atan2(a.Cross(b), a.Dot(b))
	}
	if turns < math.Pi {
		return -least
	}
	return least
}

// windowStep is how far apart places are taken, mm.
func windowStep() float64 {
	if deep() {
		return 0.5
	}
	return 4
}

// seated is a board in a window, moved about its middle by x: du, dv and theta times its size.
type seated struct {
	board, window contour
	middle        geom.Vec
	size          float64
}

func seatedIn(d *Design, step float64) seated {
	box := d.Board.Outline.Bounds()
	return seated{contourOf(d.Board.Outline, step), contourOf(d.Template.Window, step), box.Center(),
		max(box.Size().X, box.Size().Y)}
}

// rooms is how far every place of the moved board lies inside the window.
func (s seated) rooms(x [3]float64) (rooms []float64) {
	for _, p := range s.board.at {
		rooms = append(rooms, s.window.room(s.moved(p, x)))
	}
	return rooms
}

func (s seated) moved(p geom.Vec, x [3]float64) geom.Vec {
	return geom.Rigid{Angle: x[2] / s.size, Shift: s.middle.Add(geom.Vec{X: x[0], Y: x[1]})}.Apply(p.Sub(s.middle))
}

// limit is how far a place of the moved board may still go one way: row.(move) <= room.
type limit struct {
	row  [3]float64
	room float64
}

// limits are those of every place by the walls beside it, and of every corner of the window by
// the board's edge beside that.
func (s seated) limits(x [3]float64) (all []limit) {
	// Farther out it lies beyond another edge.
	const beside, beyond = 1.0, 0.02 // mm
	add := func(p, n geom.Vec, room float64) {
		r := p.Sub(s.middle).Sub(geom.Vec{X: x[0], Y: x[1]})
		all = append(all, limit{[3]float64{n.X, n.Y, r.Cross(n) / s.size}, room})
	}
	for _, p := range s.board.at {
		p = s.moved(p, x)
		for _, e := range s.window.edges {
			if n, room, ok := wallOf(e, p); ok && room < beside && room > -beyond {
				add(p, n, room)
			}
		}
	}
	var board []geom.Edge
	for _, e := range s.board.edges {
		board = append(board, geom.Edge{P: s.moved(e.P, x), Q: s.moved(e.Q, x), Bulge: e.Bulge})
	}
	for _, w := range s.window.edges {
		for _, e := range board {
			if n, room, ok := wallOf(e, w.P); ok && -room < beside && -room > -beyond {
				add(w.P, n, -room)
			}
		}
	}
	return all
}

// wallOf is the way out through an edge that a place lies beside, and how far it is to it; ok
// is false for a place beyond its ends.
func wallOf(e geom.Edge, p geom.Vec) (out geom.Vec, room float64, ok bool) {
	if !e.IsArc() {
		along := e.Q.Sub(e.P)
		share := p.Sub(e.P).Dot(along) / along.Dot(along)
		out = along.Unit().Left().Scale(-1)
		return out, e.P.Sub(p).Dot(out), share >= 0 && share <= 1
	}
	a := e.Arc()
	from, sign := p.Sub(a.C), math.Copysign(1, e.Bulge)
	middle := a.At(0.5).Sub(a.C)
	within := math.Abs(math.Atan2(middle.Cross(from), middle.Dot(from))) <= math.Abs(a.Sweep)/2
	return from.Unit().Scale(sign), sign * (a.R - from.Norm()), within
}

// most is the pose with the largest c.x + cleared t at which every place has t of room: linear
// programmes one after another, each about the last one's answer, over few places at first and
// those that it leaves out of the window.
func (s seated) most(t *testing.T, c [3]float64, cleared float64) (x [3]float64) {
	t.Helper()
	for range 4 {
		limits := s.limits(x)
		var taken []int
		for i := 0; i < len(limits); i += 1 + len(limits)/24 {
			taken = append(taken, i)
		}
		var move [3]float64
		for worst := 0; worst >= 0; {
			m := len(taken)
			a, h := mat.NewDense(m, 7+m, nil), make([]float64, m)
			for k, i := range taken {
				for v, g := range limits[i].row {
					a.Set(k, v, g)
					a.Set(k, 3+v, -g)
				}
				a.Set(k, 6, 1)
				a.Set(k, 7+k, 1)
				h[k] = limits[i].room
			}
			cost := append([]float64{-c[0], -c[1], -c[2], c[0], c[1], c[2], -cleared}, make([]float64, m)...)
			far, y, err := lp.Simplex(cost, a, h, 1e-12, nil)
			if errors.Is(err, lp.ErrUnbounded) && m < len(limits) { // the few at first leave it free
				taken = taken[:0]
				for i := range limits {
					taken = append(taken, i)
				}
				worst = 0
				continue
			}
			if err != nil {
				t.Fatal(err, far)
			}
			move = [3]float64{y[0] - y[3], y[1] - y[4], y[2] - y[5]}
			worst = -1
			for i, over := 0, 1e-7; i < len(limits); i++ {
				k := limits[i]
				e := k.row[0]*move[0] + k.row[1]*move[1] + k.row[2]*move[2] + y[6] - k.room
				if e > over && !slices.Contains(taken, i) {
					worst, over = i, e
				}
			}
			if worst >= 0 {
				taken = append(taken, worst)
			}
		}
		for k := range x {
			x[k] += move[k]
		}
	}
	return x
}

const (
	// sampledMM is what places on lines and arcs, and a pose found by linear programmes, are off by.
	sampledMM = 2e-4
	// standsMM is how much of a wall a round cutter may leave standing in a corner.
	standsMM = 0.005
)

// TestWindowsSampled moves places of boards of any outline against their finished windows.
func TestWindowsSampled(t *testing.T) {
	for i, c := range windowJobs {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			j, d := windowDesign(t, i)
			s := seatedIn(d, windowStep())
			s.clears(t, j, d)
			s.floats(t, j, d)
		})
	}
}

// clears: places all round a board lie clear of its window by what is wanted, and beside straight
// walls by no more, where the board lies as it should: as drawn, or, with a window for a board
// that is pushed, where that leaves the most room all round. Pushed home it lies as drawn and
// touches. The same goes for the window in the cut file, which the kerf makes wider. The
// cutter goes round in the window, and what it opens clears the board.
func (s seated) clears(t *testing.T, j *job.Job, d *Design) {
	clearance, tol, pushed := j.Template.ClearanceMM, sampledMM, j.Template.Push != "none"
	cutter := 0.0
	if j.Template.Make.By == "router" {
		cutter, tol = j.Template.Make.Cutter.DiameterMM/2, standsMM
	}
	x := [3]float64{}
	if pushed {
		rooms := s.rooms(x)
		touches := 0
		for _, r := range rooms {
			if r < sampledMM {
				touches++
			}
		}
		if least := slices.Min(rooms); least < -tol || touches < 2 {
			t.Errorf("pushed home the board stands out by %.5f, and touches at %d places", -least, touches)
		}
		x = s.most(t, [3]float64{}, 1)
	}
	sheet := d.Sheets[slices.IndexFunc(d.Sheets, func(k CutSheet) bool { return k.File == "template.dxf" })]
	inFile := contourOf(windowOf(t, sheet), windowStep())
	bad := 0
	for k, p := range s.board.at {
		e := s.board.edges[s.board.edge[k]]
		away := min(p.Dist(e.P), p.Dist(e.Q)) - 5*cutter - 1 // reliefs eat the ends of walls
		p = s.moved(p, x)
		r, cut := s.window.room(p), inFile.room(d.Frame.ToMachine.Apply(p).Add(sheet.Origin))+sheet.KerfMM/2
		for _, r := range []float64{r, cut} {
			if bad < 9 && (r < clearance-tol || !e.IsArc() && away > 0 && math.Abs(r-clearance) > sampledMM) {
				bad++
				t.Errorf("%.5f of room at %.2f, want %.3f", r, s.board.at[k], clearance)
			}
		}
	}
	if pushed {
		clearance = 0 // as it lies, pushed home
	}
	if r := max(cutter, sheet.KerfMM/2); r > 0 { // a beam leaves corners round too
		s.cut(t, r, clearance)
	}
}

// windowOf is the window in a cut file: of all contours the largest but for the outline.
func windowOf(t *testing.T, sheet CutSheet) (l geom.Loop) {
	t.Helper()
	for _, k := range sheet.Shapes {
		if a := k.Loop.Area(); k.Layer == plate.Opening && a > l.Area() {
			l = k.Loop
		}
	}
	if l == nil {
		t.Fatal("no window in the file")
	}
	return l
}

// cut follows the cutter along the window: its middle lies beside every place of the wall from
// which it stands no wall in, and round every corner that stands in. What is nearer to one of
// those than its radius is cut; that must be all that lies within the clearance of the board.
func (s seated) cut(t *testing.T, radius, clearance float64) {
	fine := contourOf(loopOf(s.window.edges), windowStep()/10)
	var middles []geom.Vec
	try := func(p geom.Vec) {
		if s.window.room(p) > radius-sampledMM {
			middles = append(middles, p)
		}
	}
	for k, p := range fine.at {
		try(p.Sub(fine.out[k].Scale(radius)))
		q, n := fine.at[(k+1)%len(fine.at)], fine.out[(k+1)%len(fine.at)]
		if p.Dist(q) < 0.01 && fine.out[k].Cross(n) < -0.01 { // a corner that stands in
			for f := 0.05; f < 1; f += 0.05 {
				try(p.Sub(fine.out[k].Lerp(n, f).Unit().Scale(radius)))
			}
		}
	}
	if len(middles) == 0 {
		t.Fatal("the cutter is nowhere in the window")
	}
	for k, p := range s.board.at {
		q := p.Add(s.board.out[k].Scale(clearance - standsMM))
		if s.window.room(q) > 2*radius {
			continue
		}
		least := math.Inf(1)
		for _, m := range middles {
			least = min(least, m.Dist(q))
		}
		if step := windowStep() / 10; least > radius+standsMM+step*step/(2*radius) {
			t.Errorf("the cutter leaves %.4f standing at %.2f", least-radius, q)
		}
	}
}

func loopOf(edges []geom.Edge) (l geom.Loop) {
	for _, e := range edges {
		l = append(l, geom.Vertex{Vec: e.P, Bulge: e.Bulge})
	}
	return l
}

// floats: how far the finished design says that a feature and the whole board may move is what
// moving places of the outline against the finished window says, and the pins' play by hand; of
// a pushed board the pins' alone.
func (s seated) floats(t *testing.T, j *job.Job, d *Design) {
	const share = 0.01
	round, slot := d.Pins[0], d.Pins[1]
	play := func(p Pin) float64 { return (max(0, p.Template.ClearMaxMM) + max(0, p.Bed.ClearMaxMM)) / 2 }
	line := slot.At.Sub(round.At)
	// A plate moves by m at its round hole and turns by what its slot lets it across.
	pins := func(f, dir geom.Vec) float64 {
		k := f.Sub(round.At).Left().Dot(dir) / line.Norm()
		return play(round)*dir.Sub(line.Left().Unit().Scale(k)).Norm() + play(slot)*math.Abs(k)
	}
	window := func(c [3]float64) (far float64) {
		if j.Template.Push != "none" {
			return 0
		}
		for _, sign := range []float64{-1, 1} {
			x := s.most(t, [3]float64{sign * c[0], sign * c[1], sign * c[2]}, 0)
			far = max(far, sign*(c[0]*x[0]+c[1]*x[1]+c[2]*x[2]))
		}
		return far
	}
	hold := func(what string, got, want float64) {
		if math.Abs(got/want-1) > share {
			t.Errorf("%s: %.5f, sampled %.5f (%+.2f %%)", what, got, want, 100*(got/want-1))
		}
	}
	hold("turn over the size", d.Seat.ThetaMax*s.size,
		window([3]float64{0, 0, 1})+(play(round)+play(slot))/line.Norm()*s.size)
	f := d.Seat.Features[0]
	r := f.At.Sub(s.middle).Scale(1 / s.size)
	hold("along", f.AlongMM, window([3]float64{1, 0, -r.Y})+pins(f.At, geom.Vec{X: 1}))
	hold("across", f.AcrossMM, window([3]float64{0, 1, r.X})+pins(f.At, geom.Vec{Y: 1}))
}
