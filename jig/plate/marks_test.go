package plate

import (
	"testing"

	"reseat/jig/geom"
)

// TestMarks: every mark keeps its distance from edge, holes and bars, and none lies on
// another; on a part without room there is none.
func TestMarks(t *testing.T) {
	m := Markable{
		Outline: geom.Rect(geom.Box{Min: geom.Vec{X: -60, Y: -60}, Max: geom.Vec{X: 360, Y: 60}}),
		Holes: []Circle{
			{geom.Vec{X: -40}, 3.05}, {geom.Vec{X: 340}, 5}, {geom.Vec{X: 100, Y: 45}, 4}, {geom.Vec{X: 112, Y: 45}, 4},
		},
		Bars: []geom.Loop{geom.Taper(300, 40, 50)},
	}
	marks := m.Mark([]string{"P1", "P2", "P3", "P4"})
	m.Marks = marks
	marks = append(marks, m.Number("1/2")...)
	says := map[string]bool{}
	for i, k := range marks {
		says[k.Says] = true
		for _, s := range k.Strokes {
			for _, p := range s {
				if m.Outline.Depth(p) < markRoomMM || m.Bars[0].Depth(p) > -markRoomMM {
					t.Errorf("%s at %v lies on an edge", k.Says, p)
				}
				for _, h := range m.Holes {
					if p.Dist(h.At) < h.R+markRoomMM {
						t.Errorf("%s at %v lies on a hole", k.Says, p)
					}
				}
				for _, o := range marks[:i] {
					for _, l := range o.Strokes {
						if geom.FromPoints(l).Bounds().Grow(markRoomMM / 2).Contains(p) {
							t.Errorf("%s lies on %s at %v", k.Says, o.Says, p)
						}
					}
				}
			}
		}
	}
	for _, want := range []string{"START", "P1", "P2", "P3", "P4", "1/2"} {
		if !says[want] {
			t.Errorf("no mark %s", want)
		}
	}
	m.Bars = append(m.Bars, m.Outline)
	if got := m.Mark([]string{"P1", "P2", "P3", "P4"}); len(got) != 0 {
		t.Errorf("%d marks where there is no room", len(got))
	}
}
