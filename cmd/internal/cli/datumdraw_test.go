package cli

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/measure"
)

// TestDrawDatum: whatever the title, the picture is XML, marks every reading, and
// nothing in it lies off the paper.
func TestDrawDatum(t *testing.T) {
	var readings []measure.Reading
	for i, e := range []measure.Edge{measure.OnLeft, measure.OnRight, measure.OnDatum} {
		for k := range 6 {
			v := map[measure.Edge]float64{measure.OnLeft: 20, measure.OnRight: -20}[e] + 0.3*float64(k*(5-k))/6
			readings = append(readings, measure.Reading{Line: 10*i + k + 2, On: e, At: geom.Vec{X: float64(k)*100 - 20, Y: v}})
		}
	}
	rep, err := measure.CheckDatum(readings, measure.DatumSpec{LengthMM: 480, WidthStartMM: 40, WidthEndMM: 40, ToleranceMM: 0.1})
	if err != nil {
		t.Fatal(err)
	}
	if rep.Bow == nil || !rep.Bow.Significant {
		t.Fatal("the readings were to show a bow")
	}
	svg := drawDatum(datumJob{title: `<Neck> & "board" ` + strings.Repeat("long ", 30), lengthMM: 480}, rep)
	dec, marks := xml.NewDecoder(bytes.NewReader(svg)), 0
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("not XML: %v", err)
		}
		el, ok := tok.(xml.StartElement)
		if !ok || el.Name.Local != "path" {
			continue
		}
		for _, a := range el.Attr {
			var x, y float64
			if n, _ := fmt.Sscanf(a.Value, "M%g %gm", &x, &y); a.Name.Local != "d" || n != 2 {
				continue
			}
			if strings.HasSuffix(a.Value, "z") {
				marks++
			}
			if x < 0 || x > chartWidth || y < 0 || y > chartHeight {
				t.Errorf("%s lies off the paper", a.Value)
			}
		}
	}
	if want := len(readings) + len(rep.UsedEdges); marks != want { // the legend has one of each
		t.Errorf("%d marks, want %d", marks, want)
	}
}
