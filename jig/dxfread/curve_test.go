package dxfread

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// basis is the i-th B-spline of degree p at t by its definition.
//
// Reference: L. Piegl and W. Tiller, The NURBS Book (2nd edition, 1997), equation 2.5.
func basis(knots []float64, i, p int, t float64) float64 {
	if p == 0 {
		if knots[i] <= t && t < knots[i+1] {
			return 1
		}
		return 0
	}
	sum := 0.0
	if d := knots[i+p] - knots[i]; d > 0 {
		sum += (t - knots[i]) / d * basis(knots, i, p-1, t)
	}
	if d := knots[i+p+1] - knots[i+1]; d > 0 {
		sum += (knots[i+p+1] - t) / d * basis(knots, i+1, p-1, t)
	}
	return sum
}

// TestSplines holds the arcs of any spline against its points by definition: kinks where knots fall together, control
// points on each other, weights.
func TestSplines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.IntRange(1, 4).Draw(t, "degree")
		knots := make([]float64, p+1)
		for k := range rapid.IntRange(0, 4).Draw(t, "inner knots") {
			for range rapid.IntRange(1, p).Draw(t, "times") {
				knots = append(knots, float64(k+1))
			}
		}
		end := knots[len(knots)-1] + 1
		for range p + 1 {
			knots = append(knots, end)
		}
		n := len(knots) - p - 1
		poles, weights := make([]geom.Vec, n), make([]float64, n)
		var text strings.Builder
		fmt.Fprintf(&text, "0 SPLINE|71 %d", p)
		for _, k := range knots {
			fmt.Fprintf(&text, "|40 %g", k)
		}
		for i := range poles {
			poles[i] = geom.Vec{X: float64(rapid.IntRange(-50, 50).Draw(t, "x")), Y: float64(rapid.IntRange(-50, 50).Draw(t, "y"))}
			if i > 0 && rapid.IntRange(0, 4).Draw(t, "again") == 0 {
				poles[i] = poles[i-1]
			}
			weights[i] = float64(rapid.IntRange(1, 8).Draw(t, "weight")) / 4
			fmt.Fprintf(&text, "|10 %g|20 %g|41 %g", poles[i].X, poles[i].Y, weights[i])
		}
		d, err := Read([]byte(section("ENTITIES", text.String())), Options{ToleranceMM: tol})
		if err != nil || d.Entities[0].Problem != "" {
			t.Fatalf("%v, %v", d, err)
		}
		edges := d.Entities[0].Edges
		if edges[0].P.Dist(poles[0]) > 1e-9 || edges[len(edges)-1].Q.Dist(poles[n-1]) > 1e-9 {
			t.Fatalf("from %v to %v, want %v to %v", edges[0].P, edges[len(edges)-1].Q, poles[0], poles[n-1])
		}
		for k := range 200 {
			at, w := geom.Vec{}, 0.0
			for i := range poles {
				b := weights[i] * basis(knots, i, p, end*(float64(k)+0.5)/200)
				at, w = at.Add(poles[i].Scale(b)), w+b
			}
			off := math.Inf(1)
			for _, e := range edges {
				off = min(off, e.Distance(at.Scale(1/w)))
			}
			if off > tol {
				t.Fatalf("the curve is %g off its %d arcs at %v", off, len(edges), at.Scale(1/w))
			}
		}
		for i := 1; i < len(edges); i++ {
			if edges[i].P != edges[i-1].Q {
				t.Fatalf("edge %d does not begin where the one before it ends", i)
			}
		}
	})
}

// TestTurnsBack: a spline that runs back on itself within a line reaches as far as its definition, sampled, says.
func TestTurnsBack(t *testing.T) {
	const text = "0 SPLINE|71 2|40 0|40 0|40 0|40 1|40 1|40 1|10 4|20 -8|41 1|10 -23|20 19|41 1|10 -1|20 -3|41 2"
	d, err := Read([]byte(section("ENTITIES", text)), Options{ToleranceMM: tol})
	if err != nil {
		t.Fatal(err)
	}
	want, got := 0.0, 0.0
	for i := range 100_001 {
		s := float64(i) / 100_000
		a, b, c := (1-s)*(1-s), 2*s*(1-s), 2*s*s
		want = min(want, (4*a-23*b-c)/(a+b+c))
	}
	for _, e := range d.Entities[0].Edges {
		got = min(got, e.P.X, e.Q.X)
	}
	if math.Abs(got-want) > tol {
		t.Errorf("it turns at x = %.5f, want %.5f", got, want)
	}
}
