package gcode

import (
	"fmt"
)

// Dialect is a set of words that a controller understands.
type Dialect uint8

// The two dialects of the open standard (RS274/NGC) that are written.
const (
	// Plain is the smallest common subset of grbl 1.1, LinuxCNC and Marlin.
	Plain Dialect = iota

	// NGC adds G61 (keep to the path exactly), which grbl takes too, or G64 P with a
	// tolerance, which only LinuxCNC knows. On Marlin G61 moves to a stored place:
	// never send it there.
	NGC
)

func (d Dialect) String() string {
	switch d {
	case Plain:
		return "plain"
	case NGC:
		return "ngc"
	}
	return fmt.Sprintf("dialect %d", uint8(d))
}

// Style is how comments are marked. One file has one style (rule C13).
type Style uint8

// The two styles. Every controller of Plain knows the semicolon; a few senders
// know only parentheses, and Marlin needs an option for those.
const (
	Semicolon Style = iota // ; to the end of the line
	Paren                  // ( )
)

func (s Style) String() string {
	switch s {
	case Semicolon:
		return "semicolon"
	case Paren:
		return "paren"
	}
	return fmt.Sprintf("style %d", uint8(s))
}

// Options says how to write. The zero value is right for most machines.
type Options struct {
	Dialect  Dialect
	Comments Style

	// Decimals of every coordinate, 3 to 6. Default 3, a micrometre: fewer make grbl
	// refuse arcs (rule C09), more than 6 are refused by the judge.
	Decimals int

	// BlendMM is how far LinuxCNC may leave the path at corners, for a smoother run
	// (G64 P). Only with NGC; default 0: exact path (G61).
	BlendMM float64
}

const (
	defaultDecimals = 3
	mostDecimals    = 6

	// mostBlendMM is where blending is no longer a matter of smoothness. Our own.
	mostBlendMM = 0.5
)

// filled puts the defaults in.
func (o Options) filled() Options {
	if o.Decimals == 0 {
		o.Decimals = defaultDecimals
	}
	return o
}

// check tells what is wrong with filled options.
func (o Options) check() (faults []Fault) {
	add := func(format string, args ...any) {
		faults = append(faults, Fault{-1, fmt.Sprintf(format, args...)})
	}
	if o.Dialect > NGC {
		add("unknown %v; want plain or ngc", o.Dialect)
	}
	if o.Comments > Paren {
		add("unknown %v of comments; want semicolon or paren", o.Comments)
	}
	if o.Decimals < defaultDecimals || o.Decimals > mostDecimals {
		add("%d decimals; want %d to %d", o.Decimals, defaultDecimals, mostDecimals)
	}
	switch {
	case !(o.BlendMM >= 0 && o.BlendMM <= mostBlendMM): // NaN too
		add("blending of %g mm; want 0 to %g mm", o.BlendMM, mostBlendMM)
	case o.BlendMM > 0 && o.Dialect != NGC:
		add("blending needs the ngc dialect; %v has no word for it", o.Dialect)
	case o.BlendMM > 0 && o.grid().round(o.BlendMM) == 0:
		add("blending of %g mm is nothing at %d decimals", o.BlendMM, o.Decimals)
	}
	return faults
}
