package fit

import (
	"errors"
	"fmt"
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

// TestBadSpecs holds the exact message of every fault: one line, with what to write instead.
func TestBadSpecs(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", `fit: "": nothing is given; write a size and a class or a pair, such as 6 H7 or 6 H7/m6`},
		{"6", `fit: "6": the class is missing; write a size and a class or a pair, such as 6 H7 or 6 H7/m6`},
		{"H7", `fit: "H7": the size must stand first; write a size and a class or a pair, such as 6 H7 or 6 H7/m6`},
		{"6 H7/H7", `fit: pair H7/H7: both are holes; write the shaft in small letters: H7/h7`},
		{"6 h7/m6", `fit: pair h7/m6: both are shafts; write the hole in capitals: H7/m6`},
		{"6 Z01", `fit: Z01 at 6 mm is not defined: holes K to ZC start at grade 3, the finest with a delta; the nearest defined class is Z3 (seldom made; ISO 286-2 tabulates Z6)`},
		{"600 H7", `fit: size 600 mm: the tables end at 500 mm; give a size over 0 and up to 500 mm`},
		{"0.5 B9", `fit: B9 at 0.5 mm is not defined: A, B, a and b are not used up to 1 mm; the nearest defined class is C9`},
		{"-6 H7", `fit: "-6 H7": the size is negative; give the diameter itself, greater than 0`},
		{"0 H7", `fit: size 0 mm: a nominal size is greater than 0; give the diameter itself, in mm`},
		{"6,0 H7", `fit: "6,0 H7": the size has a comma; write it with a point: 6.0`},
		{"6 Hm7", `fit: class "Hm7": there is no fundamental deviation with these letters; use A to ZC for a hole or a to zc for a shaft (CD, EF, FG and JS among them)`},
		{"6 H", `fit: class "H": there is no grade behind the letters; write H7, or another grade from 01, 0, 1 to 18`},
		{"6 7", `fit: class "7": there are no letters before the grade; write H7 for a hole or h7 for a shaft`},
		{"6 H19", `fit: class "H19": the grade is one of 01, 0, 1 to 18; write H7, or another of these grades`},
		{"6 H07", `fit: class "H07": the grade is one of 01, 0, 1 to 18; write H7, or another of these grades`},
		{"6 i7", `fit: class "i7": the standard leaves out I, L, O, Q and W, which look like other signs; use a letter from A to Z other than these, or ZA, ZB, ZC`},
		{"6 ab7", `fit: class "ab7": there is no fundamental deviation with these letters; use A to ZC for a hole or a to zc for a shaft (CD, EF, FG and JS among them)`},
		{"6 Js7", `fit: class "Js7": capital and small letters are mixed; write JS7 for a hole or js7 for a shaft`},
		{"6 IT7", `fit: class "IT7": a standard tolerance has no position; add the letters of a class, such as H7 in place of IT7`},
		{"6 H7/", `fit: "6 H7/": a class is missing beside the /; write a size and a class or a pair, such as 6 H7 or 6 H7/m6`},
		{"6 H7/m6/m6", `fit: "6 H7/m6/m6": there are more than two classes; write a size and a class or a pair, such as 6 H7 or 6 H7/m6`},
		{"6 H7 m6", `fit: "6 H7 m6": "H7 m6" is not one class; write a size and a class or a pair, such as 6 H7 or 6 H7/m6`},
		{"1/4 H7", `fit: "1/4 H7": a fraction is an inch size; add the unit: 1/4 in H7`},
		{"1/4 mm H7", `fit: "1/4 mm H7": a fraction is an inch size; write in, or the size in mm as a decimal`},
		{"1/0 in H7", `fit: "1/0 in H7": the fraction is not a number; write it as 1/4 in or 1 1/4 in`},
		{"1/ in H7", `fit: "1/ in H7": the fraction is not a number; write it as 1/4 in or 1 1/4 in`},
		{"6..0 H7", `fit: "6..0 H7": the size is not a number; write a size and a class or a pair, such as 6 H7 or 6 H7/m6`},
		{"1e3 H7", `fit: "1e3 H7": "e3 H7" is not one class; write a size and a class or a pair, such as 6 H7 or 6 H7/m6`},
		{"20 in H7", `fit: size 508 mm: the tables end at 500 mm; give a size over 0 and up to 500 mm`},
		{"NaN H7", `fit: "NaN H7": the size must stand first; write a size and a class or a pair, such as 6 H7 or 6 H7/m6`},
		{"10 t6", `fit: t6 at 10 mm is not defined: T and t start above 24 mm; the nearest defined class is u6`},
		{"6 K9", `fit: K9 at 6 mm is not defined: K9 and coarser are given up to 3 mm only; the nearest defined class is K8`},
		{"6 j8", `fit: j8 at 6 mm is not defined: j8 is given up to 3 mm only; the nearest defined class is js8`},
		{"0.5 H14", `fit: H14 at 0.5 mm is not defined: IT14 and coarser are not used up to 1 mm; the nearest defined class is H13`},
		{"60 CD8", `fit: CD8 at 60 mm is not defined: CD, EF, FG and cd, ef, fg are given up to 50 mm only; the nearest defined class is D8`},
		{"6 J5/h5", `fit: J5 at 6 mm is not defined: J is given in grades 6 to 8 only and j in 5 to 8; the nearest defined class is JS5`},
		{"99999999999999999999999999999999999999999999999999999999999999999 H7", `fit: "999999999999...": the text is too long; write a size and a class or a pair, such as 6 H7 or 6 H7/m6`},
		{"99999999999999999999 H7", `fit: size 1e+20 mm: the tables end at 500 mm; give a size over 0 and up to 500 mm`},
	} {
		t.Run(c.text, func(t *testing.T) {
			_, err := ParseSpec(c.text)
			if err == nil {
				t.Fatal("no error")
			}
			if got := err.Error(); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
		})
	}
}

func TestErrorsHaveTypes(t *testing.T) {
	_, err := ParseSpec("0.5 B9")
	var u *UndefinedError
	if !errors.As(fmt.Errorf("wrapped: %w", err), &u) || u.Nearest.String() != "C9" || u.SizeMM != 0.5 {
		t.Errorf("0.5 B9: %#v", err)
	}
	_, err = ParseSpec("600 H7")
	var s *SizeError
	if !errors.As(err, &s) || s.SizeMM != 600 {
		t.Errorf("600 H7: %#v", err)
	}
	_, err = ParseSpec("6 H7/H7")
	var p *PairError
	if !errors.As(err, &p) {
		t.Errorf("6 H7/H7: %#v", err)
	}
	_, err = ParseSpec("6 H77")
	var c *ClassError
	if !errors.As(err, &c) {
		t.Errorf("6 H77: %#v", err)
	}
	_, err = ParseSpec("six H7")
	var x *SpecError
	if !errors.As(err, &x) {
		t.Errorf("six H7: %#v", err)
	}
}

func TestBadValues(t *testing.T) {
	h7 := Class{"H", IT7}
	for _, size := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -6, 500.0001, 1e300} {
		var s *SizeError
		if _, err := ClassLimits(size, h7); !errors.As(err, &s) {
			t.Errorf("ClassLimits(%v): %v", size, err)
		}
		if _, err := Tolerance(size, IT7); !errors.As(err, &s) {
			t.Errorf("Tolerance(%v): %v", size, err)
		}
		if _, _, err := Range(size, true); !errors.As(err, &s) {
			t.Errorf("Range(%v): %v", size, err)
		}
	}
	for _, c := range []Class{{}, {"H", -1}, {"H", 20}, {"Q", IT7}, {"Js", IT7}, {"H7", IT7}, {"HHHHHHHHHHHHHHHHHHHHHHHHHHHHH", IT7}} {
		var e *ClassError
		if _, err := ClassLimits(6, c); !errors.As(err, &e) {
			t.Errorf("%#v: %v", c, err)
		}
	}
	var g *GradeError
	if _, err := Tolerance(6, 42); !errors.As(err, &g) {
		t.Error(err)
	}
	if _, err := Tolerance(0.5, IT14); !errors.As(err, &g) {
		t.Error(err)
	}
	var p *PairError
	if _, err := NewFit(6, Class{"m", IT6}, Class{"H", IT7}); !errors.As(err, &p) || p.Remedy != "write H7/m6" {
		t.Error(err)
	}
}

func TestRange(t *testing.T) {
	for _, c := range []struct {
		size     float64
		fine     bool
		over, to float64
	}{{0.5, false, 0, 3}, {3, true, 0, 3}, {3.001, true, 3, 6}, {12, false, 10, 18}, {12, true, 10, 14}, {170, false, 120, 180}, {170, true, 160, 180}, {500, true, 450, 500}, {500, false, 400, 500}} {
		over, to, err := Range(c.size, c.fine)
		if err != nil || over != c.over || to != c.to {
			t.Errorf("%v: %v %v %v", c, over, to, err)
		}
	}
}

// longestMessage, in bytes: a text is shown twice at most, each byte as four when it must be
// escaped, and the words around it take less than 200.
const longestMessage = 2*4*longestSpec + 200

// FuzzParseSpec: no text panics, an error stays of a length to read, and what was read is read
// again from its own String.
func FuzzParseSpec(f *testing.F) {
	for _, s := range []string{
		"6 H7/m6", "6H7", "1/4 in H7/h6", "0.25in H7", "1 1/4 in zc9", "6 H7/H7", "6,0 H7",
		"-6 H7", "6 Z01", "600 H7", "6mm6", "\u00f86 H7", "1/0in H7", "0.5 B9", "6 K9",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ParseSpec(text)
		if err != nil {
			if n := len(err.Error()); n > longestMessage {
				t.Errorf("message of %d bytes", n)
			}
			return
		}
		again, err := ParseSpec(s.String())
		if err != nil {
			t.Fatalf("%q gave %q: %v", text, s, err)
		}
		if again.String() != s.String() || again.SizeMM != s.SizeMM {
			t.Fatalf("%q: %v, again %v", text, s, again)
		}
		if f, both, err := s.Fit(); both && (err != nil || f.Kind == "") {
			t.Fatalf("%q: %v", text, err)
		}
	})
}

func TestParseSize(t *testing.T) {
	const same = 1e-9 // mm: the rounding of inches times 25.4 stays far below
	for _, c := range []struct {
		text string
		want float64 // mm; 0: an error that contains says
		says string
	}{
		{"6", 6, ""},
		{" 6 mm ", 6, ""},
		{"\u00f86", 6, ""},
		{"1/4 in", 6.35, ""},
		{"1 1/2 in", 38.1, ""},
		{"0.25in", 6.35, ""},
		{"", 0, "write a size such as"},
		{"six", 0, "write a size such as"},
		{"6m6", 0, `"m6" is no unit`},
		{"6 cm", 0, "is no unit"},
		{"6,0", 0, "write it with a point: 6.0"},
		{"-6", 0, "negative"},
		{"1/4", 0, "add the unit"},
		{"501", 0, "the tables end at 500 mm"},
		{strings.Repeat("6", 65), 0, "too long"},
	} {
		t.Run(c.text, func(t *testing.T) {
			got, err := ParseSize(c.text)
			if c.says == "" && (err != nil || math.Abs(got-c.want) > same) {
				t.Errorf("got %v, %v; want %g", got, err, c.want)
			}
			if c.says != "" && (err == nil || !strings.Contains(err.Error(), c.says)) {
				t.Errorf("got %v, want %q", err, c.says)
			}
		})
	}
}

func TestParseSpecNamesBothClasses(t *testing.T) {
	for _, text := range []string{"0.5 B9/a9", "6 H99/m77"} {
		_, err := ParseSpec(text)
		j, ok := err.(interface{ Unwrap() []error })
		if !ok || len(j.Unwrap()) != 2 {
			t.Errorf("%s: want two faults, got %v", text, err)
		}
	}
}
