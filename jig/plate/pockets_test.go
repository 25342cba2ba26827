package plate

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// A printed window with pockets is one opening: the window and each pair as it just touches lie in it, and
// what it gained is pockets alone, none deeper than a pair is wide.
func TestPocketed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Float64Range(150, 900).Draw(t, "length")
		start := rapid.Float64Range(45, 90).Draw(t, "start") // a shorter end takes no wedge
		board := geom.Taper(length, start, start*rapid.Float64Range(0.8, 1.4).Draw(t, "taper"))
		push := rapid.SampledFrom([]string{"left", "right"}).Draw(t, "push")
		gaps := GluedGaps(rapid.Float64Range(0.06, 0.5).Draw(t, "gap"), 0.05, push)
		window, _ := Window(Walls(board, gaps), 0, 0.15, 0)
		out, pairs, ok := Pocketed(window, board, gaps, PushedFrom(push))
		if !ok || len(pairs) < 2 {
			t.Fatalf("%d pairs, %v", len(pairs), ok)
		}
		room := window.Area()
		for _, k := range pairs {
			half, along := (1+wedgeOut)*k.LengthMM/2, k.Push.Left()
			for _, at := range []float64{-half, half} {
				back := k.At.Add(along.Scale(at)).Sub(k.Push.Scale(k.NominalMM() - 0.05))
				if !out.Contains(back) {
					t.Fatalf("the pair at %v stands out of its pocket", k.At)
				}
			}
			if d := board.Depth(k.At); math.Abs(d) > 1e-6 {
				t.Fatalf("a pair pushes %.6f off the board's edge", d)
			}
			room += k.pocketMM(roundMM) * (k.NominalMM() - gaps[Far])
		}
		for _, p := range window {
			if out.Depth(p.Vec) < -1e-6 {
				t.Fatalf("%v of the window is closed", p)
			}
		}
		if a := out.Area(); a > room+1 || a < room-float64(len(pairs))*20 {
			t.Fatalf("%.1f mm2 open, %.1f wanted", a, room)
		}
	})
}

// Two of each pair are printed, a file for each size.
func TestWedgePrints(t *testing.T) {
	long, short := wedgeFor(478, 1), wedgeFor(50, 1)
	all := Printing{Frame: geom.Rigid{Angle: math.Pi / 2}}.Prints([]Wedge{long, long, short}, 3.2)
	if len(all) != 6 {
		t.Fatalf("%d", len(all))
	}
	for i, want := range []string{"wedge.stl", "wedge.stl", "wedge.stl", "wedge.stl", "wedge-2.stl", "wedge-2.stl"} {
		p := all[i]
		k := long
		if i > 3 {
			k = short
		}
		size := p.Outline.Bounds().Size()
		if p.File != want || p.ThicknessMM != 3.2 || len(p.Holes) > 0 || math.Abs(size.Y-k.LengthMM) > 1e-9 ||
			math.Abs(size.X-k.ThinMM-WedgeSlope*k.LengthMM) > 1e-9 {
			t.Errorf("%+v", p)
		}
	}
}

// With a film the stops stand back by it and the board has the room that it has without a push.
func TestGluedGaps(t *testing.T) {
	for _, push := range []string{"none", "left", "right"} {
		g := GluedGaps(0.15, 0.05, push)
		if math.Abs(g[Left]+g[Right]-0.3) > 1e-12 || math.Abs(g[Start]+g[Far]-0.3) > 1e-12 {
			t.Errorf("%s: %v", push, g)
		}
		if stop := map[string]Wall{"left": Left, "right": Right, "none": Start}[push]; push != "none" && g[stop] != 0.05 ||
			push == "none" && g[stop] != 0.15 {
			t.Errorf("%s: the stop stands off by %g", push, g[stop])
		}
	}
}

// The chamfer that takes squeeze-out is as large as it must be, in tenths, as far as its wall lets it.
func TestWindowFoot(t *testing.T) {
	for _, c := range []struct {
		name                 string
		squeeze, thick, want float64
		alone                bool
	}{
		{"none runs out", 0, 4, FootMM, false},
		{"to tenths", 1.01, 4, 1.1, false},
		{"half of a wall that locates the board", 2.4, 3.2, 1.6, false},
		{"three quarters of one for gluing alone", 2.43, 3.2, 2.4, true},
	} {
		if got := WindowFoot(c.squeeze, c.thick, c.alone); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %g, want %g", c.name, got, c.want)
		}
	}
}
