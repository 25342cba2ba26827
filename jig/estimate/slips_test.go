package estimate

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"reseat/jig/coupon"
)

// spoil puts one slip into a row; not ok: the row cannot have it, or it would be too small
// to be seen.
func spoil(w *world, r *coupon.Row, what string) bool {
	mm := *r.Measured
	switch what {
	case "decimal point":
		mm *= 100
	case "reversed":
		if r.Enters != coupon.Passes && r.Enters != coupon.No {
			return false
		}
		room := r.DrawnMM + min(w.narrowest(w.made[r.ID], 0, ""), w.narrowest(w.made[r.ID], 1, "")) - w.pin - w.air
		if math.Abs(room+w.band/2) < 0.15 {
			return false
		}
		r.Enters = map[string]string{coupon.Passes: coupon.No, coupon.No: coupon.Passes}[r.Enters]
		return true
	case "digits swapped":
		s := []byte(strconv.FormatFloat(mm, 'f', 2, 64))
		d := len(s) - 4
		s[d], s[d+2] = s[d+2], s[d]
		mm, _ = strconv.ParseFloat(string(s), 64)
		if math.Abs(mm-*r.Measured) < 0.5 {
			return false
		}
	default:
		slip, _ := strconv.ParseFloat(strings.TrimPrefix(what, "slip of "), 64)
		mm += slip * math.Copysign(1, w.NormFloat64())
	}
	r.Measured = &mm
	return true
}

// Every slip of 0.5 mm or more is named, one to four on a form, and nothing else.
func TestSlips(t *testing.T) {
	kinds := []string{"slip of 10", "slip of 1", "slip of 0.5", "decimal point", "digits swapped", "reversed"}
	falsely, tried, told := 0, map[string]int{}, map[string]int{}
	worlds := deep(3, 120)
	for i := range worlds {
		w := draw(uint64(1000+i), []string{"laser", "router", "print"}[i%3], manner{})
		rows, o := filled(t, w, 24)
		for i := range rows {
			rows[i].Line = i
		}
		wrong := map[int]string{}
		for range 1 + w.IntN(4) {
			at, what := w.IntN(len(rows)), kinds[w.IntN(len(kinds))]
			if wrong[at] == "" && spoil(w, &rows[at], what) {
				wrong[at] = what
				tried[what]++
			}
		}
		res, err := Process(rows, o)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range res.Outliers {
			if what := wrong[x.Line]; what == "" {
				falsely++
				t.Logf("world %d: %s is none: %s", i, x.ID, x.Says)
			} else if strings.Contains(x.Says, strings.TrimPrefix(what, "slip of ")) {
				told[what]++
			}
			delete(wrong, x.Line)
		}
		for at, what := range wrong {
			t.Errorf("world %d: %s of %+v was missed", i, what, rows[at])
		}
	}
	if falsely > max(worlds/20, 1) {
		t.Errorf("%d rows named that were right, in %d forms", falsely, worlds)
	}
	for what, n := range tried {
		if told[what] < n*9/10 {
			t.Errorf("%s: %d of %d were told as what they were", what, told[what], n)
		}
	}
	t.Logf("tried %v, told as such %v, named that were right %d", tried, told, falsely)
}
