package sheet

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// packInOrder puts each box as high as it goes, then as far left, in one order.
func packInOrder(room geom.Box, taken []geom.Box, sizes []geom.Vec, order []int) ([]geom.Vec, bool) {
	out := make([]geom.Vec, len(sizes))
	placed := append([]geom.Box(nil), taken...)
	for _, k := range order {
		at, ok := highest(room, placed, sizes[k])
		if !ok {
			return nil, false
		}
		out[k] = at
		placed = append(placed, geom.Box{Min: at, Max: at.Add(sizes[k])})
	}
	return out, true
}

// orders returns all orders of 0..n-1 that begin with 0, in dictionary order.
func orders(n int) [][]int {
	out := [][]int{{0}}
	for range n - 1 {
		var longer [][]int
		for _, o := range out {
			for k := range n {
				used := false
				for _, x := range o {
					used = used || x == k
				}
				if !used {
					longer = append(longer, append(append([]int(nil), o...), k))
				}
			}
		}
		out = longer
	}
	return out
}

// The slow oracle packs every order from the start and takes the first that fits;
// what fits lies in the room, and boxes keep their gaps.
func TestPackAgainstEveryOrder(t *testing.T) {
	if n := len(orders(5)); n != 24 {
		t.Fatalf("%d orders of four boxes behind the first, want 4! = 24", n)
	}
	rapid.Check(t, func(r *rapid.T) {
		room := geom.Box{Max: v(200, 160)}
		boxes := []geom.Box{{Min: v(120, 0), Max: v(200, 40)}}
		var sizes []geom.Vec
		for range rapid.IntRange(1, 6).Draw(r, "n") {
			// Whole steps, so that edges often line up.
			w, h := rapid.IntRange(1, 12).Draw(r, "w"), rapid.IntRange(1, 9).Draw(r, "h")
			sizes = append(sizes, v(float64(10*w), float64(10*h)))
		}
		var want []geom.Vec
		for _, o := range orders(len(sizes)) {
			if at, ok := packInOrder(room, boxes, sizes, o); ok {
				want = at
				break
			}
		}
		got, ok := pack(room, boxes, sizes)
		if diff := cmp.Diff(want, got); diff != "" || ok != (want != nil) {
			r.Fatalf("packed: %v, %s", ok, diff)
		}
		for i, p := range got {
			boxes = append(boxes, geom.Box{Min: p, Max: p.Add(sizes[i])})
		}
		for i, b := range boxes {
			if !within(room, b) {
				r.Errorf("box %v outside", b)
			}
			for _, c := range boxes[i+1:] {
				if overlap(b.Grow(blockGap/2-1e-3), c.Grow(blockGap/2-1e-3)) {
					r.Errorf("boxes %v and %v closer than the gap", b, c)
				}
			}
		}
	})
}
