package estimate

import (
	"math"
	"math/rand/v2"
	"testing"
)

// A pin passes a hole whose two diameters err each by itself where the smaller one exceeds it. Drawn
// 100 000 times, the share of the holes that a pin passes is that of the model within 1.5 %, at every
// room from where nearly none is passed to where nearly all are; of the holes' means alone it is
// off by up to 20 %.
func TestNarrowestPasses(t *testing.T) {
	const size, draws = 0.05, 100_000
	random := rand.New(rand.NewPCG(5, 5))
	var narrowest []float64
	for range draws {
		narrowest = append(narrowest, size*min(random.NormFloat64(), random.NormFloat64()))
	}
	s := setting{oval: true}
	at := spreads{math.Log(size)}
	mean := s.own(ofMean, at)
	off := 0.0
	for room := -2 * size; room <= 2*size; room += size / 4 {
		passed := 0.0
		for _, d := range narrowest {
			if d+room > 0 {
				passed++
			}
		}
		a := pinAnswer{at: room, toward: 1}.narrowed(s.own(ofOval, at))
		log, _, _ := a.step(a.at, mean*mean)
		if got, want := math.Exp(log), passed/draws; math.Abs(got-want) > 0.015 {
			t.Errorf("with a room of %.4f mm %.3f pass, the model has %.3f", room, want, got)
		}
		log, _, _ = pinAnswer{toward: 1}.step(room, mean*mean)
		off = max(off, math.Abs(math.Exp(log)-passed/draws))
	}
	if off < 0.1 {
		t.Errorf("the means alone are off by %.3f", off)
	}
}
