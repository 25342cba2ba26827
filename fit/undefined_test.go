package fit

import "testing"

// TestUndefinedClasses: where classes start and end. The rules are those of ISO 286-1:2010
// (notes to tables 1 to 5): the start of t, v and y and the grades of j and J are seen in a
// public retyped copy of PN-EN ISO 286-1:2011, the 1 mm rules are recalled.
func TestUndefinedClasses(t *testing.T) {
	for _, c := range []struct {
		name  string
		class string
		in    []float64 // sizes, mm, that the class has limits at
		out   []float64
	}{
		{"A starts over 1", "A9", []float64{1.001, 3, 500}, []float64{0.5, 1}},
		{"a starts over 1", "a9", []float64{1.001, 3}, []float64{1}},
		{"B starts over 1", "B9", []float64{1.001, 3}, []float64{0.5, 1}},
		{"b starts over 1", "b9", []float64{1.001}, []float64{1}},
		{"C has no such rule", "C9", []float64{0.5, 1}, nil},
		{"N9 starts over 1", "N9", []float64{1.001, 500}, []float64{0.5, 1}},
		{"N8 has no such rule", "N8", []float64{0.5, 1}, nil},
		{"n9 is a shaft", "n9", []float64{0.5, 1}, nil},
		{"IT14 starts over 1", "H14", []float64{1.001}, []float64{0.5, 1}},
		{"IT13 has no such rule", "H13", []float64{0.5}, nil},
		{"js too", "js18", []float64{1.001}, []float64{1}},
		{"CD ends at 50", "CD8", []float64{0.5, 10, 50}, []float64{50.001, 500}},
		{"ef ends at 50", "ef6", []float64{3, 50}, []float64{51}},
		{"fg ends at 50", "fg6", []float64{3, 50}, []float64{51}},
		{"J from 6", "J5", nil, []float64{3, 500}},
		{"J6", "J6", []float64{3, 500}, nil},
		{"J to 8", "J9", nil, []float64{3, 500}},
		{"j from 5", "j4", nil, []float64{3, 500}},
		{"j5", "j5", []float64{3, 500}, nil},
		{"j to 7", "j7", []float64{3, 500}, nil},
		{"j8 to 3 mm", "j8", []float64{3}, []float64{3.001, 500}},
		{"j9", "j9", nil, []float64{3}},
		{"K9 to 3 mm", "K9", []float64{3}, []float64{3.001, 500}},
		{"K8 everywhere", "K8", []float64{3, 500}, nil},
		{"k13 everywhere", "k13", []float64{3, 500}, nil},
		{"T over 24", "T7", []float64{24.001, 500}, []float64{3, 24}},
		{"t over 24", "t6", []float64{24.001, 500}, []float64{3, 24}},
		{"V over 14", "V7", []float64{14.001, 500}, []float64{3, 14}},
		{"v over 14", "v6", []float64{14.001, 500}, []float64{14}},
		{"Y over 18", "Y7", []float64{18.001, 500}, []float64{18}},
		{"y over 18", "y6", []float64{18.001, 500}, []float64{18}},
		{"no delta for IT01", "Z01", nil, []float64{3, 6}},
		{"no delta for IT2", "K2", nil, []float64{3, 6}},
		{"delta from IT3", "K3", []float64{3, 6, 500}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			class, err := ParseClass(c.class)
			if err != nil {
				t.Fatal(err)
			}
			for _, size := range c.in {
				if _, err := ClassLimits(size, class); err != nil {
					t.Errorf("%g mm: %v", size, err)
				}
			}
			for _, size := range c.out {
				if l, err := ClassLimits(size, class); err == nil {
					t.Errorf("%g mm: got %v, want an error", size, l)
				}
			}
		})
	}
}

// TestHandbookLimits holds values that the sample does not carry, from other places.
func TestHandbookLimits(t *testing.T) {
	for _, c := range []struct {
		spec         string
		upper, lower float64
		source       string
	}{
		{"3 m6", 8, 2, "m6 of a dowel pin table, +2/+8"},
		{"6 m6", 12, 4, "the same"},
		{"10 m6", 15, 6, "the same"},
		{"12 m6", 18, 7, "the same"},
		{"12 h8", 0, -27, "h8 of ISO 2338 pins"},
		{"10 D8", 62, 40, "worked reamer example of two drill makers: hole 10.040 to 10.062"},
		{"300 M6", -9, -41, "ISO 286-1 table 2, note: -9 in place of -11; recalled"},
		{"240 M6", -8, -37, "rule with delta 9 at IT6"},
		{"8 JS7", 7.5, -7.5, "half of IT7 = 15"},
		{"20 JS7", 10.5, -10.5, "public tables differ: 10 (rounded down, older) and 10.5"},
		{"6 H01", 0.4, 0, "IT01, ISO 286-1 table 1"},
		{"6 p01", 12.4, 12, "sum of decimals must be clean"},
		{"0.8 H7", 10, 0, "first step holds all sizes up to 3 mm"},
	} {
		t.Run(c.spec, func(t *testing.T) {
			s, err := ParseSpec(c.spec)
			if err != nil {
				t.Fatal(err)
			}
			class := s.Hole
			if class == nil {
				class = s.Shaft
			}
			got, err := ClassLimits(s.SizeMM, *class)
			if want := (Limits{c.upper, c.lower}); err != nil || got != want {
				t.Errorf("got %v, %v; want %v (%s)", got, err, want, c.source)
			}
		})
	}
}
