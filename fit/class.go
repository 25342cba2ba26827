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

// ParseClass reads a tolerance class such as "H7", "m6", "JS9" or "zc10". Spaces around it are
// let through. Anything else gives a [ClassError] with the remedy.
//
// ParseClass does not ask whether the class exists at some size: that is for [ClassLimits].
func ParseClass(s string) (Class, error) {
	t := strings.TrimSpace(s)
	n := 0
	for n < len(t) && isLetter(t[n]) {
		n++
	}
	letters, digits := t[:n], t[n:]
	fault := func(why, remedy string) (Class, error) {
		return Class{}, &ClassError{Text: t, Why: why, Remedy: remedy}
	}
	switch {
	case t == "":
		return fault("no class is given", "write letters and a grade, such as H7 or m6")
	case len(t) > 16:
		return Class{}, &ClassError{Text: t[:12] + "...", Why: "this is too long for a class", Remedy: "write letters and a grade, such as H7 or m6"}
	case letters == "":
		return fault("there are no letters before the grade", "write H"+onlyDigits(digits)+" for a hole or h"+onlyDigits(digits)+" for a shaft")
	case strings.EqualFold(letters, "IT"):
		return fault("a standard tolerance has no position", "add the letters of a class, such as H7 in place of IT7")
	}
	upper, lower := strings.ToUpper(letters), strings.ToLower(letters)
	if letterOf(upper) == noLetter {
		return fault(unknownLetters(lower))
	}
	if letters != upper && letters != lower {
		return fault("capital and small letters are mixed", "write "+upper+digits+" for a hole or "+lower+digits+" for a shaft")
	}
	if digits == "" {
		return fault("there is no grade behind the letters", "write "+letters+"7, or another grade from 01, 0, 1 to 18")
	}
	g, ok := parseGrade(digits)
	if !ok {
		return fault("the grade is one of 01, 0, 1 to 18", "write "+letters+"7, or another of these grades")
	}
	return Class{Letters: letters, Grade: g}, nil
}

// unknownLetters says why letters (small) name no fundamental deviation, and the remedy.
func unknownLetters(lower string) (why, remedy string) {
	switch lower {
	case "i", "l", "o", "q", "w":
		return "the standard leaves out I, L, O, Q and W, which look like other signs",
			"use a letter from A to Z other than these, or ZA, ZB, ZC"
	}
	return "there is no fundamental deviation with these letters",
		"use A to ZC for a hole or a to zc for a shaft (CD, EF, FG and JS among them)"
}

// onlyDigits gives s when it is a grade and "7" otherwise, for use in a remedy.
func onlyDigits(s string) string {
	if _, ok := parseGrade(s); ok {
		return s
	}
	return "7"
}

func isLetter(b byte) bool { return b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' }

// A ClassError reports a text that is no tolerance class.
type ClassError struct {
	Text   string
	Why    string
	Remedy string
}

func (e *ClassError) Error() string {
	return fmt.Sprintf("fit: class %q: %s; %s", e.Text, e.Why, e.Remedy)
}
