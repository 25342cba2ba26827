package measure

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"reseat/jig/geom"
)

// What goes wrong at the machine is named.
func TestLocateMistakes(t *testing.T) {
	base := locating(geom.Rigid{Angle: math.Pi / 2}, fretDots())
	all := namesOf(base.Marks)
	line := []string{"dot 3", "dot 7", "dot 15"} // on the datum line: its own mirror image
	move := geom.Rigid{Angle: 3e-3, Shift: vec(0.4, -0.2)}
	read := func(names ...string) []MarkReading {
		return measure(base, move, rand.New(rand.NewPCG(1, 2)), 0.02, names...)
	}
	put := func(r []MarkReading, f func(geom.Vec) geom.Vec) []MarkReading {
		for i := range r {
			r[i].At = f(r[i].At)
		}
		return r
	}
	swap := func(v geom.Vec) geom.Vec { return vec(v.Y, v.X) }
	var inch *InchError
	var swapped *SwappedError
	var mirrored *MirroredError
	var unknown *UnknownNameError
	var unfixed *UnfixedError
	var skew *SkewError
	var input *InputError
	var names *ExchangedNamesError
	for _, c := range []struct {
		name   string
		r      []MarkReading
		target any
		says   string
	}{
		{"inches", put(read(all...), func(v geom.Vec) geom.Vec { return v.Scale(1 / 25.4) }), &inch, "1/25.4"},
		{"inches, two marks", put(read("dot 3", "dot 15"), func(v geom.Vec) geom.Vec { return v.Scale(1 / 25.4) }), &inch, "1/25.4"},
		{"job in inches", put(read(all...), func(v geom.Vec) geom.Vec { return v.Scale(25.4) }), &inch, "too large"},
		{"inches, a mark and an edge", put([]MarkReading{read("dot 15")[0], touch(base, move, OnLeft, 20, 0, 3), touch(base, move, OnLeft, 460, 0, 4)},
			func(v geom.Vec) geom.Vec { return v.Scale(1 / 25.4) }), &inch, "in inches"},
		{"X and Y exchanged", put(read(all...), swap), &swapped, "exchanged"},
		{"X and Y exchanged, marks on one line", put(read(line...), swap), &swapped, "exchanged"},
		{"X and Y exchanged, two marks", put(read("dot 3", "dot 15"), swap), &swapped, "exchanged"},
		{"Y with the wrong sign", put(read(all...), func(v geom.Vec) geom.Vec { return vec(v.X, -v.Y) }), &mirrored, "Y has the wrong sign"},
		{"X with the wrong sign", put(read(all...), func(v geom.Vec) geom.Vec { return vec(-v.X, v.Y) }), &mirrored, "X has the wrong sign"},
		{"Y with the wrong sign, marks on one line", put(read(line...), func(v geom.Vec) geom.Vec { return vec(v.X, -v.Y) }), &mirrored, "Y has the wrong sign"},
		{"mirrored and turned", put(read(all...), func(v geom.Vec) geom.Vec { return geom.Rigid{Angle: 0.8, Mirror: true}.Apply(v) }), &mirrored, "turned over"},
		{"turned by 40 degrees", put(read(all...), func(v geom.Vec) geom.Vec { return geom.Rigid{Angle: 0.7}.Apply(v) }), &skew, "40"},
		{"unknown name", append(read(all...), MarkReading{30, "dot 13", vec(0, 0)}), &unknown, `"dot 3"`},
		{"one mark", read("dot 3"), &unfixed, "two marks"},
		{"the same mark twice", append(read("dot 3"), MarkReading{3, "dot 3", vec(1, 87)}), &unfixed, "two marks"},
		{"none", nil, &unfixed, "there are none"},
		{"edges along only", []MarkReading{touch(base, move, OnLeft, 20, 0, 3), touch(base, move, OnLeft, 460, 0, 4), touch(base, move, OnRight, 460, 0, 4)}, &unfixed, "slide"},
		{"one edge only", []MarkReading{touch(base, move, OnLeft, 20, 0, 3), touch(base, move, OnLeft, 260, 0, 3), touch(base, move, OnLeft, 460, 0, 4)}, &unfixed, "measure two marks"},
		{"two names exchanged", func() []MarkReading {
			r := read(all...)
			r[1].Name, r[4].Name = r[4].Name, r[1].Name
			return r
		}(), &names, `"dot 9" (line 3) and "dot 3" (line 6)`},
		{"two names exchanged, marks on one line", func() []MarkReading {
			r := read("dot 3", "dot 5", "dot 7", "dot 15")
			r[1].Name, r[2].Name = r[2].Name, r[1].Name
			return r
		}(), &names, `"dot 7" (line 3) and "dot 5" (line 4)`},
		{"not a number", []MarkReading{{2, "dot 3", vec(math.NaN(), 0)}}, &input, "finite"},
	} {
		t.Run(c.name, func(t *testing.T) {
			l, err := Locate(c.r, base)
			if err == nil || !errors.As(err, c.target) || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%+v, error %v; want %q in a %T", l, err, c.says, c.target)
			}
		})
	}
	t.Run("all faults at once", func(t *testing.T) {
		s := base
		s.Confidence, s.ErrorMM = 2, -1
		_, err := Locate([]MarkReading{{2, "dott 3", vec(1, 1)}, {3, "bridge", vec(1, 1)}}, s)
		for _, part := range []string{"confidence", "error of a reading", `"dott 3"`, `"bridge"`} {
			if err == nil || !strings.Contains(err.Error(), part) {
				t.Errorf("no %s in %v", part, err)
			}
		}
	})
}
