package estimate

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/coupon"
)

// Any rows that a form can hold give finite, ordered figures, whatever is read.
func TestAnyRows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ids := rapid.SampledFrom([]string{"H01", "H02", "H03", "S01", "B01", "H01-H02", "S01-H03", "H01-H01", "-", ""})
		kinds := rapid.SampledFrom([]coupon.Kind{
			coupon.Hole, coupon.Slot, coupon.Bar, coupon.Web, coupon.Span, coupon.Pin, coupon.Ring, "",
		})
		rows := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) coupon.Row {
			r := coupon.Row{
				ID: ids.Draw(t, "id"), Kind: kinds.Draw(t, "kind"), DrawnMM: rapid.Float64Range(-1, 200).Draw(t, "drawn"),
				Axis: rapid.SampledFrom([]string{"", "x", "y"}).Draw(t, "axis"),
				Face: rapid.SampledFrom([]string{"", coupon.Top, coupon.Under}).Draw(t, "face"),
			}
			r.Enters = rapid.SampledFrom([]string{"", coupon.Passes, coupon.Tight, coupon.No}).Draw(t, "enters")
			if rapid.Bool().Draw(t, "read") {
				mm := r.DrawnMM + rapid.SampledFrom([]float64{0, 0.1, -0.3, 10, -r.DrawnMM, 9e5}).Draw(t, "off")
				r.Measured = &mm
			}
			return r
		}), 0, 12).Draw(t, "rows")
		by := rapid.SampledFrom([]string{"laser", "router", "drill", ""}).Draw(t, "by")
		res, err := Process(rows, Options{By: by, ThicknessMM: rapid.SampledFrom([]float64{0, 0.1, 3, 50}).Draw(t, "thick")})
		if err != nil {
			t.Fatal(err)
		}
		for _, q := range res.Quantities {
			if !(q.Low <= q.Value && q.Value <= q.High) || math.IsInf(q.High-q.Low, 0) || q.Determined && q.Low == q.High {
				t.Fatalf("%+v", q)
			}
			if !q.Determined && q.Says == "" {
				t.Fatalf("untold without a reason: %+v", q)
			}
		}
	})
}

// A number that is no length is refused, with its line.
func TestNoLength(t *testing.T) {
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300} {
		for _, r := range []coupon.Row{
			{Line: 7, ID: "S01", Kind: coupon.Slot, DrawnMM: 6, Measured: &bad}, {Line: 7, ID: "S01", Kind: coupon.Slot, DrawnMM: bad},
		} {
			if _, err := Process([]coupon.Row{r}, Options{}); err == nil {
				t.Errorf("%v was taken", bad)
			}
		}
	}
}
