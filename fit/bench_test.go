package fit

import "testing"

var benchClasses = []Class{{"H", IT7}, {"m", IT6}, {"zc", IT10}, {"M", IT6}, {"JS", IT9}, {"j", IT5}, {"ZA", IT7},
	{"a", IT11}}

// BenchmarkClassLimits is the figure of the contract: under 1 microsecond, no allocation.
func BenchmarkClassLimits(b *testing.B) {
	b.ReportAllocs()
	var sum float64
	for i := range b.N {
		l, err := ClassLimits(float64(i%499)+1.5, benchClasses[i%len(benchClasses)])
		if err != nil {
			b.Fatal(err)
		}
		sum += l.Upper
	}
	_ = sum
}

func BenchmarkParseSpec(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := ParseSpec("1/4 in H7/h6"); err != nil {
			b.Fatal(err)
		}
	}
}

// TestNoAllocation: a look-up that succeeds leaves no garbage.
func TestNoAllocation(t *testing.T) {
	n := testing.AllocsPerRun(100, func() {
		for _, c := range benchClasses {
			if _, err := ClassLimits(60, c); err != nil {
				t.Error(err)
			}
		}
	})
	if n != 0 {
		t.Errorf("%v allocations", n)
	}
}
