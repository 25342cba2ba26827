package budget

import (
	"math"

	"reseat/jig/geom"
)

// coefficients are the figures of a Field: shifts along u and v, UU, UV, VU, VV and the bow.
type coefficients [numbers]float64

const numbers = 7

func (f Field) coefficients() coefficients {
	return coefficients{f.Shift.X, f.Shift.Y, f.UU, f.UV, f.VU, f.VV, f.Bow}
}

// normal is what all normal causes together do at one feature, own errors included: along
// it moves by along z1, across by both z1 + across z2, with z1 and z2 standard normal.
type normal struct{ along, both, across float64 }

// normal stands for all normal causes at a point. However many there are, their sum is
// normal again, and only its covariance matters; every figure is that of one feature alone,
// so that two numbers of a run serve for all of them.
//
//	covariance = L L',  L the lower triangle (along 0; both across)
//
// Reference: any text on the multivariate normal distribution.
func (s Spec) normal(at geom.Vec) normal {
	var xx, xy, yy float64
	for _, src := range s.Sources {
		for _, v := range src.Vars {
			if v.Law == Normal {
				d := v.Field.At(at).Scale(v.sd())
				xx, xy, yy = xx+float64(d.X*d.X), xy+float64(d.X*d.Y), yy+float64(d.Y*d.Y)
			}
		}
		own := square(src.ownSD())
		xx, yy = xx+own, yy+own
	}
	n := normal{along: math.Sqrt(xx)}
	if n.along > 0 {
		n.both = xy / n.along
	}
	n.across = math.Sqrt(math.Max(0, yy-float64(n.both*n.both)))
	return n
}
