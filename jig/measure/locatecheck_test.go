package measure

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/reading"
)

// What goes wrong at the machine is named.
func TestLocateMistakes(t *testing.T) {
	base := locating(geom.Rigid{Angle: math.Pi / 2}, fretDots())
	all := namesOf(base.Marks)
	line := []string{"dot 3", "dot 7", "dot 15"} // on the datum line: its own mirror image
	move := geom.Rigid{Angle: 3e-3, Shift: vec(0.4, -0.2)}
	read := func(names ...string) []reading.Reading {
		return measure(base, move, rand.New(rand.NewPCG(1, 2)), 0.02, names...)
	}
	put := func(r []reading.Reading, f func(geom.Vec) geom.Vec) []reading.Reading {
		for i := range r {
			r[i].At = f(r[i].At)
		}
		return r
	}
	swap := func(v geom.Vec) geom.Vec { return vec(v.Y, v.X) }
	for _, c := range []struct {
		name string
		r    []reading.Reading
		says string
	}{
		{"inches", put(read(all...), func(v geom.Vec) geom.Vec { return v.Scale(1 / 25.4) }), "1/25.4"},
		{"inches, two marks", put(read("dot 3", "dot 15"), func(v geom.Vec) geom.Vec { return v.Scale(1 / 25.4) }),
			"1/25.4"},
		{"job in inches", put(read(all...), func(v geom.Vec) geom.Vec { return v.Scale(25.4) }), "too large"},
		{"inches, a mark and an edge", put([]reading.Reading{read("dot 15")[0], touch(base, move, reading.OnLeft, 20, 0, 3), touch(base,
			move, reading.OnLeft, 460, 0, 4)},
			func(v geom.Vec) geom.Vec { return v.Scale(1 / 25.4) }), "in inches"},
		{"X and Y exchanged", put(read(all...), swap), "exchanged"},
		{"X and Y exchanged, marks on one line", put(read(line...), swap), "exchanged"},
		{"X and Y exchanged, two marks", put(read("dot 3", "dot 15"), swap), "exchanged"},
		{"Y with the wrong sign", put(read(all...), func(v geom.Vec) geom.Vec { return vec(v.X, -v.Y) }),
			"Y has the wrong sign"},
		{"X with the wrong sign", put(read(all...), func(v geom.Vec) geom.Vec { return vec(-v.X, v.Y) }),
			"X has the wrong sign"},
		{"Y with the wrong sign, marks on one line", put(read(line...), func(v geom.Vec) geom.Vec {
			return vec(v.X,
				-v.Y)
		}), "Y has the wrong sign"},
		{"mirrored and turned", put(read(all...), func(v geom.Vec) geom.Vec {
			return geom.Rigid{Angle: 0.8,
				Mirror: true}.Apply(v)
		}), "turned over"},
		{"turned by 40 degrees", put(read(all...), func(v geom.Vec) geom.Vec { return geom.Rigid{Angle: 0.7}.Apply(v) }),
			"40"},
		{"unknown name", append(read(all...), reading.Reading{Line: 30, On: "dot 13", At: vec(0, 0)}), `"dot 3"`},
		{"one mark", read("dot 3"), "two marks"},
		{"the same mark twice", append(read("dot 3"), reading.Reading{Line: 3, On: "dot 3", At: vec(1, 87)}), "two marks"},
		{"none", nil, "0 readings cannot fix"},
		{"edges along only", []reading.Reading{touch(base, move, reading.OnLeft, 20, 0, 3), touch(base, move, reading.OnLeft, 460, 0, 4),
			touch(base, move, reading.OnRight, 460, 0, 4)}, "slide"},
		{"one edge only", []reading.Reading{touch(base, move, reading.OnLeft, 20, 0, 3), touch(base, move, reading.OnLeft, 260, 0, 3), touch(base,
			move, reading.OnLeft, 460, 0, 4)}, "measure two marks"},
		{"two names exchanged", func() []reading.Reading {
			r := read(all...)
			r[1].On, r[4].On = r[4].On, r[1].On
			return r
		}(), `"dot 9" (line 3) and "dot 3" (line 6)`},
		{"two names exchanged, marks on one line", func() []reading.Reading {
			r := read("dot 3", "dot 5", "dot 7", "dot 15")
			r[1].On, r[2].On = r[2].On, r[1].On
			return r
		}(), `"dot 7" (line 3) and "dot 5" (line 4)`},
	} {
		t.Run(c.name, func(t *testing.T) {
			l, err := Locate(c.r, base)
			if err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%+v, error %v; want %q", l, err, c.says)
			}
		})
	}
	t.Run("every unknown name at once, but not a thousand", func(t *testing.T) {
		s := base
		s.File = "m.csv"
		unknown := []reading.Reading{{Line: 2, On: "dott 3"}, {Line: 3, On: "bridge"}}
		for i := range 998 {
			unknown = append(unknown, reading.Reading{Line: i + 4, On: "nothing"})
		}
		_, err := Locate(unknown, s)
		for _, part := range []string{`m.csv:2: there is no "dott 3" on the board; did you mean "dot 3"`,
			`m.csv:3: there is no "bridge"`, "and 980 faults more"} {
			if err == nil || !strings.Contains(err.Error(), part) || len(err.Error()) > 4000 {
				t.Errorf("no %s in %v", part, err)
			}
		}
	})
}
