package foolproof

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"reseat/jig/geom"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// simplexLack is the independent oracle: the linear programme in shift, rotation and lack
// of every point of the flattened board at every wall, in its dual form, by gonum's
// simplex: presses on the points that add up to one, and to no force and no turning.
func simplexLack(t *testing.T, window []geom.Vec, board geom.Loop, turn Misplacement) float64 {
	t.Helper()
	m := board.Bounds().Center()
	pts := place(shifted(board.Flatten(1e-4), m.Scale(-1)), turn, 0)
	var room, sum, forceX, forceY, turning []float64
	for i, w := range window {
		e := window[(i+1)%len(window)].Sub(w)
		n := vec(e.Y, -e.X).Scale(1 / math.Hypot(e.X, e.Y))
		for _, p := range pts {
			room = append(room, n.Dot(w.Sub(m).Sub(p)))
			sum, forceX, forceY = append(sum, 1), append(forceX, n.X), append(forceY, n.Y)
			turning = append(turning, (p.X*n.Y-p.Y*n.X)/100)
		}
	}
	all := slices.Concat(sum, forceX, forceY, turning)
	s, _, err := lp.Simplex(room, mat.NewDense(4, len(room), all), []float64{1, 0, 0, 0}, 1e-12, nil)
	if err != nil {
		t.Fatal(err)
	}
	return -s
}

func shifted(pts []geom.Vec, by geom.Vec) []geom.Vec {
	out := make([]geom.Vec, len(pts))
	for i, p := range pts {
		out[i] = p.Add(by)
	}
	return out
}

func corners(l geom.Loop) []geom.Vec { return l.Corners() }

// What the window of a straight board leaves it one way it leaves it every way; a tapered
// board turned end for end meets both long walls.
func TestLackByHand(t *testing.T) {
	straight := geom.Taper(431.8, 38.1, 38.1)
	loose := geom.Rect(geom.Box{Min: vec(0, -19.304), Max: vec(432.054, 19.05)}) // pushed left: 0.254 on the other sides
	taper := geom.Taper(478, 41.5, 55)
	slant := math.Atan2(6.75, 478)
	ends := 6.75 * math.Cos(slant) / (1 + math.Sin(slant))
	for _, c := range []struct {
		name   string
		window geom.Loop
		board  geom.Loop
		want   [3]float64
	}{
		{"straight", loose, straight, [3]float64{-0.127, -0.127, -0.127}},
		{"rounded corners are no help on straight walls", loose, geom.RoundCorners(straight, 3),
			[3]float64{-0.127, -0.127, -0.127}},
		{"too large by 0.2", geom.Taper(431.6, 37.9, 37.9), straight, [3]float64{0.1, 0.1, 0.1}},
		// End for end its wide end lacks 6.75 on each side; the board shifts toward the wide
		// end until the end wall lacks as much as the slanted sides: s (1 + sin) = 6.75 cos.
		// Turned over about its axis it is itself.
		{"tapered", taper, taper, [3]float64{ends, 0, ends}},
	} {
		t.Run(c.name, func(t *testing.T) {
			for turn := HalfTurn; turn <= FlipShort; turn++ {
				got := Lack(corners(c.window), c.board, turn)
				if math.Abs(got-c.want[turn]) > 2e-6 {
					t.Errorf("turn %d: lacks %.6f, want %.4f", turn, got, c.want[turn])
				}
				if want := simplexLack(t, corners(c.window), c.board, turn); math.Abs(got-want) > 2e-4 {
					t.Errorf("turn %d: lacks %.6f, simplex %.6f", turn, got, want)
				}
			}
		})
	}
}

// Boards and windows of any convex shape, held against the simplex, and against a search
// over true rotations and shifts that can only find the board lacking more.
func TestLackAgainstOracles(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	for k := range 12 {
		length := between(150, 600)
		board := geom.Taper(length, between(30, 60), between(30, 60))
		window := board.Offset(between(0.02, 0.4))
		if k%2 == 0 { // a corner cut off, and filled
			leg := between(2, 6)
			cut := func(l geom.Loop, by float64) geom.Loop {
				c, in, out := l[3].Vec, l[2].Sub(l[3].Vec).Unit(), l[0].Sub(l[3].Vec).Unit()
				pts := l.Corners()
				return geom.FromPoints([]geom.Vec{pts[0], pts[1], pts[2], c.Add(in.Scale(by)), c.Add(out.Scale(by))})
			}
			board, window = cut(board, leg), cut(window, leg-between(0, 0.3))
		} else {
			board = geom.RoundCorners(board, between(0.5, 6))
		}
		for turn := HalfTurn; turn <= FlipShort; turn++ {
			got := Lack(corners(window), board, turn)
			if want := simplexLack(t, corners(window), board, turn); math.Abs(got-want) > 2e-4 {
				t.Errorf("case %d, turn %d: lacks %.6f, simplex %.6f", k, turn, got, want)
			}
			pts := shifted(board.Flatten(1e-4), board.Bounds().Center().Scale(-1))
			walls := shifted(corners(window), board.Bounds().Center().Scale(-1))
			for range 200 {
				// A small rotation lengthens nothing: cos is below one.
				put := shifted(place(pts, turn, between(-0.002, 0.002)), vec(between(-9, 9), between(-9, 9)))
				worst := math.Inf(-1)
				for i, w := range walls {
					e := walls[(i+1)%len(walls)].Sub(w)
					n := vec(e.Y, -e.X).Scale(1 / e.Norm())
					for _, p := range put {
						worst = math.Max(worst, n.Dot(p.Sub(w)))
					}
				}
				if worst < got-0.002*0.002*length {
					t.Errorf("case %d, turn %d: a placement lacks %.6f, Lack says %.6f", k, turn, worst, got)
				}
			}
		}
	}
}

func BenchmarkLack(b *testing.B) {
	board := geom.RoundCorners(geom.Taper(478, 41.5, 55), 2)
	window := corners(geom.Taper(478, 41.5, 55).Offset(0.1))
	for b.Loop() {
		Lack(window, board, HalfTurn)
	}
}
