// Package probelog reads what controllers write when a touch probe meets something: the
// console log of a small controller, with a line such as [PRB:-61.250,-214.003,-12.480:1]
// in machine coordinates for each probing move, or the file that an RS274/NGC controller
// writes between PROBEOPEN and PROBECLOSE, nine numbers a line (x y z a b c u v w) in the
// work coordinates that were in force.
package probelog

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Probe is one probing move.
type Probe struct {
	Line int        // of the log
	At   [3]float64 // where it ended, work coordinates, in the unit of the log
	Met  bool       // false: it met nothing on its way
}

// Zero is where the work coordinates begin, in machine coordinates.
type Zero [3]float64

const (
	// largest bounds a coordinate, in mm or inches: beyond every machine.
	largest = 1e5
	// mostBytes bounds a log.
	mostBytes = 16 << 20
	// columns are those of PROBEOPEN's file.
	columns = 9
	// faultsShown bounds a list of faults, as those of a readings file.
	faultsShown = 20
)

// report finds what a small controller tells in brackets: a probe's result, or a line of
// what it prints when asked for its parameters with $#. What stands around it on the line,
// such as a sender's clock, does no harm (github.com/gnea/grbl, doc/markdown/interface.md).
var report = regexp.MustCompile(`\[(PRB|G5[4-9](?:\.[1-3])?|G92|TLO):([^\]]*)\]?`)

// IsLog reports whether text looks like a log of either kind, and not like a readings file.
func IsLog(data []byte) bool {
	if bytes.Contains(data, []byte("[PRB:")) {
		return true
	}
	first, _, _ := strings.Cut(strings.TrimSpace(string(data)), "\n")
	return ninths(first)
}

// ninths reports whether a line is of nine numbers parted by blanks.
func ninths(line string) bool {
	f := strings.Fields(line)
	for _, w := range f {
		if _, ok := number(w); !ok {
			return false
		}
	}
	return len(f) == columns
}

// Read reads a log of either kind, told by its content. zero is where the work coordinates
// begin; nil: the log itself says so, in the lines [G54:...], [G92:...] and [TLO:...]. It is
// left alone for a log in work coordinates. file is used in messages only. The error joins
// every fault, each with its line and what would do.
func Read(file string, data []byte, zero *Zero) ([]Probe, error) {
	r := reader{file: file, zero: zero}
	switch {
	case len(data) > mostBytes:
		r.fault(0, "is %d bytes long (a log has at most %d)", len(data), mostBytes)
	case bytes.IndexByte(data, 0) >= 0 || !utf8.Valid(data):
		r.fault(0, "is not text (save the console as plain text)")
	case bytes.Contains(data, []byte("[PRB:")):
		r.console(string(data))
	default:
		r.nine(string(data))
	}
	if len(r.faults) == 0 && len(r.probes) == 0 {
		r.fault(0, "holds no probing move: neither [PRB:x,y,z:1] lines nor lines of %d numbers", columns)
	}
	if n := len(r.faults); n > faultsShown {
		r.faults = append(r.faults[:faultsShown], fmt.Errorf("and %d faults more; mend these first", n-faultsShown))
	}
	return r.probes, errors.Join(r.faults...)
}

type reader struct {
	file   string
	zero   *Zero
	probes []Probe
	faults []error
}

func (r *reader) fault(line int, format string, a ...any) {
	place := r.file
	if line > 0 {
		place = fmt.Sprintf("%s:%d", r.file, line)
	}
	r.faults = append(r.faults, fmt.Errorf("%s: "+format, append([]any{place}, a...)...))
}

// console reads the log of a small controller. Its probe lines are machine coordinates:
//
//	work = machine - G54 - G92 - (0, 0, TLO)
//
// Asked for its parameters the controller repeats the last probe's result, right behind the
// tool's length: that is no touch. An offset that is told between two touches holds from
// there on; touches before the first take the first.
func (r *reader) console(text string) {
	var offset, hasOffset = map[string][3]float64{}, false
	var early int // touches before the first offset
	shift := func(p *Probe) {
		z := r.zero
		if z == nil {
			z = &Zero{}
			for i := range z {
				z[i] = offset["G54"][i] + offset["G92"][i] + offset["TLO"][i]
			}
		}
		for i := range p.At {
			p.At[i] -= z[i]
		}
	}
	number, afterTLO := 0, false
	for line := range strings.Lines(text) {
		number++
		if strings.TrimSpace(line) == "ok" {
			afterTLO = false // the parameters end here
		}
		for _, m := range report.FindAllStringSubmatch(line, -1) {
			what, values := m[1], m[2]
			repeated := what == "PRB" && afterTLO
			afterTLO = what == "TLO"
			if repeated {
				continue
			}
			v, met, says := r.values(what, values, strings.HasSuffix(m[0], "]"))
			switch {
			case says != "":
				r.fault(number, "%s: %s", strings.TrimSpace(m[0]), says)
			case what == "PRB":
				p := Probe{Line: number, At: v, Met: met}
				if hasOffset || r.zero != nil {
					shift(&p)
				} else {
					early++
				}
				r.probes = append(r.probes, p)
			case what == "G54" || what == "G92" || what == "TLO":
				offset[what] = v
				hasOffset = hasOffset || what == "G54"
			}
		}
	}
	for i := range r.probes[:early] {
		shift(&r.probes[i])
	}
	if early > 0 && !hasOffset && len(r.faults) == 0 {
		r.fault(0, "its touches are in machine coordinates, and nothing says where the work zero is (type $# at the "+
			"controller, which prints [G54:...], and put that into the log; or --work-zero X,Y,Z, the machine's place of X0 "+
			"Y0 Z0)")
	}
}

// values reads what stands behind the colon. says is what is wrong.
func (r *reader) values(what, text string, closed bool) (v [3]float64, met bool, says string) {
	if !closed {
		return v, false, "the line is cut short; save the log again"
	}
	if what == "PRB" {
		at, flag, ok := strings.Cut(text, ":")
		if !ok || flag != "0" && flag != "1" {
			return v, false, "want [PRB:x,y,z:1], or :0 where nothing was met"
		}
		text, met = at, flag == "1"
	}
	words := strings.Split(text, ",")
	if what == "TLO" && len(words) == 1 {
		words = []string{"0", "0", words[0]}
	}
	if len(words) < len(v) {
		return v, false, "want at least three numbers with commas between"
	}
	for i, w := range words {
		x, ok := number(strings.TrimSpace(w))
		if !ok {
			return v, false, fmt.Sprintf("%q is no plain number", w)
		}
		if i < len(v) {
			v[i] = x
		}
	}
	return v, met, ""
}

// nine reads PROBEOPEN's file.
func (r *reader) nine(text string) {
	at := 0
	for line := range strings.Lines(strings.TrimPrefix(text, "\ufeff")) {
		at++
		line = strings.TrimSpace(line)
		switch {
		case line == "":
		case !ninths(line):
			r.fault(at, "want nine numbers: x y z a b c u v w, as PROBEOPEN writes them")
		default:
			p := Probe{Line: at, Met: true}
			for i, w := range strings.Fields(line)[:len(p.At)] {
				p.At[i], _ = number(w)
			}
			r.probes = append(r.probes, p)
		}
	}
}

// number reads a plain decimal number of a size that a machine may have.
func number(s string) (float64, bool) {
	if strings.Trim(s, "+-.0123456789eE") != "" {
		return 0, false
	}
	x, err := strconv.ParseFloat(s, 64)
	return x, err == nil && math.Abs(x) <= largest
}

// ParseZero reads X,Y,Z.
func ParseZero(text string) (*Zero, error) {
	words := strings.Split(text, ",")
	var z Zero
	if len(words) != len(z) {
		return nil, fmt.Errorf("%q: want three numbers, X,Y,Z, in mm", text)
	}
	for i, w := range words {
		x, ok := number(strings.TrimSpace(w))
		if !ok {
			return nil, fmt.Errorf("%q: %q is no plain number; want X,Y,Z in mm", text, w)
		}
		z[i] = x
	}
	return &z, nil
}
