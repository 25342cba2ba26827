package measure

import (
	"fmt"
	"math"
	"strings"

	"reseat/jig/geom"
)

// TouchKind says what was touched to find zero.
type TouchKind string

// What can be touched. Left, right and start are the board's edges, as it was drawn.
const (
	TouchRim   TouchKind = "rim"   // of a hole, a dot or a pin
	TouchLeft  TouchKind = "left"  // the left edge
	TouchRight TouchKind = "right" // the right edge
	TouchStart TouchKind = "start" // the start end
	TouchTop   TouchKind = "top"   // the top, for Z
)

var touchKinds = []TouchKind{TouchRim, TouchLeft, TouchRight, TouchStart, TouchTop}

// ZeroTouch is one touch. Millimetres, machine frame.
type ZeroTouch struct {
	Line     int // of the file it came from
	Kind     TouchKind
	At       geom.Vec // the tool's or probe's centre
	ZMM      float64  // of the tool's tip; for top only
	FeelerMM float64  // paper or gauge between tip and top; for top only, 0: none
}

// The layouts of a file of touches: with a top and without.
var zeroLayouts = []layout{
	{"kind", "x_mm", "y_mm"},
	{"kind", "x_in", "y_in"},
	{"kind", "x_mm", "y_mm", "z_mm", "feeler_mm"},
	{"kind", "x_in", "y_in", "z_in", "feeler_in"},
}

// largestFeelerMM is thicker than any paper, feeler gauge or gauge block that is laid
// under a tool. Common practice, no source.
const largestFeelerMM = 50.0

// ReadZero reads touches from CSV text: a header `kind,x_mm,y_mm` in any order, then
// one touch per line, `kind` being rim, left, right, start or top. A top needs the
// columns z_mm and feeler_mm as well, which stay empty for the others. The unit stands
// in the header; x_in, y_in, z_in and feeler_in are inches. Empty lines and lines
// that start with # are skipped; blanks around a field, quotes and a byte order mark
// do no harm. Numbers are plain, with a decimal point. file is used in messages only.
//
// The error is Faults: every fault in the file with its place and what would do.
func ReadZero(file string, data []byte) ([]ZeroTouch, error) {
	p := zeroParser{table: table{file: file, layouts: zeroLayouts}, seen: map[ZeroTouch]int{}}
	if p.read(data, p.row) && len(p.faults) == 0 {
		p.checkEnough()
	}
	if len(p.faults) > 0 {
		return nil, p.faults
	}
	return p.touches, nil
}

// Rim returns the points touched on a rim, for ZeroCircle.
func Rim(touches []ZeroTouch) (out []geom.Vec) {
	for _, t := range touches {
		if t.Kind == TouchRim {
			out = append(out, t.At)
		}
	}
	return out
}

// zeroParser holds what was read so far and every fault found.
type zeroParser struct {
	table
	touches []ZeroTouch
	seen    map[ZeroTouch]int // touch without line -> line where it stood first
}

func (p *zeroParser) row(number int, fields []field) {
	before := len(p.faults)
	r := ZeroTouch{Kind: p.kind(number, fields[p.columns["kind"]])}
	r.At.X = p.length(number, 1, fields)
	r.At.Y = p.length(number, 2, fields)
	switch deep := len(p.in) > 3; {
	case r.Kind == TouchTop && !deep:
		p.fault(number, 1, "a touch of the top has no height", "give the file the columns "+p.inUnit(2).String())
	case r.Kind == TouchTop:
		r.ZMM = p.length(number, 3, fields)
		r.FeelerMM = p.feeler(number, fields)
	case deep && r.Kind != "":
		p.empty(number, fields)
	}
	if len(p.faults) > before {
		return
	}
	if first, twice := p.seen[r]; twice {
		p.fault(number, 1, fmt.Sprintf("the same touch as on line %d", first), "leave one out, or measure again")
		return
	}
	p.seen[r] = number
	r.Line = number
	p.touches = append(p.touches, r)
}

// inUnit is the layout with heights in the header's unit.
func (p *zeroParser) inUnit(from int) layout {
	if strings.HasSuffix(p.in[1], "_in") {
		from++
	}
	return zeroLayouts[from]
}

// feeler reads the thickness of what lay between tool and top.
func (p *zeroParser) feeler(number int, fields []field) float64 {
	v := p.length(number, 4, fields)
	if f := fields[p.columns[p.in[4]]]; v < 0 || v > largestFeelerMM {
		p.fault(number, f.column, fmt.Sprintf("%s %s is no thickness of paper or gauge", p.in[4], f.text), fmt.Sprintf("write 0 for none, at most %g mm", largestFeelerMM))
	}
	return v
}

// empty asks that a touch in the plane has no height.
func (p *zeroParser) empty(number int, fields []field) {
	for _, name := range p.in[3:] {
		if f := fields[p.columns[name]]; f.text != "" {
			p.fault(number, f.column, fmt.Sprintf("%s %q stands in a line that is not of the top", name, f.text), "leave it empty; heights belong to top")
		}
	}
}

func (p *zeroParser) kind(number int, f field) TouchKind {
	var words []string
	for _, k := range touchKinds {
		if strings.EqualFold(f.text, string(k)) {
			return k
		}
		words = append(words, string(k))
	}
	may := "it is one of " + strings.Join(words, ", ")
	if g := nearest(strings.ToLower(f.text), words); g != "" {
		may = fmt.Sprintf("did you mean %q?", g)
	}
	p.fault(number, f.column, fmt.Sprintf("unknown kind of touch %q", f.text), may)
	return ""
}

// checkEnough refuses a file without touches, and a rim of fewer than three.
func (p *zeroParser) checkEnough() {
	if len(p.touches) == 0 {
		p.fault(0, 0, "holds no touches", "touch a rim at three places, or an edge, or the top")
		return
	}
	n, line := 0, math.MaxInt
	for _, t := range p.touches {
		if t.Kind == TouchRim {
			n, line = n+1, min(line, t.Line)
		}
	}
	if n > 0 && n < rimPoints {
		p.fault(line, 1, fmt.Sprintf("%d of the three points that a rim needs", n), "touch it at three or more places all round")
	}
}
