package stock

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// held fails when parts overlap, come nearer than the gap, leave the stock less its margin, are
// laid twice or turned against the grain, or when the bound is above what was found. It knows
// nothing of free rectangles: every pair is looked at.
func held(t interface{ Fatalf(string, ...any) }, room SheetSize, parts []geom.Vec, l Layout) {
	const rounding = 1e-8 // of gap and sizes, and of a place
	seen := make([]bool, len(parts))
	boxes := make([]geom.Box, len(l.Places))
	for i, p := range l.Places {
		if seen[p.Part] {
			t.Fatalf("part %d is laid twice", p.Part)
		}
		seen[p.Part] = true
		size := parts[p.Part]
		if p.Turned {
			size.X, size.Y = size.Y, size.X
			if room.NoTurn {
				t.Fatalf("part %d is turned", p.Part)
			}
		}
		b := geom.Box{Min: p.At, Max: p.At.Add(size)}
		m := room.Margin - rounding
		if b.Min.X < m || b.Min.Y < m || b.Max.X > room.Width-m || b.Max.Y > room.Height-m {
			t.Fatalf("part %d lies at %v on a stock of %g x %g", p.Part, b, room.Width, room.Height)
		}
		for k, o := range boxes[:i] {
			apart := math.Max(math.Max(b.Min.X-o.Max.X, o.Min.X-b.Max.X), math.Max(b.Min.Y-o.Max.Y, o.Min.Y-b.Max.Y))
			if l.Places[k].Sheet == p.Sheet && apart < room.Gap-rounding {
				t.Fatalf("parts %d and %d are %g apart, want %g", p.Part, l.Places[k].Part, apart, room.Gap)
			}
		}
		boxes[i] = b
		if p.Sheet < 0 || p.Sheet >= l.Sheets {
			t.Fatalf("sheet %d of %d", p.Sheet, l.Sheets)
		}
	}
	if len(l.Places) != len(parts) || l.AtLeast > l.Sheets || len(l.Whole) != l.Sheets {
		t.Fatalf("%d of %d parts, %d sheets, at least %d", len(l.Places), len(parts), l.Sheets, l.AtLeast)
	}
	for sheet, whole := range l.Whole {
		area := whole.X * whole.Y
		for i, p := range l.Places {
			if p.Sheet == sheet {
				area += boxes[i].Size().X * boxes[i].Size().Y
			}
		}
		if area > room.Width*room.Height+1e-6 {
			t.Fatalf("sheet %d: parts and what is left whole are more than the stock", sheet)
		}
	}
}

func TestAnyParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		room := SheetSize{
			Width: f("width", 100, 1300), Height: f("height", 100, 1300), Margin: f("margin", 0, 20), Gap: f("gap", 0, 12),
			NoTurn: rapid.Bool().Draw(t, "grain"),
		}
		in := geom.Vec{X: room.Width - 2*room.Margin, Y: room.Height - 2*room.Margin}
		var parts []geom.Vec
		for range rapid.IntRange(1, 30).Draw(t, "parts") {
			parts = append(parts, geom.Vec{X: in.X * f("long", 0.02, 0.9999), Y: in.Y * f("wide", 0.02, 0.9999)})
		}
		l, err := Lay(room, parts, nil)
		if err != nil {
			t.Fatalf("%v", err)
		}
		held(t, room, parts, l)
	})
}

// TestCutSheets cuts sheets into parts by straight cuts, so that a layout without waste is known:
// the bound may not be above it, and at most one sheet more is taken.
func TestCutSheets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := rapid.IntRange(1, 3).Draw(t, "sheets")
		var parts []geom.Vec
		for range whole {
			pieces := []geom.Vec{{X: 600, Y: 400}}
			for range rapid.IntRange(0, 6).Draw(t, "cuts") {
				i := rapid.IntRange(0, len(pieces)-1).Draw(t, "piece")
				p, at := pieces[i], rapid.Float64Range(0.2, 0.8).Draw(t, "at")
				if p.X > p.Y {
					cut := math.Round(p.X * at)
					pieces[i].X = cut
					pieces = append(pieces, geom.Vec{X: p.X - cut, Y: p.Y})
				} else {
					cut := math.Round(p.Y * at)
					pieces[i].Y = cut
					pieces = append(pieces, geom.Vec{X: p.X, Y: p.Y - cut})
				}
			}
			parts = append(parts, pieces...)
		}
		room := SheetSize{Width: 600, Height: 400}
		l, err := Lay(room, parts, nil)
		if err != nil {
			t.Fatalf("%v", err)
		}
		held(t, room, parts, l)
		if l.AtLeast > whole || l.Sheets > whole+1 {
			t.Fatalf("cut from %d sheets, laid on %d, said to need %d", whole, l.Sheets, l.AtLeast)
		}
	})
}

func TestLayouts(t *testing.T) {
	v := func(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }
	for _, tc := range []struct {
		name            string
		room            SheetSize
		parts           []geom.Vec
		sheets, atLeast int
	}{
		{"four quarters", SheetSize{Width: 600, Height: 400}, []geom.Vec{v(300, 200), v(300, 200), v(300, 200), v(300,
			200)}, 1,
			1},
		{"a gap spoils them", SheetSize{Width: 600, Height: 400, Gap: 6},
			[]geom.Vec{v(300, 200), v(300, 200), v(300, 200), v(300, 200)}, 2, 2},
		{"a gap, and as much more stock", SheetSize{Width: 606, Height: 406, Gap: 6},
			[]geom.Vec{v(300, 200), v(300, 200), v(300, 200), v(300, 200)}, 1, 1},
		{"three templates turned", SheetSize{Width: 600, Height: 400, Gap: 6, Margin: 10},
			[]geom.Vec{v(112, 536), v(112, 536), v(112, 536)}, 1, 1},
		{"along the grain only one lies beside another", SheetSize{Width: 400, Height: 600, NoTurn: true},
			[]geom.Vec{v(250, 100), v(250, 300), v(250, 300)}, 2, 1},
		{"filled to the last micrometre", SheetSize{Width: 600.001, Height: 100}, []geom.Vec{v(300, 100), v(300.001, 100)},
			1, 1},
		{"a micrometre too much", SheetSize{Width: 600, Height: 100}, []geom.Vec{v(300, 100), v(300.001, 100)}, 2, 2},
		{"an inch of arithmetic", SheetSize{Width: 24 * 25.4, Height: 16 * 25.4}, []geom.Vec{v(0.1+0.2+609.3, 406.4)}, 1, 1},
		{"the spiral of five", SheetSize{Width: 300, Height: 300},
			[]geom.Vec{v(200, 100), v(100, 200), v(200, 100), v(100, 200), v(100, 100)}, 1, 1},
	} {
		t.Run(tc.name, func(t *testing.T) {
			l, err := Lay(tc.room, tc.parts, nil)
			if err != nil {
				t.Fatal(err)
			}
			held(t, tc.room, tc.parts, l)
			if l.Sheets != tc.sheets || l.AtLeast != tc.atLeast {
				t.Errorf("%d sheets, at least %d; want %d and %d", l.Sheets, l.AtLeast, tc.sheets, tc.atLeast)
			}
		})
	}
}

// TestGapAsRead: who takes the numbers of a file from each other finds no less than the gap.
func TestGapAsRead(t *testing.T) {
	room := SheetSize{Width: 1220, Height: 800, Gap: 6.1, Margin: 10}
	parts := slices.Repeat([]geom.Vec{{X: 114.2, Y: 200.3}}, 15)
	l, err := Lay(room, parts, nil)
	if err != nil || l.Sheets != 1 {
		t.Fatal(l.Sheets, err)
	}
	for i, p := range l.Places {
		for _, q := range l.Places[:i] {
			size, of := parts[0], parts[0]
			if p.Turned {
				size = geom.Vec{X: size.Y, Y: size.X}
			}
			if q.Turned {
				of = geom.Vec{X: of.Y, Y: of.X}
			}
			x := math.Max(p.At.X-(q.At.X+of.X), q.At.X-(p.At.X+size.X))
			y := math.Max(p.At.Y-(q.At.Y+of.Y), q.At.Y-(p.At.Y+size.Y))
			if math.Max(x, y) < room.Gap {
				t.Errorf("parts %d and %d are %.17g apart, want %g", p.Part, q.Part, math.Max(x, y), room.Gap)
			}
		}
	}
}

func TestTooLarge(t *testing.T) {
	_, err := Lay(SheetSize{Width: 600, Height: 400, Margin: 10, NoTurn: true},
		[]geom.Vec{{X: 100, Y: 100}, {X: 112.2, Y: 536.2}, {X: 585, Y: 385.5}}, nil)
	var e *TooLargeError
	if !errors.As(err, &e) || len(e.Parts) != 2 {
		t.Fatalf("got %v", err)
	}
	if got := fmt.Sprint(e.Parts); got != "[{1 {0 156.2} true} {2 {5 5.5} false}]" {
		t.Error(got)
	}
}

func TestFaults(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	_, err := Lay(SheetSize{nan, -400, inf, -6, false}, []geom.Vec{{X: 0, Y: nan}, {X: 1e9, Y: 5}}, nil)
	var e *FaultError
	if !errors.As(err, &e) || len(e.Says) != 7 {
		t.Fatalf("seven faults, got %v", err)
	}
	for name, room := range map[string]SheetSize{
		"margins of 10 mm leave nothing": {Width: 20, Height: 600, Margin: 10},
		"0 parts; want 1":                {Width: 600, Height: 400},
	} {
		if _, err := Lay(room, nil, nil); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("got %v, want %s", err, name)
		}
	}
}

func BenchmarkLay(b *testing.B) {
	for _, n := range []int{20, 100, 1000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			var parts []geom.Vec
			for i := range n {
				parts = append(parts, geom.Vec{X: 40 + float64(i*37%160), Y: 30 + float64(i*53%90)})
			}
			for b.Loop() {
				if _, err := Lay(SheetSize{Width: 600, Height: 400, Margin: 10, Gap: 6}, parts, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
