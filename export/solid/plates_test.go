package solid

import (
	"slices"

	"reseat/jig"
	"reseat/jig/geom"
)

// plate is a print without window, holes or rails: 120 x 60 x 6.
func plate() *jig.Print {
	return &jig.Print{File: "t.stl", Outline: box(0, 0, 120, 60), ThicknessMM: 6}
}

func box(x0, y0, x1, y1 float64) geom.Loop {
	return geom.Rect(geom.Box{Min: geom.Vec{X: x0, Y: y0}, Max: geom.Vec{X: x1, Y: y1}})
}

func hole(id string, x, y, d float64) jig.PrintHole {
	return jig.PrintHole{ID: id, Center: geom.Vec{X: x, Y: y}, Diameter: d}
}

func rail(l geom.Loop, top float64) jig.PrintRail { return jig.PrintRail{Outline: l, TopMM: top} }

func line(pts ...float64) (out []geom.Vec) {
	for i := 0; i < len(pts); i += 2 {
		out = append(out, geom.Vec{X: pts[i], Y: pts[i+1]})
	}
	return out
}

func mark(says string, width, level float64, strokes ...[]geom.Vec) jig.PrintMark {
	return jig.PrintMark{Says: says, Strokes: strokes, WidthMM: width, LevelMM: level}
}

// chamfered puts the usual chamfers on a print.
func chamfered(p *jig.Print) *jig.Print {
	p.FootMM, p.WindowFootMM, p.EntryMM = 0.4, 1.2, 0.6
	return p
}

// notched is a plate whose outline has a half-round mark in its start end and
// whose window has relieved corners: arcs that meet lines at an angle.
func notched(r, relief float64) *jig.Print {
	o := geom.RoundCorners(box(0, 0, 120, 60), 3)
	// The start end runs down at x = 0, between the last corner and the first.
	at := len(o) - 1
	o = slices.Insert(o, at+1,
		geom.Vertex{Vec: geom.Vec{X: 0, Y: 30 + r}, Bulge: -1}, geom.Vertex{Vec: geom.Vec{X: 0, Y: 30 - r}})
	p := &jig.Print{File: "t.stl", Outline: o, ThicknessMM: 6, Window: geom.Relieve(box(20, 20, 100, 40), relief)}
	p.Holes = append(p.Holes, hole("p1", 10, 10, 6.1), hole("p2", 110, 50, 6.1),
		jig.PrintHole{ID: "p3", Center: geom.Vec{X: 110, Y: 10}, Diameter: 5, Travel: 1.5, Angle: 0.3})
	return p
}

// The reference plate is a given example (the project's contract, "Figures that
// must hold"): 520 x 110 x 8 with corner radius 4, a tapered window 470 long,
// 43.5 and 57.2 wide, six 6.1 mm holes, two rails 4 wide and 6 high set back 0.1.
func referencePlate() *jig.Print {
	shift := geom.Rigid{Shift: geom.Vec{X: 260, Y: 55}}
	rail := []geom.Vec{{X: -235, Y: 21.85}, {X: 235, Y: 28.7}, {X: 235, Y: 32.7}, {X: -235, Y: 25.85}}
	var mirrored []geom.Vec
	for i := range rail {
		p := rail[len(rail)-1-i]
		mirrored = append(mirrored, geom.Vec{X: p.X, Y: -p.Y})
	}
	window := geom.Rigid{Shift: geom.Vec{X: -235}}.Loop(geom.Taper(470, 43.5, 57.2))
	p := &jig.Print{
		File:        "template.stl",
		Origin:      shift.Shift,
		Outline:     shift.Loop(geom.RoundCorners(box(-260, -55, 260, 55), 4)),
		Window:      shift.Loop(window),
		ThicknessMM: 8,
		Rails: []jig.PrintRail{
			{Outline: shift.Loop(geom.FromPoints(rail)), TopMM: 14},
			{Outline: shift.Loop(geom.FromPoints(mirrored)), TopMM: 14},
		},
	}
	for _, u := range []float64{-225, 10, 225} {
		for _, v := range []float64{-44, 44} {
			p.Holes = append(p.Holes, jig.PrintHole{ID: "p", Center: shift.Apply(geom.Vec{X: u, Y: v}), Diameter: 6.1})
		}
	}
	return p
}
