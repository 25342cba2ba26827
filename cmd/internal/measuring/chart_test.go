package measuring

import (
	"strings"
	"testing"
	"unicode/utf8"
)

func TestChartScale(t *testing.T) {
	for _, c := range []struct {
		name string
		off  []float64
		want float64
	}{
		{"nothing read", nil, 0.01},
		{"agreeing to the last digit", []float64{0.001, -0.002}, 0.01},
		{"just the step", []float64{0.02}, 0.02},
		{"just over the step", []float64{0.0201, -0.01}, 0.05},
		{"the negative is the largest", []float64{0.01, -0.31}, 0.5},
		{"a decade", []float64{-0.9}, 1},
		{"a power that rounds", []float64{0.1}, 0.1},
		{"metres", []float64{1234}, 2000},
	} {
		if got := chartScale(c.off); got != c.want {
			t.Errorf("%s: a full bar is %g, want %g", c.name, got, c.want)
		}
	}
}

// TestResidualBar: a bar's centre line stands under the head's
// zero, and it never leaves its column.
func TestResidualBar(t *testing.T) {
	head := barHead(0.05, "left", "right")
	width, zero := utf8.RuneCountInString(head), strings.Index(head, " 0 ")+1
	for _, c := range []struct {
		x           float64
		left, right int
	}{{0, 0, 0}, {0.05, 0, barHalf}, {-0.05, barHalf, 0}, {0.025, 0, 8}, {-0.001, 0, 0}, {99, 0, barHalf}} {
		s := residualBar(c.x, 0.05, true)
		mid := strings.Index(s, "|")
		if len(s) > width || mid != zero || strings.Count(s[:mid], "#") != c.left || strings.Count(s[mid:], "#") != c.right {
			t.Errorf("%g is drawn as %q under %q", c.x, s, head)
		}
	}
}

// TestFarthestOff: a long list shows those that lie farthest off, in the file's order.
func TestFarthestOff(t *testing.T) {
	off := make([]float64, 1000)
	for i := range off {
		off[i] = float64(i%7) / 1e4
	}
	off[999], off[3] = 1, -2
	got := farthestOff(off)
	if len(got) != rowsShown || got[len(got)-1] != 999 || got[0] != 3 {
		t.Errorf("%d rows, %v", len(got), got)
	}
	if got := farthestOff(off[:rowsShown]); len(got) != rowsShown {
		t.Errorf("a list that fits is cut to %d", len(got))
	}
}
