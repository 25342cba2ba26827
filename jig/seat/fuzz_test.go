package seat

import (
	"encoding/binary"
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"reseat/jig/geom"
)

// numbers reads lengths from bytes: two bytes give a length of some hundredths of
// a millimetre, unless the first asks for eight bytes as they stand, whatever
// number they make.
type numbers []byte

func (b *numbers) next() float64 {
	d := *b
	switch {
	case len(d) >= 9 && d[0] == 0xff:
		*b = d[9:]
		return math.Float64frombits(binary.LittleEndian.Uint64(d[1:]))
	case len(d) >= 2:
		*b = d[2:]
		return float64(int16(binary.LittleEndian.Uint16(d))) / 64
	}
	*b = nil
	return 0
}

func (b *numbers) points(n int) (out []geom.Vec) {
	for range n {
		out = append(out, geom.Vec{X: b.next(), Y: b.next()})
	}
	return out
}

// known reports whether err is one that the caller can take apart.
func known(err error) bool {
	var i *InputError
	var b *BaselineError
	var w *WindowError
	var o *OutlineError
	return errors.As(err, &i) || errors.As(err, &b) || errors.As(err, &w) || errors.As(err, &o)
}

// sound checks whatever a support answers: a typed error, or finite figures that
// agree with each other.
func sound(t *testing.T, on Locator, at []geom.Vec) {
	t.Helper()
	s, err := on.Seat()
	if err != nil {
		if !known(err) {
			t.Fatalf("error %v (%T) is not of the package's types", err, err)
		}
		if _, err := on.Float(at); err == nil {
			t.Fatal("a float without a seat")
		}
		return
	}
	f, err := on.Float(at)
	if err != nil {
		if !known(err) {
			t.Fatalf("error %v (%T) is not of the package's types", err, err)
		}
		return
	}
	good := func(xs ...float64) {
		for _, x := range xs {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("%+v gives %+v", on, f)
			}
		}
	}
	good(f.ThetaMax, f.Rest.DU, f.Rest.DV, f.Rest.Theta)
	for _, m := range f.At {
		good(m.Along, m.Across, m.Worst)
	}
	for _, u := range [][3]float64{{}, {1, 1, 1}, {0.5, 0.5, 0.5}, {0.1, 0.9, 0.3}} {
		q := s.Place(u)
		good(q.DU, q.DV, q.Theta)
		if math.Abs(q.Theta) > f.ThetaMax*(1+1e-9) {
			t.Fatalf("%+v: placed at %+v beyond %g", on, q, f.ThetaMax)
		}
	}
}

// sampleBytes writes lengths as numbers reads them.
func sampleBytes(mm ...float64) (b []byte) {
	for _, x := range mm {
		if x == math.Trunc(x*64)/64 && math.Abs(x) < 500 {
			b = binary.LittleEndian.AppendUint16(b, uint16(int16(x*64)))
			continue
		}
		b = binary.LittleEndian.AppendUint64(append(b, 0xff), math.Float64bits(x))
	}
	return b
}

func FuzzPins(f *testing.F) {
	f.Add(uint8(2), sampleBytes(0, 0, 400, 0, 0.03, 0.05, 200, 0))
	f.Add(uint8(3), sampleBytes(0, 0, 200, 0, 400, 0, 0.5, 0.25, 0.5, 7, 7))
	f.Add(uint8(3), sampleBytes(0, 0, 200, 30, 400, math.NaN(), 0.5, 0.25, 0.5, 7, 7))
	f.Add(uint8(4), sampleBytes(0, 0, 0, 0, 1e-300, 1e-4, 1e5, 1e5, 1e-13, 0, 1e5, 0.1))
	f.Fuzz(func(t *testing.T, n uint8, data []byte) {
		b := numbers(data)
		var set RoundSet
		set.Holes = b.points(int(n % 14))
		for range set.Holes {
			set.Clearances = append(set.Clearances, b.next())
		}
		at := b.points(2)
		sound(t, set, at)
		if len(set.Holes) > 1 {
			sound(t, PinPair{set.Holes[0], set.Holes[1], set.Clearances[0], set.Clearances[1]}, at)
		}
	})
}

func FuzzNest(f *testing.F) {
	f.Add(uint8(4), uint8(0), sampleBytes(-1, -1, 101, -1, 101, 41, -1, 41, 0, 0, 100, 0, 100, 40, 0, 40, 7, 7))
	f.Add(uint8(4), uint8(0x13), sampleBytes(-1, -1, 101, -1, 101, 41, -1, 41, 0, 0, 100, 0, 100, 40, 0, 40, 7, 7))
	f.Add(uint8(4), uint8(0), sampleBytes(0, 0, 100, 0, 100, 40, 0, 40, 0, 0, 100, 0, 100, 40, 0, 40, 7, 7))
	f.Add(uint8(3), uint8(0), sampleBytes(-1, -1, 90, -1, 90, 1e-300, 0, 0, 1e5, 0, math.Inf(1), 40))
	f.Fuzz(func(t *testing.T, n, push uint8, data []byte) {
		b := numbers(data)
		nest := Nest{Window: b.points(int(n % 8)), Board: b.points(int(n / 8 % 8))}
		if n < 8 {
			nest.Board = b.points(int(n))
		}
		if push > 0 {
			nest.Push = append(nest.Push, Wall(push%16))
		}
		if push > 15 {
			nest.Push = append(nest.Push, Wall(push/16))
		}
		sound(t, nest, b.points(2))
	})
}

// Valid shapes of sizes that no shop has, which random bytes seldom make.
func TestExtremeSizes(t *testing.T) {
	r := rand.New(rand.NewPCG(77, 1))
	decades := func(lo, hi float64) float64 { return math.Pow(10, lo+(hi-lo)*r.Float64()) }
	for range 1000 {
		set := randomRound(r)
		k := decades(-2, 1)
		for i := range set.Holes {
			set.Holes[i], set.Clearances[i] = set.Holes[i].Scale(k), decades(-14, 4)
		}
		at := []geom.Vec{vec(decades(-9, 5), -decades(-9, 5)), set.Holes[0]}
		sound(t, set, at)
		sound(t, PinPair{set.Holes[0], set.Holes[1], set.Clearances[0], set.Clearances[1]}, at)
	}
	for range 100 {
		n := randomNest(r)
		k := decades(-6, 1.5)
		for i := range n.Window {
			n.Window[i] = n.Window[i].Scale(k)
		}
		for i := range n.Board {
			n.Board[i] = n.Board[i].Scale(k)
		}
		sound(t, n, []geom.Vec{vec(decades(-9, 5), 3)})
	}
}
