package touch

import (
	"cmp"
	"math"
	"slices"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/outlined"
	"reseat/jig/reading"
)

// fractions are where a line is touched, in parts of the length that can be: two near either
// end, which tell the direction best and each other's slips, and two between for the bow.
var fractions = []float64{0, 0.08, 0.36, 0.64, 0.92, 1}

const (
	// insetMM keeps touches off a board's ends. Common practice, no source.
	insetMM = 5.0
	// gridMM is how finely stations are looked for.
	gridMM = 2.0
	// leastSpanMM apart two touches tell a direction worth having. Common practice, no source.
	leastSpanMM = 40.0
	// onEdgeMM is how far a drawn straight edge may lie from the board's outline, far under a
	// cut corner.
	onEdgeMM = 0.05
	// enoughPart of the board's length is reached over by touches that tell its bow.
	enoughPart = 0.8
	// apartMM is how far from a feature the scribed line is worth a reading.
	apartMM = 20.0
	// mostMarks are touched; those farthest apart tell as much as all. Common practice, no source.
	mostMarks = 8
	// guardedMarks are marks of which a wrong one shows, and which one it is.
	guardedMarks = 4
	// apartPart of the board's length between the first mark and the last makes the board's
	// far ends sure enough without its edges. Common practice, no source.
	apartPart = 0.6
)

// datum touches both long edges; where none can be, the features and stations of the datum line.
func (m *maker) datum() {
	for _, on := range []string{reading.OnLeft, reading.OnRight} {
		m.add(m.edge(on, fractions)...)
	}
	if len(m.plan.Touches) == 0 {
		m.onLine()
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, t := range m.plan.Touches {
		low, high = math.Min(low, t.Station.X), math.Max(high, t.Station.X)
	}
	m.plan.ReachPart = math.Max(0, high-low) / m.Job.Board.LengthMM
}

// onLine takes the features on the datum line; by hand also its ends, where it is scribed on
// the board, when the features reach over too little.
func (m *maker) onLine() {
	const onLineMM = 1e-6 // as drawn
	b := m.Job.Board
	length := b.LengthMM
	low, high := math.Inf(1), math.Inf(-1)
	for _, f := range m.features() {
		if math.Abs(f.VMM) > onLineMM {
			continue
		}
		if t := m.mark(reading.OnDatum, f); t != nil {
			m.add(t...)
			low, high = math.Min(low, f.UMM), math.Max(high, f.UMM)
		}
	}
	if m.ByProgram || high-low >= enoughPart*length {
		return
	}
	for _, part := range fractions {
		u := insetMM + part*(length-2*insetMM)
		if u > low-apartMM && u < high+apartMM || b.Outline != nil && b.Outline.Depth(geom.Vec{X: u}) < 0 {
			continue
		}
		m.add(m.above(reading.OnDatum, geom.Vec{X: u}))
	}
	slices.SortStableFunc(m.plan.Touches, func(a, b Touch) int { return cmp.Compare(a.Station.X, b.Station.X) })
}

// above is a place of the face, touched from above or marked.
func (m *maker) above(what string, at geom.Vec) Touch {
	p, z := m.Board.Apply(at), m.faceMM(at)
	return Touch{What: what, Station: at, At: p, From: p, TipMM: z, OverMM: m.overMM(z)}
}

// edge touches an edge at the stations nearest to parts of what can be touched of it; none
// where that is too short, with what stands in the way noted.
func (m *maker) edge(on string, parts []float64) []Touch {
	var can []Touch
	blocks := map[Blocked]int{}
	switch {
	case m.Job.Template.Seat == "pins": // it is still a part of its blank
		blocks[Blocked{What: on}]++
	case m.Job.Board.Outline != nil && m.places(on) == nil:
		blocks[Blocked{What: on, By: "outline"}]++
	default:
		for _, p := range m.places(on) {
			t, by, ok := m.side(on, p.at, p.out, m.faceMM(p.at))
			if ok {
				can = append(can, t)
			} else {
				by.OverMM = math.Round(by.OverMM*10) / 10 // it changes along a crown
				blocks[by]++
			}
		}
	}
	if len(can) > 0 {
		first, last := along(can[0]), along(can[len(can)-1])
		if on == reading.OnStart || last-first >= leastSpanMM {
			return nearest(can, parts, first, last)
		}
	}
	most := Blocked{What: on, By: "corner"}
	for b, n := range blocks {
		if k := blocks[most]; n > k || n == k && (b.By < most.By || b.By == most.By && b.OverMM > most.OverMM) {
			most = b
		}
	}
	m.plan.Blocked = append(m.plan.Blocked, most)
	return nil
}

// along orders the touches of an edge.
func along(t Touch) float64 {
	if t.What == reading.OnStart {
		return t.Station.Y
	}
	return t.Station.X
}

// nearest returns the touch nearest to each part of the way from first to last, each once.
func nearest(can []Touch, parts []float64, first, last float64) (out []Touch) {
	taken := map[float64]bool{}
	for _, part := range parts {
		want := first + part*(last-first)
		t := slices.MinFunc(can, func(a, b Touch) int {
			return cmp.Compare(math.Abs(along(a)-want), math.Abs(along(b)-want))
		})
		if !taken[along(t)] {
			taken[along(t)] = true
			out = append(out, t)
		}
	}
	return out
}

// place is a place on the board's outline, and the way out of it.
type place struct{ at, out geom.Vec }

// places lists the places of a straight edge, off corners and whatever is cut from them.
func (m *maker) places(on string) (all []place) {
	b := m.Job.Board
	if b.Outline != nil {
		return m.drawnPlaces(on)
	}
	low, high := insetMM, b.LengthMM-insetMM
	if on == reading.OnStart {
		high = m.halfWidth(0) - insetMM
		low = -high
	}
	var outline geom.Loop
	for _, l := range m.Seat.Stack {
		if l.Name == "board" {
			outline = l.Outline
		}
	}
	sign := 1.0
	if on == reading.OnRight {
		sign = -1
	}
	for x := low; x <= high; x += gridMM {
		p := place{geom.Vec{X: x, Y: sign * m.halfWidth(x)},
			geom.Vec{X: -(b.WidthEndMM - b.WidthStartMM) / 2 / b.LengthMM, Y: sign}.Unit()}
		if on == reading.OnStart {
			p = place{geom.Vec{Y: x}, geom.Vec{X: -1}}
		}
		straight := true
		for _, d := range []float64{-m.radius() - 1, 0, m.radius() + 1} {
			q := m.Board.Apply(p.at.Add(p.out.Left().Scale(d)))
			straight = straight && (outline == nil || outline.Distance(q) < onEdgeMM)
		}
		if straight {
			all = append(all, p)
		}
	}
	return all
}

// drawnPlaces are the like of an outline: on the longest straight stretch of a side, on a
// start end that is square to the datum line.
func (m *maker) drawnPlaces(on string) (all []place) {
	outline := m.Job.Board.Outline
	inset := math.Min(insetMM, outlined.LeastStretchMM/4)
	if on == reading.OnStart {
		low, high, ok := outlined.SquareStart(outline)
		for v := low + inset; ok && v <= high-inset; v += gridMM {
			all = append(all, place{geom.Vec{Y: v}, geom.Vec{X: -1}})
		}
		return all
	}
	var longest outlined.Stretch
	for _, s := range outlined.Stretches(outline, on == reading.OnLeft) {
		if s.ToMM-s.FromMM > longest.ToMM-longest.FromMM {
			longest = s
		}
	}
	out := geom.Vec{X: -longest.Slope, Y: 1}.Unit()
	if on == reading.OnRight {
		out = out.Scale(-1)
	}
	for u := longest.FromMM + inset; longest.ToMM > 0 && u <= longest.ToMM-inset; u += gridMM {
		all = append(all, place{longest.At(u), out})
	}
	return all
}

// locate touches the features that lie farthest apart; edges too where those are few, or
// reach over too little of the board.
func (m *maker) locate() {
	var all []job.Feature
	for _, f := range m.features() {
		if m.mark(f.Name, f) != nil {
			all = append(all, f)
		}
	}
	chosen := farApart(all)
	for _, f := range chosen {
		m.add(m.mark(f.Name, f)...)
	}
	if n := len(chosen); n < guardedMarks || chosen[n-1].UMM-chosen[0].UMM < apartPart*m.Job.Board.LengthMM {
		for _, on := range []string{reading.OnLeft, reading.OnRight} {
			m.add(m.edge(on, fractions)...)
		}
		m.add(m.edge(reading.OnStart, []float64{0, 1})...)
	}
}

// farApart chooses features one by one, each the farthest from those chosen before, and
// returns them in their own order.
func farApart(all []job.Feature) []job.Feature {
	if len(all) <= mostMarks {
		return all
	}
	at := func(i int) geom.Vec { return geom.Vec{X: all[i].UMM, Y: all[i].VMM} }
	chosen := []int{0, len(all) - 1} // by station: the ends
	for len(chosen) < mostMarks {
		best, far := -1, -1.0
		for i := range all {
			near := math.Inf(1)
			for _, k := range chosen {
				near = math.Min(near, at(i).Dist(at(k)))
			}
			if near > far {
				best, far = i, near
			}
		}
		chosen = append(chosen, best)
	}
	slices.Sort(chosen)
	var out []job.Feature
	for _, i := range chosen {
		out = append(out, all[i])
	}
	return out
}

// rimTouches are spread round a pin: three more than a circle takes, so that a wrong one shows.
const rimTouches = 6

// rim touches the pin that zero is found on, from outside, while nothing is on the pins yet.
func (m *maker) rim() {
	for _, q := range m.Seat.Pins {
		if q.ID != m.Seat.Zero.Pin {
			continue
		}
		head := q.ToMM - m.z0
		t := Touch{What: reading.OnRim, Mark: q.ID, OverMM: head, TipMM: head - pinBelowMM - m.radius()}
		if !m.ByProgram {
			t.TipMM = head - pinBelowMM - belowMM
		}
		t.Station = m.Board.Inverse().Apply(q.At)
		if t.TipMM < gapMM {
			m.plan.Blocked = append(m.plan.Blocked, Blocked{q.ID, "bed", gapMM - t.TipMM})
			return
		}
		m.plan.Rim = q.ID
		r := q.RadiusMM + m.radius()
		for i := range rimTouches {
			out := geom.Polar(1, math.Pi/6+float64(i)*math.Pi/3)
			t.At, t.From, t.Dir = q.At.Add(out.Scale(r)), q.At.Add(out.Scale(r+approaches[0])), out.Scale(-1)
			m.add(t)
		}
	}
}

// tops touches the face along the datum line, beside what is cut into it.
func (m *maker) tops() {
	b := m.Job.Board
	on := func(at geom.Vec) bool { return b.Outline == nil || b.Outline.Depth(at) >= m.radius() }
	var can []Touch
	for x := insetMM; x <= b.LengthMM-insetMM; x += gridMM {
		for _, part := range []float64{0, 0.25, -0.25, 0.5, -0.5} {
			at := geom.Vec{X: x, Y: part * m.halfWidth(x)}
			if on(at) && m.solid(at) {
				can = append(can, m.above(reading.OnTop, at))
				break
			}
		}
	}
	if len(can) == 0 {
		m.plan.Blocked = append(m.plan.Blocked, Blocked{What: m.Up.Name(), By: "bore"})
		return
	}
	m.add(nearest(can, fractions, along(can[0]), along(can[len(can)-1]))...)
}

// solid reports whether the face is whole round a place.
func (m *maker) solid(at geom.Vec) bool {
	need := m.radius() + beyondMM
	for _, f := range m.features() {
		if at.Dist(geom.Vec{X: f.UMM, Y: f.VMM}) < f.BoreMM/2+need {
			return false
		}
	}
	for _, k := range m.Job.Board.KeepOut {
		box := geom.Box{Min: k.From, Max: k.To}.Grow(need)
		if box.Contains(at) {
			return false
		}
	}
	return true
}
