package motion

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"reseat/fit"
	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/seat"
)

// Parts laid on each other one by one, in exact plane geometry: what the fields of this
// package say to first order.

// onto is the rigid move that takes one point to its mark and a second one into line with
// its own: a plate on round pin and slot, a board's side on its wall.
func onto(p, mark, q, toward geom.Vec) func(geom.Vec) geom.Vec {
	a, b := q.Sub(p), toward.Sub(mark)
	angle := math.Atan2(a.Cross(b), a.Dot(b))
	sin, cos := math.Sincos(angle)
	return func(x geom.Vec) geom.Vec {
		r := x.Sub(p)
		return mark.Add(geom.Vec{X: cos*r.X - sin*r.Y, Y: sin*r.X + cos*r.Y})
	}
}

func at(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }

// TestPinsLaid: pins are driven in one by one, off their places and leaning; the variance of a
// feature against plates that are put on them. A hole is straight, so that it is centred on
// its pin halfway up, and the zero is indicated there. First cut without the pins: the
// feature is where it should be. Before: it was cut with the same blank on the same pins,
// by the zero of the round one, and the blank was then turned over.
func TestPinsLaid(t *testing.T) {
	const half, height, lean, sets, middle = 0.03, 12.0, 0.004, 12000, 200
	long := func(p geom.Vec) geom.Vec { return at(p.X, -p.Y) }
	short := func(p geom.Vec) geom.Vec { return at(2*middle-p.X, p.Y) }
	for _, c := range []struct {
		name   string
		turn   func(geom.Vec) geom.Vec
		before bool
		zeroed bool
		pins   []geom.Vec // all; the first two locate
	}{
		{"plate, zero kept", nil, false, false, []geom.Vec{at(-20, 5), at(420, -9)}},
		{"plate, zero on the pin", nil, false, true, []geom.Vec{at(-20, 5), at(420, -9)}},
		{"long, zero kept", long, true, false, []geom.Vec{at(-20, 0), at(420, 0)}},
		{"long, zero on the pin", long, true, true, []geom.Vec{at(-20, 0), at(420, 0)}},
		{"long, in pairs", long, true, true, []geom.Vec{at(-20, 40), at(420, -30), at(-20, -40), at(420, 30)}},
		{"short, the two change places", short, true, true, []geom.Vec{at(-20, 10), at(420, 10)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(7, 1))
			normal := func(half float64) geom.Vec {
				return at(r.NormFloat64(), r.NormFloat64()).Scale(half / fit.Normal95)
			}
			f := at(330, 25)
			var along, across []float64
			for range sets {
				stands := map[geom.Vec]geom.Vec{} // halfway up
				for _, p := range c.pins {
					foot, slope := normal(half), normal(lean)
					stands[p] = p.Add(foot).Add(slope.Scale(height / 2))
				}
				var tool geom.Vec
				if c.zeroed {
					tool = stands[c.pins[0]].Sub(c.pins[0])
				}
				p, q := c.pins[0], c.pins[1]
				if !c.before {
					lies := onto(p, stands[p], q, stands[q])(f)
					off := lies.Sub(f.Add(tool))
					along, across = append(along, off.X), append(across, off.Y)
					continue
				}
				lies := onto(stands[p], p, stands[q], q) // back from machine to blank
				cut := lies(f.Add(tool))                 // where the first cut made it, in the blank
				over := onto(c.turn(p), stands[c.turn(p)], c.turn(q), stands[c.turn(q)])
				off := over(c.turn(cut)).Sub(c.turn(f).Add(tool))
				off = c.turn(off).Sub(c.turn(geom.Vec{}))
				along, across = append(along, off.X), append(across, off.Y)
			}
			pins := Pins{At: c.pins[:2], Zeroed: c.zeroed, Before: c.before, Turned: c.turn}
			var want geom.Vec
			for _, v := range append(pins.PinErrors(half), pins.PinErrors(lean*height/2)...) {
				d := v.Field.At(f).Scale(v.Half / fit.Normal95)
				want = want.Add(at(d.X*d.X, d.Y*d.Y))
			}
			const share = 0.025 // a simulated standard deviation is known to 1/sqrt(2 n), 0.65 %
			for _, s := range []struct {
				axis      string
				got, want float64
			}{
				{"along", stat.StdDev(along, nil), math.Sqrt(want.X)}, {"across", stat.StdDev(across, nil), math.Sqrt(want.Y)},
			} {
				if math.Abs(s.got-s.want) > share*s.got+1e-5 {
					t.Errorf("%s: laid %.6f, reckoned %.6f", s.axis, s.got, s.want)
				}
			}
		})
	}
	if (Pins{At: []geom.Vec{{}, {X: 400}}, Before: true}).PinErrors(half) != nil {
		t.Error("put back on the same pins, the blank moves")
	}
}

// laid is where a board lies that is pushed along a side wall through p and q, the far end
// following, its start corner against a start wall through that corner's mark.
func (b Board) laid(p, q geom.Vec) func(geom.Vec) geom.Vec {
	start, far := b.ends()
	return onto(start, p, far, q)
}

// TestBoardLaid: windows are drawn with walls that err and the board is laid in.
func TestBoardLaid(t *testing.T) {
	const e = 0.01 // small against the board: what is of second order is below a tenth of a micrometre
	for _, push := range []string{"left", "right", "none"} {
		b := Board{LengthMM: 400, WidthStartMM: 40, WidthEndMM: 60, Push: push}
		pins := Pins{At: []geom.Vec{at(-30, 12), at(430, -20)}}
		p, q := b.ends()
		for _, f := range []geom.Vec{{}, at(150, 12), at(390, -20)} {
			same := func(what string, got, want geom.Vec) {
				if got.Dist(want) > 1e-4*e+1e-6 {
					t.Errorf("%s, push %s at %v: %v, laid %v", what, push, f, got, want)
				}
			}
			walls := b.Walls(e)
			up := at(0, e)
			same("start wall", walls[0].Field.At(f).Scale(e), at(e, 0))
			same("side, start end", walls[1].Field.At(f).Scale(e), b.laid(p.Add(up), q)(f).Sub(f))
			same("side, far end", walls[2].Field.At(f).Scale(e), b.laid(p, q.Add(up))(f).Sub(f))
			// A board that is wider than measured by 2 e at its far end has its datum line aside
			// by e there: as if the wall stood off by that, the other way.
			same("width", b.Sides(e)[1].Field.At(f).Scale(e), b.laid(p, q.Add(up))(f).Sub(f))

			// The plate is cut askew, window and holes alike, and goes onto pins that stand square.
			const per = e / 300
			askew := func(x geom.Vec) geom.Vec { return at(x.X+per*x.Y, x.Y) }
			plate := onto(askew(pins.At[0]), pins.At[0], askew(pins.At[1]), pins.At[1])
			lies := b.laid(plate(askew(p)), plate(askew(q)))(f)
			same("askew", pins.Sheared(per, b)[0].Field.At(f).Scale(per), lies.Sub(f))
			// It is the same plate cut with the other axis askew.
			askew = func(x geom.Vec) geom.Vec { return at(x.X, x.Y+per*x.X) }
			plate = onto(askew(pins.At[0]), pins.At[0], askew(pins.At[1]), pins.At[1])
			lies = b.laid(plate(askew(p)), plate(askew(q)))(f)
			same("askew the other way", pins.Sheared(per, b)[0].Field.At(f).Scale(per), lies.Sub(f))
		}
	}
}

// TestStopsStraight: a straight-sided board whose walls are given as stops, two on the side and
// one at its start corner, errs, grows and is carried as the straight-sided one does.
func TestStopsStraight(t *testing.T) {
	for _, push := range []string{"left", "right"} {
		b := Board{LengthMM: 400, WidthStartMM: 40, WidthEndMM: 60, Push: push}
		p, q := b.ends()
		side := q.Sub(p).Left().Unit()
		if push == "right" {
			side = side.Scale(-1)
		}
		var rows, moves mat.Dense
		stops := []seat.Stop{{At: p, Normal: at(-1, 0)}, {At: p, Normal: side}, {At: q, Normal: side}}
		a := mat.NewDense(3, 3, nil)
		for i, s := range stops {
			a.SetRow(i, []float64{s.Normal.X, s.Normal.Y, s.At.Cross(s.Normal)})
		}
		if err := moves.Inverse(a); err != nil {
			t.Fatal(err)
		}
		rows.CloneFrom(moves.T())
		for i := range stops {
			m := rows.RawRowView(i)
			stops[i].PerMM, stops[i].Wall = seat.Pose{DU: m[0], DV: m[1], Theta: m[2]}, i
		}
		any := b
		any.Stops = stops
		shear := budget.Shear(1, 0, at(30, 4))
		for _, f := range []geom.Vec{{}, at(150, 12), at(390, -20)} {
			for _, c := range []struct {
				what      string
				got, want budget.Field
				close     float64
			}{
				// Of the taper's angle the straight side's turn is of first order.
				{"outgrown", any.Outgrown(0, 2e-3), b.Outgrown(0, 2e-3), 5e-5},
				{"sheared", any.follow(shear.At), b.follow(shear.At), 1e-9},
				// A wall stands off along its normal, which a straight side's are across to the cosine.
				{"start wall", any.Walls(1)[0].Field, b.Walls(1)[0].Field.Scale(-1), 0.026},
				{"side, start end", any.Walls(1)[1].Field.Scale(math.Copysign(1, p.Y)), b.Walls(1)[1].Field, 2e-3},
				{"side, far end", any.Walls(1)[2].Field.Scale(math.Copysign(1, p.Y)), b.Walls(1)[2].Field, 2e-3},
			} {
				if got, want := c.got.At(f), c.want.At(f); got.Dist(want) > c.close {
					t.Errorf("%s, push %s at %v: %v, straight %v", c.what, push, f, got, want)
				}
			}
		}
	}
}

// TestBowLaid: pins are bored and features cut by an axis that wanders across on a circle.
func TestBowLaid(t *testing.T) {
	const from, to, sagitta = -30.0, 430.0, 0.02
	pins := Pins{At: []geom.Vec{at(-10, 12), at(430, -20)}}
	radius := (to-from)*(to-from)/(8*sagitta) + sagitta/2
	bow := func(x geom.Vec) geom.Vec {
		d := x.X - (from+to)/2
		return at(x.X, x.Y+math.Sqrt(radius*radius-d*d)-radius+sagitta)
	}
	for _, f := range []geom.Vec{{}, at(150, 12), at(390, -20)} {
		// The board was cut straight, its plate goes onto the pins, the tool follows the bow.
		lies := onto(pins.At[0], bow(pins.At[0]), pins.At[1], bow(pins.At[1]))(f)
		want := bow(f).Sub(lies)
		if got := pins.Bow(sagitta, from, to)[0].Field.At(f).Scale(sagitta); got.Dist(want) > 1e-5 {
			t.Errorf("at %v: %v, laid %v", f, got, want)
		}
	}
	// Cut on the bow with the pins on the datum line, turned over about it: twice.
	pins.At = []geom.Vec{at(-10, 0), at(430, 0)}
	for _, f := range []geom.Vec{at(150, 12), at(390, -20)} {
		blank := onto(bow(pins.At[0]), pins.At[0], bow(pins.At[1]), pins.At[1])
		cut := blank(bow(f))
		over := onto(pins.At[0], bow(pins.At[0]), pins.At[1], bow(pins.At[1]))
		lies := over(at(cut.X, -cut.Y))
		off := bow(at(f.X, -f.Y)).Sub(lies)
		got := pins.Bow(2*sagitta, from, to)[0].Field.At(at(f.X, -f.Y)).Scale(2 * sagitta)
		if got.Dist(off) > 1e-5 {
			t.Errorf("turned over, at %v: %v, laid %v", f, got, off)
		}
	}
}

// TestTramLaid: a blank is bored with its bed by a tool that leans, its top is cut, it is turned
// over and laid on the pins, its underside is cut at the same place. Everything stands along
// the tool, whose lean is seen from one side at a time.
func TestTramLaid(t *testing.T) {
	const per, thick, bears, place = 0.004, 26.0, 20.0, 300.0
	tool := func(x, height float64) float64 { return x + per*height }
	for _, c := range []struct {
		name   string
		mirror float64 // of the coordinate that is looked at, when the blank is turned over
		want   float64
	}{{"along", 1, Tram(per, thick-bears, thick)[0].Half}, {"across", -1, Tram(per, thick-bears, thick)[1].Half}} {
		// Hole and pin at 0 on the bed; the feature on the face at place.
		top := tool(place, thick)
		lying := func(x float64) float64 { return c.mirror * x }
		hole := lying(tool(0, thick-bears/2)) // halfway up the pin now, it lay this high
		shift := tool(0, bears/2) - hole
		off := tool(lying(place), thick) - (lying(top) + shift)
		if math.Abs(math.Abs(off)-c.want) > 1e-9 {
			t.Errorf("%s: %.6f, laid %.6f", c.name, c.want, off)
		}
	}
}
