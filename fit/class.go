package fit

import (
	"fmt"
	"strings"
)

// A Class is a tolerance class: the letters of the fundamental deviation and the grade, as in
// H7 (a hole, capitals) or m6 (a shaft, small letters). The zero value is no class.
type Class struct {
	Letters string // "H", "JS", "m", "zc": capitals for a hole, small letters for a shaft
	Grade   Grade
}

// String gives the class as it is written on a drawing: "H7", "js6", "H01".
func (c Class) String() string { return c.Letters + c.Grade.digits() }

// IsHole reports whether c is the class of a hole (capital letters).
func (c Class) IsHole() bool {
	return c.Letters != "" && c.Letters[0] >= 'A' && c.Letters[0] <= 'Z'
}

// ParseClass reads a tolerance class such as "H7", "m6", "JS9" or "zc10"; spaces around it are
// let through. The error says what is wrong and what would do.
//
// ParseClass does not ask whether the class exists at some size: that is for [ClassLimits].
func ParseClass(s string) (Class, error) {
	t := strings.TrimSpace(s)
	letters := strings.TrimRight(t, "0123456789")
	digits := t[len(letters):]
	fault := func(why, remedy string) (Class, error) {
		return Class{}, fmt.Errorf("class %q: %s; %s", t, why, remedy)
	}
	g, isGrade := parseGrade(digits)
	if !isGrade && digits == "" {
		digits = "7"
	}
	upper, lower := strings.ToUpper(letters), strings.ToLower(letters)
	switch {
	case t == "":
		return fault("no class is given", "write letters and a grade, such as H7 or m6")
	case len(t) > longestClass:
		t = t[:longestClass] + "..."
		return fault("this is too long for a class", "write letters and a grade, such as H7 or m6")
	case letters == "":
		return fault("there are no letters before the grade", "write H"+digits+" for a hole or h"+digits+" for a shaft")
	case upper == "IT":
		return fault("a standard tolerance has no position", "add the letters of a class, such as H7 in place of IT7")
	case len(lower) == 1 && strings.Contains("iloqw", lower):
		return fault("the standard leaves out I, L, O, Q and W, which look like other signs",
			"use a letter from A to Z other than these, or ZA, ZB, ZC")
	case letterOf(upper) == noLetter:
		return fault("there is no fundamental deviation with these letters",
			"use A to ZC for a hole or a to zc for a shaft (CD, EF, FG and JS among them)")
	case letters != upper && letters != lower:
		return fault("capital and small letters are mixed",
			"write "+upper+digits+" for a hole or "+lower+digits+" for a shaft")
	case !isGrade:
		return fault("the grade is one of 01, 0, 1 to 18", "write "+letters+"7, or another of these grades")
	}
	return Class{Letters: letters, Grade: g}, nil
}

// longestClass is longer than any class, in bytes.
const longestClass = 16
