package estimate

import (
	"slices"
	"strings"
	"testing"

	"reseat/jig/calibration"
	"reseat/jig/coupon"
)

// Whatever rows are filled in, intervals hold the truth, and what is not told says why. What is
// told of the first world is stated; a coarser one may tell less, a stronger taper more.
func TestPartsOfAForm(t *testing.T) {
	answersAlone := func(r *coupon.Row) bool {
		r.Measured = nil
		return r.Enters != ""
	}
	for _, c := range []struct {
		name    string
		keep    func(*coupon.Row) bool
		holes   int
		missing map[string]string // what is not told, and a part of what is said
	}{
		{"all of a quick one", func(*coupon.Row) bool { return true }, 16, nil},
		{"answers alone", answersAlone, 24, map[string]string{
			calibration.Kerf: "slot or bar", calibration.Bias: "slot or bar", calibration.Taper: "face top and under",
			calibration.Position: "web or span", calibration.ScaleX: "web or span along x", calibration.ScaleY: "web or span along y",
		}},
		{"no answers", func(r *coupon.Row) bool { r.Enters = ""; return true }, 24, nil},
		{"through alone", func(r *coupon.Row) bool { return r.Face == "" }, 24, map[string]string{
			calibration.Kerf: "spans the thickness", calibration.Taper: "spans the thickness",
		}},
		{"top and through", func(r *coupon.Row) bool { return r.Face != coupon.Under }, 24, map[string]string{
			calibration.Taper: "face under",
		}},
		{"no y", func(r *coupon.Row) bool { return r.Axis != "y" }, 24, map[string]string{
			calibration.ScaleY: "web or span along y",
		}},
		{"no pairs", func(r *coupon.Row) bool { return !paired(r.Kind) }, 24, map[string]string{
			calibration.Position: "web or span", calibration.ScaleX: "web or span along x", calibration.ScaleY: "web or span along y",
		}},
		{"holes alone", func(r *coupon.Row) bool { return r.Kind == coupon.Hole }, 24, map[string]string{
			calibration.Kerf: "slot or bar", calibration.Bias: "slot or bar", calibration.Position: "web or span",
			calibration.ScaleX: "web or span along x", calibration.ScaleY: "web or span along y",
		}},
		{"nothing", func(*coupon.Row) bool { return false }, 24, map[string]string{
			calibration.Kerf: "slot or bar", calibration.Bias: "hole", calibration.PinSize: "hole", calibration.Taper: "face",
			calibration.Position: "web or span", calibration.Spread: "no row",
			calibration.ScaleX: "web or span along x", calibration.ScaleY: "web or span along y",
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			in, of := 0, 0
			for seed := range deep(1, 30) {
				w := draw(uint64(200+seed), "laser", manner{})
				all, o := filled(t, w, c.holes)
				var rows []coupon.Row
				for _, r := range all {
					if c.keep(&r) {
						rows = append(rows, r)
					}
				}
				res, err := Process(rows, o)
				if err != nil {
					t.Fatal(err)
				}
				truth := w.truth()
				for _, q := range res.Quantities {
					if q.Low < q.High { // else nothing at all is known of it
						of++
						if q.Low <= truth[q.Key] && truth[q.Key] <= q.High {
							in++
						}
					}
					if !q.Determined && q.Says == "" {
						t.Errorf("%s is not told, without a reason", q.Key)
					}
					if seed > 0 {
						continue
					}
					says, missing := c.missing[q.Key]
					if missing && (q.Determined || !strings.Contains(q.Says, says)) {
						t.Errorf("%s: %+v; want it not told: %s", q.Key, q, says)
					}
					t.Logf("%-12s %8.4f (%.4f to %.4f) %v %s", q.Key, q.Value, q.Low, q.High, q.Determined, q.Says)
					if !missing && !q.Determined && !slices.Contains([]string{calibration.Position, calibration.Spread}, q.Key) {
						t.Errorf("%s is not told: %s", q.Key, q.Says)
					}
				}
			}
			t.Logf("holds %d of %d", in, of)
			if in < of*8/10 || of > 100 && in < of*9/10 {
				t.Errorf("holds %d of %d", in, of)
			}
		})
	}
}
