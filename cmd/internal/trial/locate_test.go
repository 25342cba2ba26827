package trial

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"strings"
)

// locateTrial is how a board is measured for locate.
type locateTrial struct {
	name    string
	marks   []string // features
	edges   string   // touched: "left:100 right:20 start:-5", u, and v of the start
	sdMM    float64  // of a reading, each way
	firstMM float64  // own move of the first cut of every feature, 95 %, each way
	oddMM   float64  // one of the marks is off by this
	widthMM float64  // either end's width is known to plus or minus this, 95 %
	args    []string
	deep    bool   // only in the long mode
	owed    string // what is not held to yet, as in a table
}

// draw measures a board and judges the pose. When it is bored again its features move by
// cutMM each way, 95 %.
func (c locateTrial) draw(b *bench, r *rand.Rand, cutMM float64) outcome {
	d, cut := free(r), map[string]complex128{}
	for _, m := range b.marks { // where the first cut put it
		cut[m.name] = m.at*b.axis + blur(r, c.firstMM/normal95)
	}
	var text strings.Builder
	text.WriteString("name,x_mm,y_mm\n")
	odd := r.IntN(len(c.marks))
	for i, name := range c.marks {
		p := d.lies(cut[name]) + blur(r, c.sdMM)
		if i == odd {
			p += cmplx.Rect(c.oddMM, even(r, math.Pi))
		}
		fmt.Fprintf(&text, "%s,%.4f,%.4f\n", name, real(p), imag(p))
	}
	wider := [2]float64{c.widthMM / normal95 * r.NormFloat64(), c.widthMM / normal95 * r.NormFloat64()}
	b.touchEdges(&text, r, d, c.edges, wider, c.sdMM)

	over := b.marks[r.IntN(len(b.marks))] // where the answer is asked for
	exit, a := b.measure("locate", text.String(), append([]string{"--at", over.name}, c.args...)...)
	o := outcome{good: exit == 0}
	turn, has := a.number("pose.angle_rad")
	x, _ := a.number("pose.x_mm")
	y, _ := a.number("pose.y_mm")
	told := pose{turn, complex(x, y)}
	var program []complex128
	if o.good && c.firstMM > 0 && r.IntN(fewBoards/2) == 0 {
		program = b.bores()
	}
	for _, m := range b.marks {
		if at := told.lies(m.at * b.axis); program != nil && !slices.ContainsFunc(program, func(p complex128) bool {
			return cmplx.Abs(p-at) < roundedMM
		}) {
			b.t.Errorf("%s: no circle of the program is about %s at %.3f", c.name, m.name, at)
		}
		off := told.lies(m.at*b.axis) + blur(r, cutMM/normal95) - d.lies(cut[m.name])
		o.over = o.over || has && cmplx.Abs(off) > b.job.AccuracyMM
	}
	o.state(a, "angle", "pose.angle_rad", "certainty.angle_half_rad", d.turn)
	o.state(a, "start X", "pose.x_mm", "certainty.x_half_mm", real(d.shift))
	o.state(a, "start Y", "pose.y_mm", "certainty.y_half_mm", imag(d.shift))
	lies := d.lies(over.at * b.axis)
	o.state(a, "feature X", "at.x_mm", "at.x_half_mm", real(lies))
	o.state(a, "feature Y", "at.y_mm", "at.y_half_mm", imag(lies))
	return o
}

// roundedMM is how far a middle may lie off whose circle's start and radius are written to 0.001.
const roundedMM = 0.002

// named are features by the words of their names after "dot ".
func named(dots string) (names []string) {
	for _, d := range strings.Split(dots, ", ") {
		names = append(names, "dot "+d)
	}
	return names
}

// locateTables are boards put back by hand, and the pose taken.
func locateTables(b *bench) (tables []table) {
	two, three, four := named("3, 19"), named("3, 12 left, 19"), named("3, 7, 12 right, 19")
	six := named("3, 5, 10, 12 left, 12 right, 19")
	for _, c := range []locateTrial{
		{name: "six dots, 0.012", deep: true, marks: six, sdMM: 0.012},
		{name: "six dots, 0.03", deep: true, marks: six, sdMM: 0.03},
		{name: "four dots, 0.012", marks: four, sdMM: 0.012},
		{name: "three dots, 0.012", deep: true, marks: three, sdMM: 0.012},
		{name: "two dots, 0.012", deep: true, marks: two, sdMM: 0.012},
		{name: "two dots, repeat stated", deep: true, marks: two, sdMM: 0.012, args: []string{"--error-mm", "0.0235"}},
		{name: "three dots, repeat stated", deep: true, marks: three, sdMM: 0.012, args: []string{"--error-mm", "0.0235"}},
		{name: "two dots near each other, repeat stated", deep: true, marks: named("3, 7"), sdMM: 0.012,
			args: []string{"--error-mm", "0.0235"}},
		{name: "one dot, both edges, start", marks: named("12 left"), sdMM: 0.012,
			edges: "left:30 left:240 left:450 right:30 right:240 right:450 start:-8 start:8"},
		{name: "one dot, one edge, width known to 0.02", deep: true, marks: named("12 left"), sdMM: 0.012,
			edges: "right:30 right:170 right:310 right:450 start:-8 start:8", widthMM: 0.02},
		{name: "six dots, one 0.4 off", owed: "angle, start X, start Y, feature X, feature Y", deep: true, marks: six,
			sdMM: 0.012, oddMM: 0.4},
		{name: "four dots, one 0.15 off", owed: "angle, start X, start Y, feature X, feature Y", deep: true, marks: four,
			sdMM: 0.012, oddMM: 0.15},
		{name: "three dots, one 0.15 off", owed: "angle, start X, start Y, feature X, feature Y", marks: three, sdMM: 0.012,
			oddMM: 0.15},
		{name: "three dots, one 0.25 off", owed: "angle, start X, start Y, feature X, feature Y", deep: true, marks: three,
			sdMM:  0.012,
			oddMM: 0.25},
		{name: "three dots, one 0.25 off, repeat stated", owed: "angle, start X, start Y, feature X, feature Y", deep: true,
			marks: three,
			sdMM:  0.012, oddMM: 0.25,
			args: []string{"--error-mm", "0.0235"}},
		{name: "two dots, one 0.25 off", owed: "angle, start X, start Y, feature X, feature Y", marks: two, sdMM: 0.012,
			oddMM: 0.25},
		{name: "two dots, one 0.25 off, repeat stated", owed: "angle, start X, start Y, feature X, feature Y", deep: true,
			marks: two,
			sdMM:  0.012, oddMM: 0.25,
			args: []string{"--error-mm", "0.0235"}},
	} {
		tables = append(tables, table{c.name, c.deep, c.owed, c.oddMM > 0,
			func(r *rand.Rand) outcome { return c.draw(b, r, 0) }})
	}
	return tables
}

// boredTables: what locate calls good is bored again at the pose that it tells; the first
// cut moved by itself, and so does this one.
func boredTables(b *bench) (tables []table) {
	move := b.job.Machine.PositionMM
	var all []string
	for _, m := range b.marks {
		all = append(all, m.name)
	}
	for _, c := range []locateTrial{
		{name: "every feature, 0.012", deep: true, marks: all, sdMM: 0.012},
		{name: "four dots, 0.012", marks: named("3, 7, 12 right, 19"), sdMM: 0.012},
		{name: "three dots, 0.012", deep: true, marks: named("3, 12 left, 19"), sdMM: 0.012},
		{name: "three dots near each other, 0.012", deep: true, marks: named("3, 5, 7"), sdMM: 0.012},
		{name: "six dots, one 0.15 off", deep: true, marks: named("3, 5, 10, 12 left, 12 right, 19"),
			sdMM:  0.012,
			oddMM: 0.15},
		{name: "three dots, one 0.15 off", marks: named("3, 12 left, 19"), sdMM: 0.012, oddMM: 0.15},
		{name: "two dots", deep: true, marks: named("3, 19"), sdMM: 0.012},
		{name: "two dots, repeat stated", deep: true, marks: named("3, 19"), sdMM: 0.012,
			args: []string{"--error-mm", "0.0235"}},
		{name: "one dot, both edges, start", marks: named("12 left"), sdMM: 0.012,
			edges: "left:30 left:240 left:450 right:30 right:240 right:450 start:-8 start:8"},
	} {
		c.firstMM = move
		tables = append(tables, table{
			c.name, c.deep, c.owed, c.oddMM > 0, func(r *rand.Rand) outcome {
				o := c.draw(b, r, move)
				o.stated = nil // of the board as cut, whose own errors the scatter holds too
				return o
			},
		})
	}
	return tables
}
