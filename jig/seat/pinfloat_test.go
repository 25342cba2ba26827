package seat

import (
	"errors"
	"math"
	"testing"

	"reseat/jig/geom"
)

// Rows of twopin_angle_cases.csv (derived; see the file's head). The printed
// angle has nine decimals.
func TestTwoPinAngle(t *testing.T) {
	for _, row := range reference(t, "twopin_angle_cases.csv")[1:] {
		var v [6]float64
		for i := range v {
			v[i] = parse(t, row[i])
		}
		p := PinPair{Slot: vec(v[4], 0), RoundClearance: v[0] - v[1], SlotClearance: v[2] - v[3]}
		f, err := p.Float(nil)
		if err != nil {
			t.Fatal(err)
		}
		if !near(f.ThetaMax, v[5], 1e-9) {
			t.Errorf("%v: theta %.10f, want %.9f", row, f.ThetaMax, v[5])
		}
	}
}

func TestPinPairRefuses(t *testing.T) {
	good := PinPair{Slot: vec(400, 0), RoundClearance: 0.03, SlotClearance: 0.05}
	var input *InputError
	var base *BaselineError
	for _, c := range []struct {
		name   string
		spoil  func(*PinPair)
		target any
	}{
		{"same place", func(p *PinPair) { p.Slot = p.Round }, &base},
		{"a nanometre apart", func(p *PinPair) { p.Slot = vec(1e-6, 0) }, &base},
		{"negative clearance is a press fit", func(p *PinPair) { p.RoundClearance = -0.01 }, &input},
		{"clearance not a number", func(p *PinPair) { p.SlotClearance = math.NaN() }, &input},
		{"pin at infinity", func(p *PinPair) { p.Round.X = math.Inf(1) }, &input},
		{"pin a kilometre away", func(p *PinPair) { p.Slot.Y = 1e6 }, &input},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := good
			c.spoil(&p)
			if _, err := p.Float(nil); !errors.As(err, c.target) {
				t.Errorf("error %v is not a %T", err, c.target)
			}
			if _, err := SeatFloat(p, nil, nil); !errors.As(err, c.target) {
				t.Errorf("SeatFloat: error %v is not a %T", err, c.target)
			}
		})
	}
	if _, err := good.Float([]geom.Vec{vec(math.NaN(), 0)}); !errors.As(err, &input) {
		t.Errorf("feature not a number: %v", err)
	}
}

// A pin without clearance cannot move: only the rotation about it is left.
func TestTightRoundPin(t *testing.T) {
	p := PinPair{Round: vec(10, 5), Slot: vec(210, 5), SlotClearance: 0.04}
	f, err := p.Float([]geom.Vec{vec(10, 5), vec(210, 5), vec(110, 105)})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []Motion{{0, 0, 0}, {0, 0.02, 0.02}, {0.01, 0.01, 0.01 * math.Sqrt2}} {
		got := f.At[i]
		if math.Abs(got.Along-want.Along)+math.Abs(got.Across-want.Across)+math.Abs(got.Worst-want.Worst) > 1e-15 {
			t.Errorf("feature %d: %+v, want %+v", i, got, want)
		}
	}
}
