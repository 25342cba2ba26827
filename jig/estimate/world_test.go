package estimate

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"reseat/dowel"
	"reseat/fit"
	"reseat/jig/calibration"
	"reseat/jig/coupon"
)

// world is a process, a caliper and a pin of which all is known. It cuts a coupon wall by
// wall and measures it; nothing of the estimator's is used.
type world struct {
	*rand.Rand
	by                                string
	kerf, round, taper, spread, place float64 // mm; round: what a round hole has more than a straight opening
	scale                             [2]float64
	drift                             [2]float64 // of a size from one end of the piece to the other
	thick, deep                       float64
	inside, flat, outside, noise      float64
	pin, air, band                    float64
	manner                            manner
	low, high                         [2]float64
	made                              map[string]*cut
}

// manner is in what a world differs from the plainest one.
type manner struct {
	plainSizes bool // the scale moves places and leaves sizes alone
	caught     bool // tips catch the narrowest of what they span
	flatErrors bool // even instead of normal errors
	walls      bool // each wall errs alone, so that a hole's two diameters differ
	depths     bool // every reading has a depth of its own
	constant   bool // inside jaws err alike in slots, holes and the ring
	evenly     bool // spread and position drawn evenly, not as scales
	order      bool // drift goes with the order of ids
}

// cut is one feature as it was made: errors of its size along x and y, and of its place.
type cut struct {
	size, at [2]float64
	x, y     float64
	round    bool
	drawn    float64
}

func (w *world) between(a, b float64) float64 { return a + (b-a)*w.Float64() }

func (w *world) err(sd float64) float64 {
	if w.manner.flatErrors {
		return sd * math.Sqrt(3) * w.between(-1, 1)
	}
	for {
		if z := w.NormFloat64(); math.Abs(z) < 3 {
			return sd * z
		}
	}
}

// draw makes a world at random.
func draw(seed uint64, by string, m manner) *world {
	w := &world{Rand: rand.New(rand.NewPCG(seed, uint64(len(by)))), by: by, manner: m, made: map[string]*cut{}}
	w.kerf = w.between(0.05, 0.5)
	if by != "laser" {
		w.kerf = w.between(-0.2, 0.2)
	}
	w.round = w.between(-0.1, 0.1)
	w.taper = w.between(-0.1, 0.3)
	if by != "laser" {
		w.taper = w.between(-0.1, 0.1)
	}
	// Spreads as scales are: a factor is as likely anywhere.
	w.spread = math.Exp(w.between(math.Log(0.02), math.Log(0.15)))
	// The place's in turn over its range: the scale's half width goes with it, and a hundred worlds
	// drawn freely have their median anywhere from 0.03 to 0.07.
	_, turn := math.Modf(float64(seed) * math.Phi)
	w.place = 0.01 * math.Pow(20, turn)
	if m.evenly {
		w.spread, w.place = w.between(0.02, 0.15), w.between(0.01, 0.2)
	}
	w.scale = [2]float64{w.between(-0.3, 0.3), w.between(-0.3, 0.3)}
	if w.IntN(3) == 0 {
		w.drift = [2]float64{w.between(-0.1, 0.1), w.between(-0.1, 0.1)}
	}
	w.thick, w.deep = map[string]float64{"laser": 3, "router": 6, "print": 4}[by], w.between(0.2, 1)
	w.inside, w.flat, w.noise = w.between(0, 0.02), w.between(0.2, 0.6), w.between(0.01, 0.02)
	w.outside = w.between(-0.01, 0.01)
	w.pin, w.air, w.band = w.between(6.004, 6.012), w.between(0, 0.01), w.between(0.005, 0.02)
	if m.constant {
		w.flat = 0
	}
	return w
}

// opened is how much wider than drawn an opening is at a depth below the top.
func (w *world) opened(c *cut, axis int, depth float64) float64 {
	k := w.kerf + c.size[axis] + w.taper*(0.5-depth/w.thick)
	if c.round {
		k += w.round
	}
	if !w.manner.plainSizes {
		k += c.drawn * w.scale[axis] / 100
	}
	for i, at := range []float64{c.x, c.y} {
		k += w.drift[i] * ((at-w.low[i])/max(w.high[i]-w.low[i], 1) - 0.5)
	}
	return k
}

// narrowest is how much wider an opening is where jaws at a face meet it.
func (w *world) narrowest(c *cut, axis int, face string) float64 {
	deep := w.deep
	if w.manner.depths {
		deep = w.between(0.2, 1)
	}
	depths := map[string][]float64{"": {0, w.thick}, "top": {deep}, "under": {w.thick - deep}}[face]
	if w.manner.caught && face != "" {
		depths = append(depths, map[string]float64{"top": 0, "under": w.thick}[face])
	}
	least := math.Inf(1)
	for _, d := range depths {
		least = min(least, w.opened(c, axis, d))
	}
	return least
}

// cutAll makes every feature.
func (w *world) cutAll(features []coupon.Feature) {
	w.low, w.high = [2]float64{1e9, 1e9}, [2]float64{-1e9, -1e9}
	for i, f := range features {
		c := &cut{round: f.Kind == coupon.Hole, drawn: f.SizeMM, x: f.At.X, y: f.At.Y}
		if w.manner.order {
			c.x, c.y = float64(i), 0
		}
		if w.manner.walls {
			for a := range 2 {
				c.size[a], c.at[a] = w.err(w.spread/1.96), w.err(w.place/1.96)
			}
		} else {
			e := w.err(w.spread / 1.96)
			c.size = [2]float64{e, e}
			c.at = [2]float64{w.err(w.place / 1.96), w.err(w.place / 1.96)}
		}
		for a, v := range []float64{c.x, c.y} {
			w.low[a], w.high[a] = min(w.low[a], v), max(w.high[a], v)
		}
		w.made[f.ID] = c
	}
}

// read fills in one row.
func (w *world) read(r *coupon.Row) {
	axis := map[string]int{"x": 0, "": 0, "y": 1}[r.Axis]
	mm, drawn := 0.0, r.DrawnMM
	chord := func(d float64) float64 { return w.flat * w.flat / (2 * d) }
	switch r.Kind {
	case coupon.Hole:
		c := w.made[r.ID]
		mm = drawn + w.narrowest(c, axis, r.Face) - w.inside - chord(drawn)
		if r.Axis == "" {
			mm += (w.narrowest(c, 1, r.Face) - w.narrowest(c, 0, r.Face)) / 2
		}
		if r.Axis == "" && r.Face == "" {
			room := drawn + min(w.narrowest(c, 0, ""), w.narrowest(c, 1, "")) - w.pin - w.air + 0.002*w.NormFloat64()
			switch {
			case room > 0:
				r.Enters = coupon.Passes
			case room > -w.band:
				r.Enters = coupon.Tight
			default:
				r.Enters = coupon.No
			}
		}
	case coupon.Slot:
		mm = drawn + w.narrowest(w.made[r.ID], axis, r.Face) - w.inside
	case coupon.Bar:
		grown := 0.0
		if !w.manner.plainSizes { // the gaps' inner walls stand further apart, they do not close in
			grown = 2 * drawn * w.scale[axis] / 100
		}
		mm = drawn - w.narrowest(w.made[r.ID], axis, r.Face) + grown + w.outside
	case coupon.Web, coupon.Span:
		first, second, _ := strings.Cut(r.ID, "-")
		a, b := w.made[first], w.made[second]
		walls := (w.narrowest(a, axis, r.Face) + w.narrowest(b, axis, r.Face)) / 2
		sizes := (a.drawn + b.drawn) / 2
		if r.Kind == coupon.Web {
			mm = (drawn+sizes)*(1+w.scale[axis]/100) + b.at[axis] - a.at[axis] - sizes - walls + w.outside
		} else {
			mm = (drawn-sizes)*(1+w.scale[axis]/100) + b.at[axis] - a.at[axis] + sizes + walls - w.inside
		}
	case coupon.Pin:
		mm = w.pin + w.outside
	case coupon.Ring:
		mm = drawn - w.inside - chord(drawn)
	}
	mm = math.Round((mm+w.noise*w.NormFloat64())*100) / 100
	r.Measured = &mm
}

// truth is what the quantities are in this world.
func (w *world) truth() map[string]float64 {
	t := map[string]float64{
		calibration.Spread: w.spread, calibration.Taper: w.taper, calibration.Position: w.place, calibration.ScaleX: w.scale[0], calibration.ScaleY: w.scale[1],
		calibration.PinSize: w.kerf + w.round - math.Abs(w.taper)/2,
	}
	if w.by == "laser" {
		t[calibration.Kerf], t[calibration.Bias] = w.kerf, w.round
	} else {
		t[calibration.Edge], t[calibration.Bias] = w.kerf, w.kerf+w.round
	}
	return t
}

// filled is a coupon's form as the world's maker fills it in.
func filled(t testing.TB, w *world, holes int) ([]coupon.Row, Options) {
	t.Helper()
	pin, err := dowel.Lookup("ISO 8734", 6, "m6")
	if err != nil {
		t.Fatal(err)
	}
	material := map[string]string{"laser": "cast acrylic", "router": "mdf", "print": "PLA"}[w.by]
	c, err := coupon.Design(coupon.Spec{
		By: fit.ProcessKind(w.by), Material: material, ThicknessMM: w.thick, Pin: pin, Holes: holes,
	})
	if err != nil {
		t.Fatal(err)
	}
	w.cutAll(c.Features)
	rows := c.Rows()
	for i := range rows {
		w.read(&rows[i])
	}
	o := Options{
		By: w.by, ThicknessMM: w.thick, PinMinMM: pin.MinMM, PinMaxMM: pin.MaxMM, Features: map[string]Feature{},
	}
	for _, f := range c.Features {
		o.Features[f.ID] = Feature{f.At.X, f.At.Y, f.Kind == coupon.Hole, f.SizeMM}
	}
	return rows, o
}
