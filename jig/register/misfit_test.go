package register

import (
	"math/rand/v2"
	"testing"

	"reseat/jig/geom"
)

func roundHoles(pts []geom.Vec) []HoleAt {
	out := make([]HoleAt, len(pts))
	for i, p := range pts {
		out[i].At = p
	}
	return out
}

func gridPins(nx, ny int, dx, dy float64) []geom.Vec {
	var out []geom.Vec
	for i := range nx {
		for k := range ny {
			out = append(out, vec(dx*float64(i), dy*float64(k)))
		}
	}
	return out
}

func TestTry(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, n := range []int{2, 3, 4, 6, 12} {
		for range 3 {
			var p []geom.Vec
			for range n {
				p = append(p, vec(600*r.Float64(), 110*r.Float64()))
			}
			for turn := HalfTurn; turn <= FlipShort; turn++ {
				m, err := LeastMiss(p, roundHoles(p), turn)
				t.Log(n, turn, m, err)
			}
		}
	}
}

func BenchmarkLeastMiss(b *testing.B) {
	six := gridPins(3, 2, 250, 80)
	twelve := gridPins(6, 2, 100, 80)
	near := gridPins(6, 2, 100, 80)
	near[3].X += 5
	near6 := gridPins(3, 2, 250, 80)
	near6[0].X += 5
	r := rand.New(rand.NewPCG(1, 2))
	var any6, ring, ringNear []geom.Vec
	for i := range 12 {
		p := vec(600*r.Float64(), 110*r.Float64())
		if i < 6 {
			any6 = append(any6, p)
		}

		ring = append(ring, geom.Polar(200, float64(i)*3.14159265358979/6))
		ringNear = append(ringNear, geom.Polar(200, float64(i)*3.14159265358979/6))
	}
	ringNear[0] = geom.Polar(206, 0.03)
	for _, c := range []struct {
		name string
		p    []geom.Vec
	}{{"six symmetric", six}, {"twelve symmetric", twelve}, {"six nearly", near6}, {"twelve nearly", near}, {"six any", any6}, {"ring", ring}, {"ring near", ringNear}} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				LeastMiss(c.p, roundHoles(c.p), HalfTurn)
			}
		})
		b.Run(c.name+"/misses 2 mm", func(b *testing.B) {
			for b.Loop() {
				Misses(c.p, roundHoles(c.p), HalfTurn, 2)
			}
		})
	}
}
