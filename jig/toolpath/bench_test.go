package toolpath

import (
	"testing"

	"reseat/jig/geom"
)

// BenchmarkClear walks six bores past thirty pins and a template with a window.
func BenchmarkClear(b *testing.B) {
	tool := Tool{DiameterMM: 3.175}
	var cuts []*Cut
	var pins []Obstacle
	for i := range 30 {
		at := geom.Vec{X: float64(i%6) * 80, Y: float64(i/6) * 20}
		pins = append(pins, Obstacle{At: at.Add(geom.Vec{X: 30}), RadiusMM: 3, TopZ: 3})
		if i >= 6 {
			continue
		}
		c, err := Bore(Hole{At: at, DiameterMM: 6.1, FloorZ: -12}, tool, Settings{})
		if err != nil {
			b.Fatal(err)
		}
		cuts = append(cuts, c)
	}
	frame := Obstacle{
		TopZ: 6, Outline: geom.Rect(geom.Box{Min: geom.Vec{X: -99, Y: -99}, Max: geom.Vec{X: 999, Y: 199}}),
		Windows: []geom.Loop{geom.RoundCorners(geom.Rect(geom.Box{Min: geom.Vec{X: -50, Y: -50}, Max: geom.Vec{X: 500, Y: 150}}), 3)},
	}
	p, err := Assemble(Head{}, tool, Settings{}, cuts)
	if err != nil {
		b.Fatal(err)
	}
	from, moves := p.Path()
	for b.Loop() {
		if hits, err := Clear(from, moves, tool, append(pins, frame)); err != nil || hits != nil {
			b.Fatal(hits, err)
		}
	}
}
