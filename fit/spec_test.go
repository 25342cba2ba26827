package fit

import (
	"math"
	"strings"
	"testing"
)

func TestParseSpec(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"6 H7/m6", "6 H7/m6"},
		{"6H7/m6", "6 H7/m6"},
		{"6 H7", "6 H7"},
		{"6H7", "6 H7"},
		{"6m6", "6 m6"},
		{" 6  H7 / m6 ", "6 H7/m6"},
		{"6 mm H7", "6 H7"},
		{"6mm H7", "6 H7"},
		{"6mmm6", "6 m6"},
		{"6.35 js6", "6.35 js6"},
		{".5 H7", "0.5 H7"},
		{"\u00f86 H7/h6", "6 H7/h6"},
		{"\u2300 6 H7/h6", "6 H7/h6"},
		{"1/4 in H7/h6", "6.35 H7/h6"},
		{"1/4in H7/h6", "6.35 H7/h6"},
		{`1/4" H7`, "6.35 H7"},
		{"0.25in H7", "6.35 H7"},
		{"0.25 inch H7", "6.35 H7"},
		{"1 1/4 in H7", "31.75 H7"},
		{"6 m6/H7", "6 H7/m6"},
		{"6 H01", "6 H01"},
		{"500 zc7", "500 zc7"},
	} {
		t.Run(c.text, func(t *testing.T) {
			s, err := ParseSpec(c.text)
			if err != nil {
				t.Fatal(err)
			}
			if got := s.String(); got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

// TestBadSpecs: every fault is told in one line, with what to write instead.
func TestBadSpecs(t *testing.T) {
	const wanted = "; write a size and a class or a pair, such as 6 H7 or 6 H7/m6"
	for _, c := range []struct{ text, want string }{
		{"", `"": the size must stand first` + wanted},
		{"6", `"6": want a size, then one class, or two with a / between` + wanted},
		{"H7", `"H7": the size must stand first` + wanted},
		{"six H7", `"six H7": the size must stand first` + wanted},
		{"6 H7/H7", `pair H7/H7: both are holes; write the shaft in small letters: H7/h7`},
		{"6 h7/m6", `pair h7/m6: both are shafts; write the hole in capitals: H7/m6`},
		{"600 H7", `size 600 mm: give the nominal diameter, over 0 and up to 500 mm`},
		{"-6 H7", `size -6 mm: give the nominal diameter, over 0 and up to 500 mm`},
		{"0 H7", `size 0 mm: give the nominal diameter, over 0 and up to 500 mm`},
		{"20 in H7", `size 508 mm: give the nominal diameter, over 0 and up to 500 mm`},
		{"6,0 H7", `6,0 has a decimal comma (write 6.0, not 6,0)`},
		{"1/4 H7", `the fraction 1/4 has no unit (write 1/4 in)`},
		{"1/0 in H7", `1/0 in divides by zero`},
		{"6..0 H7", `want a length, got "6..0" (write a number of mm, or one with its unit: 6 mm, 1/4 in)`},
		{"6 Hm7", `class "Hm7": there is no fundamental deviation with these letters; use A to ZC for a hole or a to zc for a shaft (CD, EF, FG and JS among them)`},
		{"6 H", `class "H": the grade is one of 01, 0, 1 to 18; write H7, or another of these grades`},
		{"6 H19", `class "H19": the grade is one of 01, 0, 1 to 18; write H7, or another of these grades`},
		{"6 H07", `class "H07": the grade is one of 01, 0, 1 to 18; write H7, or another of these grades`},
		{"6 i7", `class "i7": the standard leaves out I, L, O, Q and W, which look like other signs; use a letter from A to Z other than these, or ZA, ZB, ZC`},
		{"6 Js7", `class "Js7": capital and small letters are mixed; write JS7 for a hole or js7 for a shaft`},
		{"6 IT7", `class "IT7": a standard tolerance has no position; add the letters of a class, such as H7 in place of IT7`},
		{"6 H7/", `class "": no class is given; write letters and a grade, such as H7 or m6`},
		{"6 H7/m6/m6", `"6 H7/m6/m6": want a size, then one class, or two with a / between` + wanted},
		{strings.Repeat("9", 65) + " H7", `"999999999999"...: the text is too long` + wanted},
		{"6 Z01", `Z01 at 6 mm is not defined: holes K to ZC start at grade 3, the finest with a delta; the nearest defined class is Z3 (seldom made; ISO 286-2 tabulates Z6)`},
		{"0.5 B9", `B9 at 0.5 mm is not defined: A, B, a and b are not used up to 1 mm; the nearest defined class is C9`},
		{"10 t6", `t6 at 10 mm is not defined: T and t start above 24 mm; the nearest defined class is u6`},
		{"60 CD8", `CD8 at 60 mm is not defined: CD, EF, FG and cd, ef, fg are given up to 50 mm only; the nearest defined class is D8`},
		{"6 J5/h5", `J5 at 6 mm is not defined: J is given in grades 6 to 8 only and j in 5 to 8; the nearest defined class is JS5`},
		{"0.5 H14", `H14 at 0.5 mm is not defined: IT14 and coarser are not used up to 1 mm; the nearest defined class is H13`},
	} {
		if _, err := ParseSpec(c.text); err == nil || err.Error() != c.want {
			t.Errorf("%q\ngot  %v\nwant %s", c.text, err, c.want)
		}
	}
	for _, text := range []string{"0.5 B9/a9", "6 H99/m77"} { // both classes are named
		_, err := ParseSpec(text)
		j, ok := err.(interface{ Unwrap() []error })
		if !ok || len(j.Unwrap()) != 2 {
			t.Errorf("%s: want two faults, got %v", text, err)
		}
	}
}

func TestBadValues(t *testing.T) {
	for _, size := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -6, 500.0001, 1e300} {
		if _, err := ClassLimits(size, Class{"H", IT7}); err == nil {
			t.Errorf("ClassLimits takes %v", size)
		}
		if _, err := Tolerance(size, IT7); err == nil {
			t.Errorf("Tolerance takes %v", size)
		}
	}
	for _, c := range []Class{{}, {"H", -1}, {"H", 20}, {"Q", IT7}, {"Js", IT7}, {"H7", IT7}} {
		if _, err := ClassLimits(6, c); err == nil {
			t.Errorf("%#v is taken", c)
		}
	}
	if _, err := Tolerance(6, 42); err == nil {
		t.Error("IT42 is taken")
	}
	if _, err := Tolerance(0.5, IT14); err == nil {
		t.Error("IT14 at 0.5 mm is taken")
	}
	if _, err := newFit(6, Class{"m", IT6}, Class{"H", IT7}); err == nil ||
		!strings.Contains(err.Error(), "write H7/m6") {
		t.Error(err)
	}
}

// FuzzParseSpec: no text panics, an error stays of a length to read, and what was read is read
// again from its own String.
func FuzzParseSpec(f *testing.F) {
	for _, s := range []string{"6 H7/m6", "6H7", "1/4 in H7/h6", "1 1/4 in zc9", "6,0 H7", "-6 H7", "6 Z01", "6mm6",
		"\u00f86 H7", "0.5 B9"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ParseSpec(text)
		if err != nil {
			// a text shown twice, each byte as four when it must be escaped
			if n := len(err.Error()); n > 2*4*longestSpec+200 {
				t.Errorf("message of %d bytes", n)
			}
			return
		}
		again, err := ParseSpec(s.String())
		if err != nil || again.String() != s.String() {
			t.Fatalf("%q: %v, again %v, %v", text, s, again, err)
		}
		if f, both, err := s.Fit(); both && (err != nil || f.Kind == "") {
			t.Fatalf("%q: %v", text, err)
		}
	})
}

func TestParseSize(t *testing.T) {
	for text, want := range map[string]float64{"6": 6, " 6 mm ": 6, "\u00f86": 6, "1/4 in": 6.35, "1 1/2 in": 38.1,
		"0.25in": 6.35} {
		if got, err := ParseSize(text); err != nil || math.Abs(got-want) > 1e-9 { // the rounding of inches times 25.4
			t.Errorf("%q: %v, %v; want %g", text, got, err, want)
		}
	}
	for text, want := range map[string]string{"6m6": "want a length", "501": "up to 500 mm", "6 cm": "write 60 mm"} {
		if _, err := ParseSize(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}
