package trial

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"strings"
)

// datumTrial is how a board is read for datum.
type datumTrial struct {
	name     string
	on       string    // lines that are read, in this order
	stations []float64 // on each
	sdMM     float64   // of a reading
	rho      float64   // of a reading's error with the one before on its line
	oddMM    float64   // one reading is off by this
	bowMM    float64   // sagitta, either way
	widthMM  float64   // either end's width is known to plus or minus this, 95 %
	args     []string
	deep     bool   // only in the long mode
	owed     string // what is not held to yet, as in a table
}

// spread returns n stations from one to another.
func spread(n int, from, to float64) (at []float64) {
	for i := range n {
		at = append(at, from+(to-from)*float64(i)/float64(n-1))
	}
	return at
}

// draw reads a board that lies within the neighbourhood of what datum lets pass.
func (c datumTrial) draw(b *bench, r *rand.Rand) outcome {
	l, d := b.board.LengthMM, pose{turn: math.Atan(even(r, 0.19) / b.board.LengthMM)}
	aside := even(r, 0.1)
	d.shift = complex(0, aside) * b.axis
	sagitta := c.bowMM * math.Copysign(1, r.Float64()-0.5)
	wider := [2]float64{c.widthMM / normal95 * r.NormFloat64(), c.widthMM / normal95 * r.NormFloat64()}
	lines := strings.Fields(c.on)
	odd := r.IntN(len(lines) * len(c.stations))
	var text strings.Builder
	text.WriteString("on,x_mm,y_mm\n")
	for i, on := range lines {
		noise := waves(r, c.sdMM, c.rho)
		side := map[string]float64{"left": 1, "right": -1}[on]
		for k, u := range c.stations {
			v := side * (b.half(u) + (wider[0]+(wider[1]-wider[0])*u/l)/2)
			v += b.bow(sagitta, u) + noise()
			if i*len(c.stations)+k == odd {
				v += c.oddMM * math.Copysign(1, r.Float64()-0.5)
			}
			p := d.lies(complex(u, v) * b.axis)
			fmt.Fprintf(&text, "%s,%.4f,%.4f\n", on, real(p), imag(p))
		}
	}
	exit, a := b.measure("datum", text.String(), append([]string{"--pin-mm", "494"}, c.args...)...)
	o := outcome{good: exit == 0}
	for _, m := range b.marks {
		u, v := real(m.at), imag(m.at)
		lies := d.lies(complex(u, v+b.bow(sagitta, u)) * b.axis)
		o.over = o.over || cmplx.Abs(lies-m.at*b.axis) > b.job.AccuracyMM
	}
	o.state(a, "angle", "angle_rad", "angle_interval_half_rad", d.turn)
	o.state(a, "offset", "offset_mm", "offset_interval_half_mm", aside)
	o.state(a, "bow", "bow.sagitta_mm", "bow.interval_half_mm", sagitta)
	o.state(a, "width start", "edges.width_start_error_mm", "edges.width_start_interval_half_mm", wider[0])
	o.state(a, "width far", "edges.width_far_error_mm", "edges.width_far_interval_half_mm", wider[1])
	return o
}

// datumTables are boards whose datum line is read.
func datumTables(b *bench) (tables []table) {
	whole := spread(5, 12, 466)
	for _, c := range []datumTrial{
		{name: "both edges, 5 each, 0.012", on: "left right", stations: whole, sdMM: 0.012},
		{name: "both edges, 5 each, 0.03", deep: true, on: "left right", stations: whole,
			sdMM: 0.03},
		{name: "datum line, 7, 0.03", deep: true, on: "datum", stations: spread(7, 12, 466), sdMM: 0.03},
		{name: "one edge, 5", deep: true, on: "right", stations: whole, sdMM: 0.012},
		{name: "one edge, 5, width known to 0.02", on: "right", stations: whole, sdMM: 0.012,
			widthMM: 0.02, args: []string{"--width-error-mm", "0.02"}},
		{name: "one edge, 9, width known to 0.02", deep: true, on: "left",
			stations: spread(9, 12, 466), sdMM: 0.006,
			widthMM: 0.02, args: []string{"--width-error-mm", "0.02"}},
		{name: "both edges, 5 each, one 0.3 off", owed: "angle", on: "left right", stations: whole, sdMM: 0.012,
			oddMM: 0.3},
		{name: "one edge, 6, one 0.3 off", owed: "angle", deep: true, on: "right", stations: spread(6, 12, 466),
			sdMM: 0.012, oddMM: 0.3},
		{name: "both edges, 5 each, bow 0.05", deep: true,
			on: "left right", stations: whole, sdMM: 0.012, bowMM: 0.05},
		{name: "part length, 5 each", deep: true, on: "left right",
			stations: spread(5, 15, 300), sdMM: 0.012},
		{name: "part length, 5 each, bow 0.05", owed: "angle, bow", on: "left right",
			stations: spread(5, 15, 300), sdMM: 0.012, bowMM: 0.05},
		{name: "part length, 8 each, bow 0.05", deep: true, on: "left right",
			stations: spread(8, 15, 300), sdMM: 0.006,
			bowMM: 0.05},
		{name: "part length, one edge, 8, bow 0.05", owed: "verdict, angle", deep: true, on: "right",
			stations: spread(8, 15, 300), sdMM: 0.012,
			bowMM: 0.05},
		{name: "both edges, 8 each, correlated 0.8", owed: "angle, offset, bow, width start, width far",
			on: "left right", stations: spread(8, 12, 466), sdMM: 0.015, rho: 0.8},
		{name: "datum line, 12, correlated 0.8", owed: "angle, offset, bow", deep: true, on: "datum",
			stations: spread(12, 12, 466), sdMM: 0.015,
			rho: 0.8},
		{name: "one edge, 20, correlated 0.8", owed: "bow", deep: true, on: "left",
			stations: spread(20, 12, 466), sdMM: 0.015, rho: 0.8},
		{name: "both edges, 2 each", owed: "offset", deep: true, on: "left right",
			stations: spread(2, 12, 466), sdMM: 0.012},
		{name: "one edge, 3", deep: true, on: "left", stations: spread(3, 12, 466),
			sdMM: 0.012},
		{name: "one edge, 2, repeat stated", deep: true, on: "left", stations: spread(2, 12, 466),
			sdMM: 0.012,
			args: []string{"--error-mm", "0.0235"}},
	} {
		tables = append(tables, table{c.name, c.deep, c.owed, c.oddMM > 0,
			func(r *rand.Rand) outcome { return c.draw(b, r) }})
	}
	return tables
}
