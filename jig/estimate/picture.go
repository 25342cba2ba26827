package estimate

import (
	"math"

	"reseat/jig/calibration"
	"reseat/jig/coupon"
	"reseat/jig/units"
)

// picture fills in what was made beside what was drawn, and the pin's answers.
func (p posterior) picture(rows []coupon.Row, out map[int]bool, res *calibration.Result) {
	y := p.best
	b := y.believe(p.mode)
	forms, base := append([][]coefficient{}, y.forms[:len(y.steps)]...), append([]float64{}, y.base[:len(y.steps)]...)
	for i := range shared {
		f := []coefficient{{y.at(i), 1}}
		forms, base = append(forms, f), append(base, y.mean(f))
	}
	mean, cov := y.project(b, forms, base)
	for i := range y.steps {
		include(mean, cov, i, y.nu[i], y.tau[i])
	}
	mean = mean[len(y.steps):]
	for i, o := range y.seen {
		r := rows[o.row]
		if !own(r.Kind) {
			continue
		}
		left := o.y
		for _, t := range y.over[i] {
			if k := t.at - len(y.kinds); k >= 0 && k != straight && k != rounder {
				left -= float64(t.by * mean[k])
			}
		}
		fitted := mean[straight]
		if r.Kind == coupon.Hole {
			fitted += mean[rounder]
		}
		res.Points = append(res.Points, calibration.Point{
			Row: o.row, DrawnMM: r.DrawnMM, MadeMM: units.Round(r.DrawnMM+left, 4), Round: r.Kind == coupon.Hole,
			ResidualMM: units.Round(left-float64(o.side*fitted), 4), Outlier: out[o.row],
		})
	}
	known := p.variance(ofPin) // of the room that a pin finds, of all that holes share
	oval := pinAnswer{width: answerMM}.narrowed(y.own(ofOval, p.mode))
	sd := math.Sqrt(known + math.Exp(2*p.mode[0]) + float64(oval.width*oval.width))
	for i, r := range rows {
		if r.Kind == coupon.Hole && r.Enters != "" {
			room := r.DrawnMM + oval.at - y.pinMM + mean[straight] + mean[rounder] - 0.5*float64(y.sign*mean[taper]) - mean[pinBy] - mean[air]
			res.Trials = append(res.Trials, calibration.Trial{
				Row: i, DrawnMM: r.DrawnMM, Odds: units.Round(0.5*math.Erfc(-room/(sd*math.Sqrt2)), 4),
				Enters: r.Enters, Outlier: out[-1-i],
			})
		}
	}
}

// variance is that of a target.
func (p posterior) variance(target int) float64 {
	var mean, square float64
	for _, n := range p.nodes {
		mean += float64(n.weight * n.mean[target])
		square += float64(n.weight * (float64(n.mean[target]*n.mean[target]) + float64(n.sd[target]*n.sd[target])))
	}
	return max(square-float64(mean*mean), 0)
}
