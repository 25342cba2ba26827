package dxf

import (
	"math"
	"strconv"
	"strings"

	"reseat/jig"
	"reseat/jig/geom"
)

// tester is what a test and a property of rapid have in common.
type tester interface {
	Helper()
	Fatal(args ...any)
	Fatalf(format string, args ...any)
	Errorf(format string, args ...any)
}

// parse splits a file into tags, the comments at its top left out, and those into
// records.
func parse(t tester, file []byte) [][]tag {
	t.Helper()
	lines := strings.Split(strings.TrimSuffix(string(file), "\n"), "\n")
	if len(lines)%2 != 0 {
		t.Fatalf("%d lines: a code without a value", len(lines))
	}
	var tags []tag
	for i := 0; i < len(lines); i += 2 {
		code, err := strconv.Atoi(lines[i])
		if err != nil {
			t.Fatal(err)
		}
		if code != 999 {
			tags = append(tags, tag{code, lines[i+1]})
		}
	}
	return records(tags)
}

// drawn is what a file holds.
type drawn struct {
	min, max geom.Vec // $EXTMIN, $EXTMAX
	layers   []jig.Layer
	shapes   []jig.Shape
}

// read collects the layer table and the entities of a file.
func read(t tester, file []byte) (d drawn) {
	t.Helper()
	num := func(s string) float64 {
		x, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	for _, rec := range parse(t, file) {
		s := jig.Shape{Layer: first(rec, 8)}
		switch rec[0].value {
		case "SECTION":
			for i, g := range rec {
				switch g.value {
				case "$EXTMIN":
					d.min = geom.Vec{X: num(rec[i+1].value), Y: num(rec[i+2].value)}
				case "$EXTMAX":
					d.max = geom.Vec{X: num(rec[i+1].value), Y: num(rec[i+2].value)}
				}
			}
		case "LAYER":
			colour, _ := strconv.Atoi(first(rec, 62))
			d.layers = append(d.layers, jig.Layer{Name: first(rec, 2), Colour: colour})
		case "CIRCLE":
			s.Center, s.R = geom.Vec{X: num(first(rec, 10)), Y: num(first(rec, 20))}, num(first(rec, 40))
			d.shapes = append(d.shapes, s)
		case "LINE":
			s.Open, s.Loop = true, geom.FromPoints([]geom.Vec{
				{X: num(first(rec, 10)), Y: num(first(rec, 20))}, {X: num(first(rec, 11)), Y: num(first(rec, 21))},
			})
			d.shapes = append(d.shapes, s)
		case "ARC": // counter-clockwise; its ends as any reader computes them
			c, r := geom.Vec{X: num(first(rec, 10)), Y: num(first(rec, 20))}, num(first(rec, 40))
			from, to := num(first(rec, 50))*math.Pi/180, num(first(rec, 51))*math.Pi/180
			sweep := math.Mod(to-from+2*math.Pi, 2*math.Pi)
			s.Open, s.Loop = true, geom.Loop{
				{Vec: c.Add(geom.Polar(r, from)), Bulge: math.Tan(sweep / 4)}, {Vec: c.Add(geom.Polar(r, to))},
			}
			d.shapes = append(d.shapes, s)
		case "POLYLINE":
			s.Open = first(rec, 70) == "0"
			d.shapes = append(d.shapes, s)
		case "VERTEX":
			v := geom.Vertex{Vec: geom.Vec{X: num(first(rec, 10)), Y: num(first(rec, 20))}}
			if b := first(rec, 42); b != "" {
				v.Bulge = num(b)
			}
			last := &d.shapes[len(d.shapes)-1]
			last.Loop = append(last.Loop, v)
		case "LWPOLYLINE":
			s.Open = first(rec, 70) == "0"
			for _, g := range rec {
				switch g.code {
				case 10:
					s.Loop = append(s.Loop, geom.Vertex{Vec: geom.Vec{X: num(g.value)}})
				case 20:
					s.Loop[len(s.Loop)-1].Y = num(g.value)
				case 42:
					s.Loop[len(s.Loop)-1].Bulge = num(g.value)
				}
			}
			if first(rec, 90) != strconv.Itoa(len(s.Loop)) {
				t.Errorf("a polyline of %d vertices says %s", len(s.Loop), first(rec, 90))
			}
			d.shapes = append(d.shapes, s)
		}
	}
	return d
}
