package setupsheet

import (
	"fmt"
	"strconv"
	"strings"

	"reseat/jig/geom"
)

// Bars are the two bars of 100 mm of a page at true size as they were measured on paper, mm: across and
// down. Zero: not measured. It is a flag's value.
type Bars geom.Vec

// leastBarMM and mostBarMM bound what a printer makes of 100 mm at actual size; beyond them the page was
// fitted to the paper. Common practice, no source: printers are 1 to 2 % off.
const (
	leastBarMM = 95.0
	mostBarMM  = 105.0
)

// Set reads them as ACROSSxDOWN.
func (b *Bars) Set(s string) error {
	across, down, two := strings.Cut(s, "x")
	x, err1 := strconv.ParseFloat(strings.TrimSpace(across), 64)
	y, err2 := strconv.ParseFloat(strings.TrimSpace(down), 64)
	if !two || err1 != nil || err2 != nil {
		return fmt.Errorf("want both bars as measured, in mm, such as 99.4x100.1")
	}
	for _, mm := range []float64{x, y} {
		if !(mm >= leastBarMM && mm <= mostBarMM) {
			return fmt.Errorf("a bar of 100 mm measured %g: the page was not printed at actual size; print it so, and measure "+
				"again", mm)
		}
	}
	*b = Bars{X: x, Y: y}
	return nil
}

func (b *Bars) String() string {
	if *b == (Bars{}) {
		return ""
	}
	return fmt.Sprintf("%gx%g", b.X, b.Y)
}

// Type names the value in help texts.
func (b *Bars) Type() string { return "ACROSSxDOWN" }

// times is how many times as long lengths are drawn, so that they come out true.
func (b Bars) times() geom.Vec {
	if b == (Bars{}) {
		return geom.Vec{X: 1, Y: 1}
	}
	return geom.Vec{X: barMM / b.X, Y: barMM / b.Y}
}
