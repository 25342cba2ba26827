package measure

import (
	"errors"
	"math"
	"testing"

	"reseat/jig/geom"
)

func TestReadingsThatCannotBe(t *testing.T) {
	spec := DatumSpec{LengthMM: 300, WidthStartMM: 40, WidthEndMM: 50, ToleranceMM: 0.1}
	at := func(line int, x, y float64) Reading {
		return Reading{Line: line, On: OnDatum, At: geom.Vec{X: x, Y: y}}
	}
	t.Run("off the board", func(t *testing.T) {
		_, err := CheckDatum([]Reading{at(2, 10, 0), at(3, -900, 0), at(4, 5000, 0)}, spec)
		var e *OffBoardError
		if !errors.As(err, &e) || len(e.Lines) != 2 || e.Lines[0] != 3 || e.Lines[1] != 4 {
			t.Errorf("want lines 3 and 4 named, got %v", err)
		}
	})
	t.Run("just off the end is let through", func(t *testing.T) {
		if _, err := CheckDatum([]Reading{at(2, -14, 0), at(3, 314, 0)}, spec); err != nil {
			t.Errorf("points on the pins beyond the board: %v", err)
		}
	})
	for _, deg := range []float64{9, 11} {
		s, c := math.Sincos(deg * math.Pi / 180)
		_, err := CheckDatum([]Reading{at(2, 0, 0), at(3, 290*c, 290*s)}, spec)
		var e *SkewError
		if got := errors.As(err, &e); got != (deg > 10) {
			t.Errorf("%g degrees: %v", deg, err)
		}
	}
}
