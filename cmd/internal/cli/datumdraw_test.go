package cli

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
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

// Wanted: datum and locate under 30 ms as whole processes, 10 000 readings under 100 ms.
func benchmarkRun(b *testing.B, args ...string) {
	for b.Loop() {
		if got := Run(args, nil, io.Discard, io.Discard); got == exitInput {
			b.Fatalf("exit status %d", got)
		}
	}
}

func BenchmarkDatum(b *testing.B) {
	benchmarkRun(b, "datum", "../../../testdata/readings/bouzouki-askew.csv", "--job", exampleJob)
}

func BenchmarkDatum10000(b *testing.B) {
	text := "on,x_mm,y_mm\n"
	for i := range 10000 {
		// A scatter of +-0.02 mm without random numbers.
		text += fmt.Sprintf("datum,%.3f,%.4f\n", float64(i*7919%41-20)/1000, 478*float64(i)/9999)
	}
	path := filepath.Join(b.TempDir(), "many.csv")
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		b.Fatal(err)
	}
	benchmarkRun(b, "datum", path, "--job", exampleJob)
}

func BenchmarkLocate(b *testing.B) { benchmarkRun(b, "locate", exampleDots, "--job", exampleJob) }

// BenchmarkLocatePins builds the design to know where the pins are.
func BenchmarkLocatePins(b *testing.B) {
	benchmarkRun(b, "locate", "../../../testdata/readings/neck-pins.csv", "--job", "../../../testdata/jobs/neck-second-side.yaml")
}
