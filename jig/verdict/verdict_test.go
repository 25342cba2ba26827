package verdict

import (
	"math"
	"testing"
)

func TestJudge(t *testing.T) {
	half := func(v float64) *float64 { return &v }
	for _, c := range []struct {
		name         string
		value, limit float64
		half         *float64
		want         Word
	}{
		{"interval inside", 0.05, 0.10, half(0.04), Good},
		{"interval just inside, other sign", -0.05, 0.10, half(0.05), Good},
		{"interval over the limit", 0.05, 0.10, half(0.06), Inconclusive},
		{"interval wholly outside", -0.15, 0.10, half(0.04), OutOfTolerance},
		{"outside, but only just not wholly", 0.15, 0.10, half(0.05), Inconclusive},
		{"nothing to judge by", 0, 0.10, nil, Inconclusive},
	} {
		t.Run(c.name, func(t *testing.T) {
			if v := Judge("place", c.value, c.half, c.limit); v.Word != c.want {
				t.Errorf("%s, want %s", v.Word, c.want)
			}
		})
	}
	if v := JudgePrecision("pose", half(0.2), 0.1); v.Word != Inconclusive || v.Value != nil {
		t.Errorf("an interval wider than the limit: %+v", v)
	}
}

// TestBecause: a reason never makes a verdict milder, and never changes the one it was made from.
func TestBecause(t *testing.T) {
	h := 0.01
	v := Judge("pose", 0, &h, 0.1)
	w := v.Because(Outlier, "line 3 does not belong", "measure it again")
	if x := w.Because(Inconclusive, "too few"); x.Word != Outlier || len(x.Reasons) != 2 || len(x.Remedy) != 1 {
		t.Errorf("%+v", x)
	}
	if !v.IsGood() || len(v.Reasons) != 0 {
		t.Errorf("changed: %+v", v)
	}
	if got := All([]Verdict{v, w}); got != Outlier {
		t.Errorf("all: %s", got)
	}
	if got := All(nil); got != Good {
		t.Errorf("none: %s", got)
	}
}

func TestLeftMM(t *testing.T) {
	for _, c := range []struct {
		name string
		got  float64
		want float64
	}{
		{"two moves of 0.03", LeftMM(0.1, 0.03, 0.03), 0.0905539}, // sqrt(0.01 - 0.0018)
		{"nothing beside", LeftMM(0.1), 0.1},
		{"used up", LeftMM(0.1, 0.2), 0.03},
	} {
		if math.Abs(c.got-c.want) > 1e-7 {
			t.Errorf("%s: %.7f, want %.7f", c.name, c.got, c.want)
		}
	}
}
