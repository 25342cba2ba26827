package estimate

import (
	"fmt"

	"reseat/jig/calibration"
	"reseat/jig/coupon"
	"reseat/jig/units"
)

// counts is how many rows of each sort were read and are no outliers.
type counts struct {
	by                        string
	holes, straights, pins    int // straights: slots and bars; pins: answers
	roundPairs, straightPairs int
	faces                     map[string]int
	pairs                     map[string]int // by axis
	features                  int
	ring, pinRead             int
}

func count(rows []coupon.Row, m *model, out map[int]bool) counts {
	c := counts{by: m.By, faces: map[string]int{}, pairs: map[string]int{}, features: len(m.features)}
	for i, r := range rows {
		if r.Kind == coupon.Hole && r.Enters != "" && !out[-1-i] {
			c.pins++
		}
		if r.Measured == nil || out[i] {
			continue
		}
		switch r.Kind {
		case coupon.Hole:
			c.holes++
		case coupon.Slot, coupon.Bar:
			c.straights++
		case coupon.Web, coupon.Span:
			c.pairs[r.Axis]++
			a, b := coupon.Pair(r.ID)
			if m.features[a].Round && m.features[b].Round {
				c.roundPairs++
			} else {
				c.straightPairs++
			}
		case coupon.Pin:
			c.pinRead++
		case coupon.Ring:
			c.ring++
		}
		if own(r.Kind) || paired(r.Kind) {
			c.faces[r.Face]++
		}
	}
	return c
}

// A wider interval than these says no more than is known of any process: half widths, mm and
// percent, and the ratio of the ends. Common practice, no source.
const (
	widestMM     = 0.06
	widestTaper  = 0.08
	widestScale  = 0.25
	widestFactor = 8.0
)

// tells says whether the readings tell a quantity, and what is missing. Of a spread that they
// do not tell, what is left is an upper bound.
func (c counts) tells(q *calibration.Quantity) (bool, string) {
	half := (q.High - q.Low) / 2
	through := c.faces[coupon.Top]+c.faces[coupon.Under] == 0
	straights := c.straights+c.straightPairs > 0
	rounds := c.holes+c.roundPairs+c.pins > 0
	spanning := "every reading spans the thickness: rows at face top and under tell it from the taper"
	switch q.Key {
	case calibration.Kerf, calibration.Edge, calibration.Bias, calibration.PinSize:
		round := q.Key == calibration.Bias || q.Key == calibration.PinSize
		switch {
		case round && !rounds:
			return false, "no row of kind hole is filled in: measured_mm and enters of holes tell it"
		case (!round || q.Key == calibration.Bias && c.by == "laser") && !straights:
			return false, "no row of kind slot or bar is filled in: they tell it"
		case through && q.Key != calibration.PinSize && half > widestMM:
			return false, spanning
		case half > widestMM && round && c.pins == 0:
			return false, "no answer under enters: whether the pin enters tells what the caliper's jaws hide in a round hole"
		case half > 2*widestMM:
			return false, "too few rows: repeats and further features narrow it"
		case q.Key == calibration.Bias && c.pins == 0:
			return true, "the jaws' flats read round holes too small by an unknown amount: answers under enters tell it"
		}
	case calibration.Taper:
		switch {
		case through:
			return false, spanning
		case half > widestTaper && (c.faces[coupon.Top] == 0 || c.faces[coupon.Under] == 0):
			face := coupon.Under
			if c.faces[coupon.Top] == 0 {
				face = coupon.Top
			}
			return false, fmt.Sprintf("no row at face %s: slots and bars at either face tell it", face)
		case half > widestTaper:
			return false, "too few rows at face top and under: slots and bars at either face tell it"
		}
	case calibration.ScaleX, calibration.ScaleY:
		axis := map[string]string{calibration.ScaleX: "x", calibration.ScaleY: "y"}[q.Key]
		switch {
		case half <= widestScale:
		case c.pairs[axis] == 0:
			return false, fmt.Sprintf("no row of kind web or span along %s: long ones tell it", axis)
		default:
			return false, fmt.Sprintf("places are too coarse for lengths along %s: more rows of kind web and span, "+
				"as long as the caliper reads, tell it", axis)
		}
	case calibration.Position, calibration.Spread:
		missing := ""
		if q.Key == calibration.Position && len(c.pairs) == 0 {
			missing = "no row of kind web or span is filled in: they tell it"
		} else if q.Key == calibration.Spread && !rounds && !straights {
			missing = "no row of a hole, a slot or a bar is filled in: they tell it"
		}
		if missing != "" {
			q.Value, q.Low, q.High = 0, 0, 0 // not even an upper bound
			return false, missing
		}
		if q.High > widestFactor*q.Low {
			q.Low = 0
			more := "; repeats of the same rows tell it"
			if q.Key == calibration.Spread && c.holes+c.straights == 0 {
				more = ", as the pin's answers alone tell it"
			}
			return false, "below what these readings tell: at most " + units.Decimal(q.High, 3) + more
		}
	}
	return true, ""
}
