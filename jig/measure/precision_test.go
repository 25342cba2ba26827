package measure

import (
	"math"
	"testing"
)

// TestReach: what rounding does to a reading is known, and takes no factor of few readings;
// their scatter does.
func TestReach(t *testing.T) {
	const student1 = 12.706 // 95 %, one degree of freedom: any table
	for _, c := range []struct {
		name     string
		sse, max float64
	}{
		{"readings that agree by chance", 1e-8, 1.96 * displayMM / math.Sqrt(12)},
		{"readings that scatter", 0.01 * 0.01, student1 * 0.01},
	} {
		h := Precision{}.uncertainty(c.sse, 1).half(1)
		if math.Abs(*h-c.max) > 1e-4*c.max {
			t.Errorf("%s: +- %.5f, want %.5f", c.name, *h, c.max)
		}
	}
}
