package measuring

import (
	"strings"
	"testing"

	"reseat/export/picture"
	"reseat/jig/geom"
	"reseat/jig/measure"
	"reseat/jig/reading"
)

// TestDrawDatum: whatever the title, the picture marks every reading, and nothing in
// it lies off the paper.
func TestDrawDatum(t *testing.T) {
	var readings []reading.Reading
	for i, e := range []string{reading.OnLeft, reading.OnRight, reading.OnDatum} {
		for k := range 6 {
			v := map[string]float64{reading.OnLeft: 20, reading.OnRight: -20}[e] + 0.3*float64(k*(5-k))/6
			readings = append(readings, reading.Reading{Line: 10*i + k + 2, On: e, At: geom.Vec{X: float64(k)*100 - 20, Y: v}})
		}
	}
	rep, err := measure.CheckDatum(readings, measure.Spec{LengthMM: 480, WidthStartMM: 40, WidthEndMM: 40,
		ToleranceMM: 0.1})
	if err != nil {
		t.Fatal(err)
	}
	if rep.Bow == nil || !rep.Bow.Significant {
		t.Fatal("the readings were to show a bow")
	}
	p := (&datumAnswer{Title: `<Neck> & "board" ` + strings.Repeat("long ", 30), spec: measure.Spec{LengthMM: 480}, DatumReport: rep}).draw()
	marks := 0
	for _, it := range p.Items {
		if ink := it.Ink(); ink.Min.X < 0 || ink.Max.X > chartWidth || ink.Min.Y < 0 || ink.Max.Y > chartHeight {
			t.Errorf("%v lies off the paper", it)
		}
		if _, ok := it.(picture.Fill); ok {
			marks++
		}
	}
	if want := len(readings) + len(rep.On); marks != want { // the legend has one of each
		t.Errorf("%d marks, want %d", marks, want)
	}
}
