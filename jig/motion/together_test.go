package motion

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"

	"reseat/fit"
	"reseat/jig/geom"
)

// TestBoredTogether: the variance of a feature's place against blanks bored and turned over
// one by one. Every hole is drawn once, for blank and bed; the blank is turned over by half
// a turn in space and laid on the pins, which are found by where they stand.
func TestBoredTogether(t *testing.T) {
	const half, blanks = 0.03, 40000
	v := func(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }
	const middle = 200
	about := map[string]func(geom.Vec) geom.Vec{
		"long":  func(p geom.Vec) geom.Vec { return v(p.X, -p.Y) },
		"short": func(p geom.Vec) geom.Vec { return v(2*middle-p.X, p.Y) },
	}
	for _, c := range []struct {
		name, about string
		all, locate []geom.Vec // every pin; those with round hole and slot
	}{
		{"long, on the datum line", "long", []geom.Vec{v(-20, 0), v(420, 0)}, []geom.Vec{v(-20, 0), v(420, 0)}},
		{"long, in pairs", "long", []geom.Vec{v(-20, 40), v(-20, -40), v(420, 30), v(420, -30)},
			[]geom.Vec{v(-20, 40), v(420, -30)}},
		{"short, the two change places", "short", []geom.Vec{v(-20, 10), v(420, 10)}, []geom.Vec{v(-20, 10), v(420, 10)}},
		{"short, across the middle", "short", []geom.Vec{v(200, 60), v(200, -60)}, []geom.Vec{v(200, 60), v(200, -60)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			turn := about[c.about]
			f := v(330, 25)
			r := rand.New(rand.NewPCG(11, 3))
			var along, across []float64
			for range blanks {
				place := map[geom.Vec]geom.Vec{}
				for _, p := range c.all {
					place[p] = p.Add(v(r.NormFloat64(), r.NormFloat64()).Scale(half / fit.Normal95))
				}
				// The blank's holes as they lie turned over, and the pins that stand under them.
				h1, h2 := turn(place[c.locate[0]]), turn(place[c.locate[1]])
				p1, p2 := place[turn(c.locate[0])], place[turn(c.locate[1])]
				// Onto the round pin, then turned until the slot's line meets the other pin.
				a, b := h2.Sub(h1), p2.Sub(p1)
				angle := math.Atan2(a.X*b.Y-a.Y*b.X, a.X*b.X+a.Y*b.Y)
				arm := turn(f).Sub(h1)
				sin, cos := math.Sincos(angle)
				lies := p1.Add(v(cos*arm.X-sin*arm.Y, sin*arm.X+cos*arm.Y))
				off := turn(lies).Sub(f) // in the board's own axes
				along, across = append(along, off.X), append(across, off.Y)
			}
			var wantAlong, wantAcross float64
			for _, x := range (Pins{At: c.locate, Before: true, Turned: turn}).PinErrors(half) {
				d := x.Field.At(f).Scale(x.Half / fit.Normal95)
				wantAlong, wantAcross = wantAlong+d.X*d.X, wantAcross+d.Y*d.Y
			}
			// A simulated standard deviation is known to 1/sqrt(2 n), 0.35 %.
			const share = 0.015
			for _, s := range []struct {
				axis      string
				got, want float64
			}{{"along", stat.StdDev(along, nil), math.Sqrt(wantAlong)},
				{"across", stat.StdDev(across, nil), math.Sqrt(wantAcross)}} {
				if math.Abs(s.got-s.want) > share*s.got+1e-6 {
					t.Errorf("%s: simulated %.6f, reckoned %.6f", s.axis, s.got, s.want)
				}
			}
		})
	}
	if (Pins{At: []geom.Vec{{}, {X: 400}}, Before: true}).PinErrors(half) != nil {
		t.Error("put back as it was bored, the blank moves")
	}
}
