package layout

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"reseat/jig/geom"
)

// places returns the legal places of a grid of the given steps, by the oracle's measure.
func (w *world) places(du, dv float64, at func(i, k int) geom.Vec) []place {
	var out []place
	b := w.Region.Box
	for i := int(math.Ceil(b.Min.X / du)); float64(i)*du <= b.Max.X; i++ {
		for k := int(math.Ceil(b.Min.Y / dv)); float64(k)*dv <= b.Max.Y; k++ {
			p := at(i, k)
			if s := w.clearance(p); s >= 0 {
				out = append(out, place{p, s})
			}
		}
	}
	return out
}

// fine returns the legal places of the search's own grid, middle those on the line across
// the board's middle.
func (w *world) fine() []place {
	step := w.Region.StepMM
	return w.places(step, step, w.Region.point)
}

func (w *world) middle() []place {
	return w.places(1e9, w.Region.StepMM, func(_, k int) geom.Vec {
		return geom.Vec{X: w.LengthMM / 2, Y: w.Region.point(0, k).Y}
	})
}

// slowPair is the exhaustive search: every pair of places of a coarse sub-grid that
// keeps every rule, in the flip's symmetry if there is one. It returns the least error,
// judged by a plate that is moved, and how many pairs it judged.
func slowPair(w *world, r *rand.Rand) (best float64, pairs int) {
	g := w.Region
	best = math.Inf(1)
	judge := func(p, q place) {
		if min(p.clearance, q.clearance) < chordMM || p.at.Dist(q.at) < w.distance(Pin{Slot, p.at}, Pin{Round, q.at}) {
			return
		}
		// One of the two, whichever, is a slot, which needs half its travel more on every side.
		for _, k := range [][2]place{{p, q}, {q, p}} {
			if k[1].clearance >= w.TravelMM/2+chordMM {
				pairs++
				best = min(best, movedError(k[0].at, k[1].at, w.Causes, w.Features, w.ElsewhereMM))
			}
		}
	}
	all := func(free []place) {
		for i, p := range free {
			for _, q := range free[:i] {
				judge(p, q)
			}
		}
	}
	// A sub-grid of the real grid with a random start, of about 1200 points.
	size := g.Box.Size()
	n := max(1, math.Round(math.Sqrt(size.X*size.Y/1200)/g.StepMM))
	iu, iv := float64(r.IntN(int(n))), float64(r.IntN(int(n)))
	coarse := w.places(n*g.StepMM, n*g.StepMM, func(i, k int) geom.Vec {
		return geom.Vec{X: (float64(i)*n + iu) * g.StepMM, Y: (float64(k)*n + iv) * g.StepMM}
	})
	switch w.Flip {
	case NoFlip:
		all(coarse)
		return best, pairs
	case FlipLong:
		m := max(1, math.Round(size.X/400/g.StepMM))
		all(w.places(m*g.StepMM, 1e9, func(i, _ int) geom.Vec { return geom.Vec{X: float64(i) * m * g.StepMM} }))
	case FlipShort:
		all(w.middle())
	}
	for _, p := range coarse {
		q := w.mirrored(p.at)
		judge(p, place{q, w.clearance(q)})
	}
	return best, pairs
}

// mirrored is where the wanted flip takes p.
func (w *world) mirrored(p geom.Vec) geom.Vec {
	if w.Flip == FlipShort {
		return geom.Vec{X: w.LengthMM - p.X, Y: p.Y}
	}
	return geom.Vec{X: p.X, Y: -p.Y}
}

// ownImage reports whether the wanted flip takes every pin to a pin, and the locating
// pair to itself.
func (w *world) ownImage(pins []Pin) bool {
	for i, p := range pins {
		found := w.Flip == NoFlip
		for k, q := range pins {
			found = found || q.At.Dist(w.mirrored(p.At)) < roundingMM && (i < 2) == (k < 2)
		}
		if !found {
			return false
		}
	}
	return true
}

// TestPairNeverWorseThanExhaustive: whatever the world, the pair chosen is worse by 2 %
// at most than the best of an exhaustive search, keeps every constraint, and is found
// whenever that search finds one.
func TestPairNeverWorseThanExhaustive(t *testing.T) {
	t.Parallel()
	const worse = 1.02
	n := worlds(20)
	worst, judged, none := 0.0, 0, 0
	for seed := range n {
		r := rand.New(rand.NewPCG(seed, 4))
		w := randomWorld(r)
		best, pairs := slowPair(w, r)
		judged += pairs
		found := w.Place()
		if found.Pins == nil {
			w.Count = 2 // the pair has a place where the whole pattern has none
			found = w.Place()
		}
		if found.Pins == nil {
			none++
			if pairs > 0 {
				t.Errorf("world %d: no pair, but %d are legal", seed, pairs)
			}
			continue
		}
		w.checkPlaces(t, name(seed), found.Pins)
		got := movedError(found.Pins[0].At, found.Pins[1].At, w.Causes, w.Features, nil)
		if math.Abs(got-found.ObjectiveMM) > 1e-9*got {
			t.Errorf("world %d: objective told as %.9g, is %.9g", seed, found.ObjectiveMM, got)
		}
		got = movedError(found.Pins[0].At, found.Pins[1].At, w.Causes, w.Features, w.ElsewhereMM)
		if found.PairReplaced { // so that the other pins have a place
			if got = found.BestPairMM; w.ElsewhereMM != nil {
				continue // of which only the pins' part is told
			}
		}
		worst = max(worst, got/best)
		if got > worse*best {
			t.Errorf("world %d: search %.5f mm, exhaustive %.5f mm over %d pairs", seed, got, best, pairs)
		}
	}
	if none > int(n)/2 {
		t.Errorf("%d of %d worlds have no place for two pins", none, n)
	}
	t.Logf("%d worlds, %d pairs judged, worst ratio %.4f, %d worlds without a place", n, judged, worst, none)
}

// TestTurnedOverPatterns: in worlds of any shape that turn the board over, every pin has
// its image, the locating pair among itself, and every other way on is blocked.
func TestTurnedOverPatterns(t *testing.T) {
	t.Parallel()
	checked, short := 0, 0
	for seed := range worlds(60) {
		w := randomWorld(rand.New(rand.NewPCG(seed, 11)))
		if w.Flip == NoFlip || w.Count == 2 {
			continue
		}
		pins := w.Place().Pins
		if pins == nil {
			short++
			continue
		}
		checked++
		w.checkPlaces(t, name(seed), pins)
		if !w.ownImage(pins) {
			t.Errorf("world %d: %v is not its own image", seed, pins)
		}
		f := Misses(pins, w.TravelMM, w.PlayMM)
		fits, other := f.FlipLongMM, f.FlipShortMM
		if w.Flip == FlipShort {
			fits, other = other, fits
		}
		blocks := other >= LeastMissMM && f.HalfTurnMM >= LeastMissMM
		if !blocks && w.Count < 5 { // a region may have no room for one that does
			would, _ := slowPattern(w)
			blocks = would == nil
		}
		if fits > FlipFitsMM || !blocks {
			t.Errorf("world %d, flip %s, %d pins: %+v", seed, w.Flip, w.Count, f)
		}
	}
	if checked < 20 {
		t.Errorf("only %d patterns were checked", checked)
	}
	t.Logf("%d patterns checked, %d worlds have no room for all their pins", checked, short)
}

// TestSmallPatternsExhaustively: where the search finds no complete pattern of three or
// four pins that blocks every wrong way, an exhaustive search over a coarse grid finds
// none either.
func TestSmallPatternsExhaustively(t *testing.T) {
	t.Parallel()
	held, failed, patterns := 0, 0, 0
	for seed := range worlds(40) {
		seed += 60 // among them one that leaves patterns to try
		r := rand.New(rand.NewPCG(seed, 13))
		w := randomWorld(r)
		w.Count = 3 + r.IntN(2)
		pins := w.Place().Pins
		if pins != nil && w.blocks(pins, LeastMissMM) && w.ownImage(pins) {
			held++
			continue
		}
		failed++
		would, n := slowPattern(w)
		patterns += n
		if would != nil {
			t.Errorf("world %d, flip %s: %d pins: %v placed, but %v would do", seed, w.Flip, w.Count, pins, would)
		}
	}
	if patterns == 0 {
		t.Error("no pattern was tried")
	}
	t.Logf("%d worlds hold; for %d others %d patterns were tried in vain", held, failed, patterns)
}

// slowPattern tries every legal pattern of a coarse grid and returns one that is
// complete and blocks every wrong way, or nil, and how many it tried.
func slowPattern(w *world) ([]Pin, int) {
	const most, mostTried = 30, 4000 // places of the coarse grid
	legal := func(p geom.Vec) bool { return w.clearance(p) >= chordMM }
	all := w.fine()
	if w.Flip == FlipShort {
		all = append(all, w.middle()...)
	}
	all = slices.DeleteFunc(all, func(p place) bool {
		return !legal(p.at) || w.Flip != NoFlip && !legal(w.mirrored(p.at)) // such a place is of no use
	})
	if n := len(all); n > most {
		var some []place
		for i := range most {
			p := all[i*n/most]
			some = append(some, p)
			if w.Flip != NoFlip {
				m := w.mirrored(p.at)
				some = append(some, place{m, w.clearance(m)})
			}
		}
		all = some
	}
	tried := 0
	var grow func(pins []Pin, from int) []Pin
	grow = func(pins []Pin, from int) []Pin {
		if len(pins) == w.Count {
			if !w.ownImage(pins) {
				return nil
			}
			tried++
			if w.blocks(pins, LeastMissMM) {
				return pins
			}
			return nil
		}
		for i := from; i < len(all); i++ {
			p := Pin{Clear, all[i].at}
			if slices.ContainsFunc(pins, func(q Pin) bool { return p.At.Dist(q.At) < w.distance(p, q) }) {
				continue
			}
			if got := grow(append(slices.Clone(pins), p), i+1); got != nil {
				return got
			}
		}
		return nil
	}
	for _, slot := range all {
		if slot.clearance < w.TravelMM/2+chordMM {
			continue
		}
		for _, round := range all {
			pair := []Pin{{Round, round.at}, {Slot, slot.at}}
			if round.at.Dist(slot.at) < w.distance(pair[0], pair[1]) {
				continue
			}
			if got := grow(pair, 0); got != nil || tried > mostTried {
				return got, tried
			}
		}
	}
	return nil, tried
}

// TestGivesWayNoFurtherThanItMust: of three pins on a board that is turned over, one
// must stand on the axis. Where the best pair leaves it no room, the pair taken
// instead is worse by 2 % at most than that of the best of all patterns on the grid
// that are complete and block every wrong way.
func TestGivesWayNoFurtherThanItMust(t *testing.T) {
	t.Parallel()
	gave, worst := 0, 0.0
	for seed := range worlds(10) {
		seed += 45 // among them some that give way
		w := randomWorld(rand.New(rand.NewPCG(seed, 5)))
		w.Flip, w.Count, w.ElsewhereMM = FlipLong, 3, nil
		found := w.Place()
		if !found.PairReplaced {
			continue
		}
		gave++
		var axis, side []place
		half := *w // the other half is its image
		region := *w.Region
		half.Region, region.Box.Min.Y = &region, 0
		for _, p := range half.fine() {
			switch {
			case p.clearance < chordMM:
			case p.at.Y == 0:
				axis = append(axis, p)
			case p.at.Y > 0:
				side = append(side, p)
			}
		}
		type pair struct {
			round, slot Pin
			err         float64
		}
		var pairs []pair
		add := func(p, q place) {
			for range 2 {
				c := pair{Pin{Round, p.at}, Pin{Slot, q.at}, movedError(p.at, q.at, w.Causes, w.Features, nil)}
				if p.clearance >= chordMM && q.clearance >= w.TravelMM/2+chordMM && p.at.Dist(q.at) >= w.distance(c.round, c.slot) {
					pairs = append(pairs, c)
				}
				p, q = q, p
			}
		}
		for i, p := range axis {
			for _, q := range axis[:i] {
				add(p, q)
			}
		}
		for _, p := range side {
			m := w.mirrored(p.at)
			add(p, place{m, w.clearance(m)})
		}
		slices.SortFunc(pairs, func(a, b pair) int { return cmp.Compare(a.err, b.err) })
		first := slices.IndexFunc(pairs, func(p pair) bool {
			return slices.ContainsFunc(axis, func(c place) bool {
				single := Pin{Clear, c.at}
				return c.at.Dist(p.round.At) >= w.distance(single, p.round) &&
					c.at.Dist(p.slot.At) >= w.distance(single, p.slot) &&
					w.blocks([]Pin{p.round, p.slot, single}, LeastMissMM)
			})
		})
		if first < 0 {
			continue // found on a finer grid
		}
		best := pairs[first].err
		worst = max(worst, found.ObjectiveMM/best)
		if found.ObjectiveMM > 1.02*best {
			t.Errorf("world %d: %.4f mm, exhaustive %.4f mm", seed, found.ObjectiveMM, best)
		}
	}
	if gave == 0 {
		t.Error("no pair gave way")
	}
	t.Logf("%d pairs gave way, worst ratio %.4f", gave, worst)
}
