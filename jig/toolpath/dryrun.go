package toolpath

import (
	"fmt"
	"math"
)

// Summary is what a program does, without running it.
type Summary struct {
	Min, Max  Point   // box of the tip's way, parking included
	FeedMM    float64 // way at a feed
	RapidMM   float64 // way at rapid
	FeedS     float64 // seconds at the written feeds
	RapidS    float64 // seconds at the assumed rapid rate
	Deepest   Point   // lowest place of the tip, the first of equals
	DeepestMM float64 // how far it lies below the stock's top; negative above
	Cuts      int
	Turns     int     // of all cuts, as planned; 0 when not known
	PerTurnMM float64 // deepest turn or peck, as planned; 0 when not known
}

// TimeS returns the seconds of the whole run. Speeding up and slowing down are
// not counted, so a real machine takes longer, more so in small circles.
func (s Summary) TimeS() float64 { return s.FeedS + s.RapidS }

// DryRun sums a program up. rapidMMmin is the assumed speed of rapids, mm/min;
// zero stands for the default of Settings.
//
// The error is Faults: from Check, or for a rapid rate that is none.
func (p *Program) DryRun(rapidMMmin float64) (Summary, error) {
	if err := p.Check(); err != nil {
		return Summary{}, err
	}
	if rapidMMmin == 0 {
		rapidMMmin = defaultRapid
	}
	var f faults
	if !f.within("", "rapid rate (mm/min)", rapidMMmin, leastFeed, largestFeed) {
		return Summary{}, f.err()
	}
	from, moves := p.Path()
	s := Summary{Min: from, Max: from, Deepest: from, Cuts: len(p.Steps)}
	for _, m := range moves {
		way := m.Length(from)
		if m.Kind == Rapid {
			s.RapidMM += way
			s.RapidS += 60 * way / rapidMMmin
		} else {
			s.FeedMM += way
			s.FeedS += 60 * way / m.FeedMMmin
		}
		b := m.bounds(from)
		s.Min = Point{math.Min(s.Min.X, b.Min.X), math.Min(s.Min.Y, b.Min.Y), math.Min(s.Min.Z, m.To.Z)}
		s.Max = Point{math.Max(s.Max.X, b.Max.X), math.Max(s.Max.Y, b.Max.Y), math.Max(s.Max.Z, m.To.Z)}
		if m.To.Z < s.Deepest.Z {
			s.Deepest = m.To
		}
		from = m.To
	}
	s.DeepestMM = p.TopZ - s.Deepest.Z
	for _, c := range p.Steps {
		s.Turns += c.Turns
		s.PerTurnMM = math.Max(s.PerTurnMM, c.PerTurnMM)
	}
	return s, nil
}

// Within tells on which axes the way leaves the box lo..hi, in words, all at
// once, as Faults; nil when it stays inside. A millionth of a millimetre beyond is
// forgiven.
func (s Summary) Within(lo, hi Point) error {
	const slack = 1e-6 // mm, far below any machine; the G-code judge forgives the same
	var f faults
	for _, a := range []struct {
		axis             string
		min, max, lo, hi float64
	}{
		{"X", s.Min.X, s.Max.X, lo.X, hi.X},
		{"Y", s.Min.Y, s.Max.Y, lo.Y, hi.Y},
		{"Z", s.Min.Z, s.Max.Z, lo.Z, hi.Z},
	} {
		if !(a.min >= a.lo-slack && a.max <= a.hi+slack) {
			f.add(&PathError{-1, fmt.Sprintf("%s runs from %.3f to %.3f and leaves the room from %.3f to %.3f", a.axis, a.min, a.max, a.lo, a.hi)})
		}
	}
	return f.err()
}
