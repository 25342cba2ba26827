package layout

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"reseat/jig/geom"
)

// world is a board with what its pins must keep from, as plain contours beside the
// constraints that the search is given.
type world struct {
	Spec
	shapes []shape
}

// shape is a contour that a hole must stay inside or outside of, need from it.
type shape struct {
	pts    []geom.Vec
	inside bool
	need   float64
}

// worlds is how many worlds a test looks at: eight times as many where RAPID_CHECKS asks for
// more than the usual hundred draws.
func worlds(n uint64) uint64 {
	if checks, err := strconv.Atoi(os.Getenv("RAPID_CHECKS")); err == nil && checks > 100 {
		return 8 * n
	}
	return n
}

// chordMM is how closely the oracle follows arcs; its verdicts are off by that.
const chordMM = 1e-3

func (w *world) add(id string, l geom.Loop, inside bool, need float64) {
	c := Constraint{ID: id, What: id, NeedMM: need, RelaxMM: 10, Edge: inside, Room: Outside(l)}
	if inside {
		c.Room = geom.Prepare(l).Depth
	}
	w.Region.Constraints = append(w.Region.Constraints, c)
	w.shapes = append(w.shapes, shape{l.Flatten(chordMM), inside, need})
}

// clearance is how much a hole at p has to spare, negative when it breaks a rule. It
// is judged by polygons alone: the least distance to any chord, up to the first shape
// that forbids it.
func (w *world) clearance(p geom.Vec) float64 {
	least := math.Inf(1)
	for _, s := range w.shapes {
		if least < 0 {
			break
		}
		d := s.depth(p)
		if !s.inside {
			d = -d
		}
		least = min(least, d-s.need-w.Region.HoleRadiusMM)
	}
	return least
}

// depth is the distance to the polygon, positive inside by the crossings of a ray.
func (s shape) depth(p geom.Vec) float64 {
	d, in := math.Inf(1), false
	for i, a := range s.pts {
		b := s.pts[(i+1)%len(s.pts)]
		ab, ap := b.Sub(a), p.Sub(a)
		t := 0.0
		if n := ab.Dot(ab); n > 0 {
			t = max(0, min(1, ap.Dot(ab)/n))
		}
		off := ap.Sub(ab.Scale(t))
		d = min(d, off.Dot(off))
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	if in {
		return math.Sqrt(d)
	}
	return -math.Sqrt(d)
}

// board is a plain world: a tapered board of the given length on a blank that leaves
// end and side round it.
func board(length, start, end, endRoom, sideRoom float64) *world {
	w := &world{Spec: Spec{
		Region: &Region{StepMM: 1, HoleRadiusMM: 3.2, WebMM: 6},
		Count:  6, Flip: NoFlip, LengthMM: length, TravelMM: 1.5,
		Causes:   Causes{AlongMM: 0.05, RoundMM: 0.05, SlotMM: 0.06, GrowthAlong: 1e-4, GrowthAcross: 1e-4, Holds: true, Held: geom.Vec{Y: start / 2}},
		Features: []geom.Vec{{X: 20, Y: -6}, {X: 0.92 * length, Y: 10}},
	}}
	box := geom.Taper(length, start, end).Bounds()
	box.Min, box.Max = box.Min.Sub(geom.Vec{X: endRoom, Y: sideRoom}), box.Max.Add(geom.Vec{X: endRoom, Y: sideRoom})
	w.Region.Box = box
	w.add("board", geom.Taper(length, start, end), false, 8)
	w.add("blank", geom.Rect(box), true, 9)
	return w
}

// randomWorld makes a world of any shape that a job may have: short and long,
// straight and tapered, keep-outs anywhere, window or none, blank or none, tight or roomy.
func randomWorld(r *rand.Rand) *world {
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	whole := func(lo, hi float64) float64 { return math.Round(between(lo, hi)) }
	length := whole(60, 60*math.Exp(between(0, math.Log(25))))
	start, end := whole(20, 120), whole(20, 120)
	if r.IntN(3) == 0 {
		end = start
	}
	wide := max(start, end)
	outline := geom.Taper(length, start, end)
	d := []float64{3, 4, 5, 6, 8}[r.IntN(5)]
	w := &world{Spec: Spec{
		Region: &Region{StepMM: 1, HoleRadiusMM: d/2 + between(0.1, 0.9), WebMM: between(2, 9)},
		Count:  2 + r.IntN(MostPins-1), Flip: []Flip{NoFlip, NoFlip, FlipLong, FlipShort}[r.IntN(4)],
		LengthMM: length, TravelMM: 1 + float64(r.IntN(4))/2,
	}}
	w.Causes = Causes{AlongMM: between(0, 0.2), RoundMM: between(0.02, 0.2), SlotMM: between(0.02, 0.2)}
	if r.IntN(3) > 0 { // a plate that grows little or much
		w.Causes.GrowthAlong, w.Causes.GrowthAcross = between(0, 1e-3), between(0, 1e-3)
	}
	if w.Causes.Holds = r.IntN(2) == 0; w.Causes.Holds {
		w.Causes.Held = geom.Vec{X: length * float64(r.IntN(2)) / 2, Y: start * (float64(r.IntN(3)) - 1) / 2}
	}
	g := w.Region
	switch {
	case r.IntN(6) == 0:
		g.StepMM = 25.4 / 16
	case length > 800:
		g.StepMM = 2
	}
	for range 1 + r.IntN(8) {
		u := between(0, length)
		half := (start + (end-start)*u/length) / 2
		w.Features = append(w.Features, geom.Vec{X: u, Y: between(-half, half)})
	}
	if r.IntN(2) == 0 {
		for range w.Features {
			w.ElsewhereMM = append(w.ElsewhereMM, between(0, 0.2))
		}
	}
	margin := max(whole(4, 45), 2*(g.HoleRadiusMM+g.WebMM)+g.StepMM)
	nest := r.IntN(3) > 0
	blank := !nest || r.IntN(2) == 0
	round := outline
	if c := float64(r.IntN(3)) * 3; c > 0 {
		round = geom.RoundCorners(outline, c)
	}
	if nest {
		w.add("window", round.Offset(0.1), false, g.WebMM)
	}
	if blank {
		room := between(4, 10)
		margin = max(margin, room+2*g.HoleRadiusMM+g.WebMM+g.StepMM)
		w.add("board", round, false, room)
		h := geom.Vec{X: whole(length, length+150) / 2, Y: whole(wide, wide+120) / 2}
		c := geom.Vec{X: length / 2}
		w.add("blank", geom.Rect(geom.Box{Min: c.Sub(h), Max: c.Add(h)}), true, 1.5*d)
	}
	if nest && r.IntN(3) == 0 {
		far := geom.Taper(length, start+10, end+10)
		a, b, wide := far[3].Vec, far[2].Vec, geom.Vec{Y: 3}
		w.add("rail", geom.FromPoints([]geom.Vec{a.Add(wide), a, b, b.Add(wide)}), false, 1)
		margin = max(margin, 12+2*g.HoleRadiusMM+g.WebMM+g.StepMM)
	}
	g.Box = outline.Bounds().Grow(math.Ceil(margin))
	w.add("plate", geom.RoundCorners(geom.Rect(g.Box), min(4, margin/2)), true, g.WebMM)
	for range r.IntN(5) {
		from := geom.Vec{X: between(-60, length+40), Y: between(-wide/2-50, wide/2+30)}
		size := geom.Vec{X: between(4, 0.4*length), Y: between(4, wide)}
		w.add("keep-out", geom.Rect(geom.Box{Min: from, Max: from.Add(size)}), false, 1)
	}
	if r.IntN(4) == 0 {
		h := geom.Vec{X: whole(length, length+200) / 2, Y: whole(wide, wide+200) / 2}
		c := geom.Vec{X: length / 2}
		w.add("travel", geom.Rect(geom.Box{Min: c.Sub(h), Max: c.Add(h)}), true, 0)
	}
	return w
}

// checkPlaces holds every pin of a pattern against the rules by the oracle's own measure.
func (w *world) checkPlaces(t *testing.T, name string, pins []Pin) {
	t.Helper()
	for i, p := range pins {
		more := 0.0
		if p.Role == Slot {
			more = w.TravelMM / 2
		}
		if s := w.clearance(p.At); s < more-chordMM {
			t.Errorf("%s: P%d at %v lacks %.4f mm", name, i+1, p.At, more-s)
		}
		for k, q := range pins[:i] {
			if d := p.At.Dist(q.At); d < w.distance(p, q)-sameMM {
				t.Errorf("%s: P%d and P%d stand %.3f mm apart", name, k+1, i+1, d)
			}
		}
	}
}

// distance is what two pins must keep between their centres.
func (w *world) distance(p, q Pin) float64 {
	d := 2*w.Region.HoleRadiusMM + w.Region.WebMM
	if p.Role == Slot || q.Role == Slot {
		d += w.TravelMM / 2
	}
	return d
}

// movedError moves the plate by each cause by itself, as a plate on a round and a slotted
// hole goes, and adds the squares of what a feature does: the objective without its formula.
func movedError(round, slot geom.Vec, c Causes, features []geom.Vec, elsewhere []float64) float64 {
	t := slot.Sub(round).Unit()
	// The errors of the round hole and of the slot, as vectors.
	causes := [][2]geom.Vec{{t.Scale(c.AlongMM)}, {t.Left().Scale(c.RoundMM)}, {{}, t.Left().Scale(c.SlotMM)}}
	worst := 0.0
	for i, f := range features {
		sum := 0.0
		if elsewhere != nil {
			sum = elsewhere[i] * elsewhere[i]
		}
		for _, k := range causes {
			// The plate goes with the round hole and turns until its slot lies over its pin.
			at := slot.Sub(round)
			theta := (k[1].Sub(k[0])).Dot(t.Left()) / at.Norm()
			d := k[0].Add(f.Sub(round).Left().Scale(theta))
			sum += d.X*d.X + d.Y*d.Y
		}
		grows := f
		if c.Holds {
			grows = c.Held
		}
		g := grows.Sub(round)
		sum += math.Pow(c.GrowthAlong*g.X, 2) + math.Pow(c.GrowthAcross*g.Y, 2)
		worst = max(worst, math.Sqrt(sum))
	}
	return worst
}

func name(seed uint64) string { return fmt.Sprint("world ", seed) }
