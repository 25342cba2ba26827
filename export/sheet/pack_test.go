package sheet

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"reseat/jig/geom"
)

func TestPackKeepsGaps(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		room := geom.Box{Max: v(400, 300)}
		taken := []geom.Box{{Min: v(220, 0), Max: v(400, 50)}}
		var sizes []geom.Vec
		for range rapid.IntRange(1, 5).Draw(r, "n") {
			sizes = append(sizes, v(rapid.Float64Range(5, 200).Draw(r, "w"), rapid.Float64Range(5, 120).Draw(r, "h")))
		}
		at, ok := pack(room, taken, sizes)
		if !ok {
			return
		}
		boxes := append([]geom.Box(nil), taken...)
		for i, p := range at {
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

// The slow oracle packs every order from the start and takes the first that fits.
func TestPackAgainstEveryOrder(t *testing.T) {
	if n := len(orders(5)); n != 24 {
		t.Fatalf("%d orders of four boxes behind the first, want 4! = 24", n)
	}
	rapid.Check(t, func(r *rapid.T) {
		room := geom.Box{Max: v(200, 160)}
		taken := []geom.Box{{Min: v(120, 0), Max: v(200, 40)}}
		var sizes []geom.Vec
		for range rapid.IntRange(1, 6).Draw(r, "n") {
			// Whole steps, so that edges often line up.
			sizes = append(sizes, v(float64(10*rapid.IntRange(1, 12).Draw(r, "w")), float64(10*rapid.IntRange(1, 9).Draw(r, "h"))))
		}
		var want []geom.Vec
		for _, o := range orders(len(sizes)) {
			if at, ok := packInOrder(room, taken, sizes, o); ok {
				want = at
				break
			}
		}
		got, ok := pack(room, taken, sizes)
		if ok != (want != nil) {
			r.Fatalf("packed: %v, want %v", ok, want != nil)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			r.Error(diff)
		}
	})
}

func TestPackTriesOtherOrders(t *testing.T) {
	// In the order given the small box takes the top of the column that the tall
	// one needs; the other way round both fit.
	room := geom.Box{Max: v(100, 100)}
	sizes := []geom.Vec{v(30, 30), v(20, 20), v(62, 100)}
	if _, ok := packInOrder(room, nil, sizes, []int{0, 1, 2}); ok {
		t.Error("the order given fits; the case shows nothing")
	}
	if _, ok := pack(room, nil, sizes); !ok {
		t.Error("no order found")
	}
	if _, ok := pack(room, nil, []geom.Vec{v(120, 1)}); ok {
		t.Error("a box wider than the room was packed")
	}
}
