package measure

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"reseat/jig/geom"
	"reseat/jig/reading"
	"reseat/jig/units"
)

// EdgeZero is where the datum's start lies, as far as the touched edges tell. What they do
// not tell is nil, and taken as drawn for the rest.
type EdgeZero struct {
	XMM   *float64 `json:"x_mm,omitempty"`
	YMM   *float64 `json:"y_mm,omitempty"`
	XHalf *float64 `json:"x_half_mm,omitempty"`
	YHalf *float64 `json:"y_half_mm,omitempty"`
	// the board's turn from where it should lie, counter-clockwise seen from above
	AngleRad *float64 `json:"angle_rad,omitempty"`
	// WidthMM is by how much the board is wider than the job has it.
	WidthMM      *float64        `json:"width_error_mm,omitempty"`
	AngleHalf    *float64        `json:"angle_half_rad,omitempty"`
	WidthHalf    *float64        `json:"width_half_mm,omitempty"`
	RMSMM        float64         `json:"rms_mm"`
	*Uncertainty                 // nil when the touches are just enough and no error was stated, or contradict each other
	Residuals    []TouchResidual `json:"residuals"`
	// Outlier is the line of the touch that does not belong, and was left out; 0: none.
	Outlier int `json:"outlier_line,omitempty"`
	// HasAlong and HasAcross: the readings fix the place along and across the board.
	HasAlong, HasAcross bool `json:"-"`
	Guard
}

// TouchResidual is how far a touch lies outside its edge as it was fitted, the probe
// taken out.
type TouchResidual struct {
	Line  int     `json:"line"`
	Kind  string  `json:"kind"`
	OffMM float64 `json:"off_mm"`
}

// ZeroEdges takes X and Y zero from touches of the board's edges: the start end tells
// the place along, one long edge the place across, both of them the board's centre
// whatever its width, and two touches far apart on one long edge its turn. The start end
// tells nothing of the turn: a sawn end need not be square. Half widths are those of the
// fit with, as root of squares, the moves that the stated errors of what is not told make.
// A touch that does not belong is left out where the others agree far better without it than
// without any other. Touches of other kinds are left alone.
//
// The error tells readings off the board, in inches, with the edges exchanged, or of a
// board turned too far.
func ZeroEdges(touches []reading.Reading, s Spec) (EdgeZero, error) {
	var t edgeTouches
	back, out := s.ToMachine.Inverse(), EdgeZero{}
	for _, r := range touches {
		o, ok := s.edge(r.On)
		if !ok {
			continue
		}
		o.at = back.Apply(r.At)
		t.on, t.obs, t.lines = append(t.on, r.On), append(t.obs, o), append(t.lines, r.Line)
		out.Residuals = append(out.Residuals, TouchResidual{Line: r.Line, Kind: r.On})
	}
	if len(t.obs) == 0 {
		return out, errors.New("there is no touch of an edge: left, right or start")
	}
	f, ok := t.fit()
	if !ok {
		return out, errors.New("the touches do not fix the board; touch both ends of a long edge, and the start end")
	}
	if err := s.implausible(&f, t.obs, t.lines); err != nil {
		return out, err
	}
	all := t
	if out.Contradictory = s.edgeWrong(&f, t); out.Contradictory {
		if k, ok := s.edgeOutlier(&f, t); ok {
			out.Outlier = t.lines[k]
			t = t.without(k)
			f, _ = t.fit()
			out.Contradictory = s.edgeWrong(&f, t)
		}
	}
	for i, o := range all.obs {
		out.Residuals[i].OffMM = f.residualOf(o).X
	}
	out.RMSMM, out.Contradicted = f.rms(len(t.obs)), s.contradicted(f.sse, f.df)
	if !out.Contradictory {
		out.Uncertainty = s.uncertainty(f.sse, f.df)
	}
	half := s.edgeResult(&out, &f, t.obs)
	for _, k := range f.suspects() {
		out.hold(s.edgesUnguarded(&f, half, t.without(k)), t.lines[k])
	}
	return out, nil
}

// edgeTouches are touches of edges in the drawn board's frame.
type edgeTouches struct {
	on    []string
	obs   []observation
	lines []int
}

func (t edgeTouches) without(k int) (out edgeTouches) {
	for i := range t.obs {
		if i != k {
			out.on, out.obs, out.lines = append(out.on, t.on[i]), append(out.obs, t.obs[i]), append(out.lines, t.lines[i])
		}
	}
	return out
}

// fit fits what the touches tell.
func (t edgeTouches) fit() (f poseFit, ok bool) {
	spans := map[string][2]float64{}
	for i, o := range t.obs {
		w, seen := spans[t.on[i]]
		if !seen {
			w = [2]float64{o.at.X, o.at.X}
		}
		spans[t.on[i]] = [2]float64{math.Min(w[0], o.at.X), math.Max(w[1], o.at.X)}
	}
	f.free = observable(spans)
	return f, f.solve(t.obs)
}

// edgeWrong reports a touch that lies farther off its edge by the others than zero may.
func (s *Spec) edgeWrong(f *poseFit, t edgeTouches) bool {
	for i := range t.obs {
		// drop is e^2 over the residual's own share, and e over that the distance.
		if drop, ok := f.drop(i, 1); ok && s.AccuracyMM > 0 && drop > s.AccuracyMM*math.Abs(f.residual[i]) {
			return true
		}
	}
	return false
}

// edgeOutlier is the touch without which the others agree far better than without any other; ok is
// false when there is none.
func (s *Spec) edgeOutlier(f *poseFit, t edgeTouches) (touch int, ok bool) {
	left := make([]float64, len(t.obs))
	for i := range left {
		left[i] = math.Inf(1)
		if drop, ok := f.drop(i, 1); ok {
			left[i] = math.Max(0, f.sse-drop)
		}
	}
	return s.standout(left, f.sse, f.df)
}

// edgesUnguarded is how far X or Y lies off, at most, by the touches that are left when one is
// wrong; infinite where they do not tell it.
func (s *Spec) edgesUnguarded(f *poseFit, half [poseUnknowns]*float64, rest edgeTouches) (bound float64) {
	r, ok := poseFit{}, false
	if len(rest.obs) > 0 {
		r, ok = rest.fit()
	}
	for _, k := range []int{poseX, poseY} {
		if !slices.Contains(f.free, k) {
			continue
		}
		if !ok || half[k] == nil || !slices.Contains(r.free, k) {
			return math.Inf(1)
		}
		h := s.edgeHalves(&r, s.uncertainty(f.sse, f.df), rest.obs)
		bound = math.Max(bound, math.Abs(r.x[k]-f.x[k])+*h[k])
	}
	return bound
}

// observable lists the unknowns that touches tell, by the spans of their stations on each edge.
func observable(spans map[string][2]float64) (free []int) {
	left, onLeft := spans[reading.OnLeft]
	right, onRight := spans[reading.OnRight]
	_, onStart := spans[reading.OnStart]
	for k, is := range [poseUnknowns]bool{
		poseTurn: left[1]-left[0] >= leastSpanMM || right[1]-right[0] >= leastSpanMM,
		poseX:    onStart, poseY: onLeft || onRight, poseHalfWidth: onLeft && onRight,
	} {
		if is {
			free = append(free, k)
		}
	}
	return free
}

// edgeHalves are the half widths of what was fitted, for readings that scatter as a basis says.
func (s *Spec) edgeHalves(f *poseFit, b *Uncertainty, obs []observation) (half [poseUnknowns]*float64) {
	for i, k := range f.free {
		w := make([]float64, len(f.free))
		w[i] = 1
		_, se := f.contrast(w...)
		half[k] = b.half(se)
	}
	if b != nil {
		s.addStated(&half, f, obs)
	}
	return half
}

// edgeResult writes down what was fitted, and returns its half widths.
func (s *Spec) edgeResult(out *EdgeZero, f *poseFit, obs []observation) [poseUnknowns]*float64 {
	half := s.edgeHalves(f, out.Uncertainty, obs)
	at := s.ToMachine.Apply(f.c())
	alongX := math.Abs(s.ToMachine.Apply(geom.Vec{X: 1}).Sub(s.ToMachine.Shift).X) > 0.5
	for _, k := range f.free {
		switch v := f.x[k]; {
		case k == poseTurn:
			if s.ToMachine.Mirror {
				v = -v // a board that lies face down turns the other way
			}
			out.AngleRad, out.AngleHalf = &v, half[k]
		case k == poseHalfWidth:
			v *= 2
			out.WidthMM, out.WidthHalf = &v, half[k]
			if half[k] != nil {
				*out.WidthHalf *= 2
			}
		case (k == poseX) == alongX:
			out.XMM, out.XHalf = &at.X, half[k]
		default:
			out.YMM, out.YHalf = &at.Y, half[k]
		}
		out.HasAlong = out.HasAlong || k == poseX
		out.HasAcross = out.HasAcross || k == poseY
	}
	return half
}

// addStated adds, as root of squares, what the stated errors of unknowns that are not told
// move the answer by: the fit is all but linear, so that one sign serves.
func (s *Spec) addStated(half *[poseUnknowns]*float64, f *poseFit, obs []observation) {
	to := normalFactor(s.confidence()) / normalFactor(usualConfidence)
	for k, e := range [poseUnknowns]float64{poseTurn: s.TurnErrorRad, poseHalfWidth: s.WidthErrorMM / 2} {
		if half[k] != nil || e == 0 {
			continue
		}
		off := poseFit{free: f.free}
		if off.x[k] = e; !off.solve(obs) {
			continue
		}
		for _, m := range f.free {
			*half[m] = math.Hypot(*half[m], to*(off.x[m]-f.x[m]))
		}
	}
}

// implausible refuses touches that are not of this board as they stand.
func (s *Spec) implausible(f *poseFit, obs []observation, lines []int) error {
	var stations []float64
	var of []int
	for i, o := range obs {
		if o.long {
			stations, of = append(stations, f.back(o.at).X), append(of, lines[i])
		}
	}
	if f.free[len(f.free)-1] == poseHalfWidth {
		if err := s.implausibleWidth(f, stat.Mean(stations, nil)); err != nil {
			return err
		}
	}
	if err := reading.Joined(offBoard(of, stations, s.LengthMM)); err != nil {
		return err
	}
	if a := f.x[poseTurn]; math.Abs(a) > mostSkewRad {
		return skewed(a)
	}
	return nil
}

// implausibleWidth tells inches and exchanged edges by the width at the touches' mean
// station u. In inches, the way from probe to probe is what 25.4 times too small is;
// the probe's radius is in millimetres all the same.
func (s *Spec) implausibleWidth(f *poseFit, u float64) error {
	measured := s.width(u) + 2*f.x[poseHalfWidth]
	centres := measured + 2*s.ProbeRadiusMM
	put, want := centres*units.MMPerInch-2*s.ProbeRadiusMM, s.width(u*units.MMPerInch)
	switch {
	case want > 0 && math.Abs(put-want) < inchNear*want:
		return inInches(fmt.Sprintf("the probe's centres lie %.3g mm apart across the board, in inches %.4g mm", centres,
			centres*units.MMPerInch))
	case measured <= 0:
		return edgesExchanged(measured)
	}
	return nil
}
