package estimate

import (
	"fmt"
	"math"

	"reseat/fit"
	"reseat/jig/calibration"
	"reseat/jig/coupon"
	"reseat/jig/units"
)

// Process works out what a form tells. Rows may be any that a form can hold, in any order;
// an error names rows with a number that is no length.
func Process(rows []coupon.Row, o Options) (calibration.Result, error) {
	for _, r := range rows {
		for _, mm := range []*float64{&r.DrawnMM, r.Measured} {
			if mm != nil && !(math.Abs(*mm) <= mostMM) {
				return calibration.Result{}, fmt.Errorf("line %d, %s: %v is no length in mm", r.Line, r.ID, *mm)
			}
		}
	}
	m := newModel(rows, o)
	out, views, best, mode := m.outliers(len(rows))
	p := best.explore(mode, out)
	res := calibration.Result{SigmaMM: units.Round(p.spread(2, 0.5)[0], 4)}
	c := count(rows, m, out)
	for _, q := range p.asked() {
		q.Determined, q.Says = c.tells(&q)
		q.Value, q.Low, q.High = units.Round(q.Value, 4), units.Round(q.Low, 4), units.Round(q.High, 4)
		res.Quantities = append(res.Quantities, q)
	}
	for i, r := range rows {
		for _, key := range []int{i, -1 - i} {
			if out[key] {
				res.Outliers = append(res.Outliers, calibration.Outlier{ID: r.ID, Line: r.Line, Says: views[key].says(r)})
			}
		}
	}
	p.picture(rows, out, &res)
	return res, nil
}

// mostMM is longer than anything that a caliper reads, also without its decimal point.
const mostMM = 1e6

// asked are the quantities of the process with their intervals.
func (p posterior) asked() []calibration.Quantity {
	var all []calibration.Quantity
	add := func(key string, target int) {
		all = append(all, calibration.Quantity{
			Key: key, Value: p.quantile(target, 0.5), Low: p.quantile(target, 0.025), High: p.quantile(target, 0.975),
		})
	}
	spread := func(key string, i int) {
		q := p.spread(i, 0.025, 0.5, 0.975)
		all = append(all, calibration.Quantity{Key: key, Low: fit.Normal95 * q[0], Value: fit.Normal95 * q[1], High: fit.Normal95 * q[2]})
	}
	switch _, round := roundTools[p.By]; {
	case p.By == "laser":
		add(calibration.Kerf, ofStraight)
		add(calibration.Bias, ofRounder)
	case round: // no straight walls
		add(calibration.Bias, ofRound)
	default:
		add(calibration.Bias, ofRound)
		add(calibration.Edge, ofStraight)
	}
	spread(calibration.Spread, 0)
	add(calibration.Taper, ofTaper)
	spread(calibration.Position, 1)
	add(calibration.ScaleX, ofScaleX)
	add(calibration.ScaleY, ofScaleY)
	add(calibration.PinSize, ofPin)
	return all
}
