package coupon

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"reseat/dowel"
	"reseat/fit"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/plate"
	"reseat/jig/stroke"
)

func of(t *testing.T, by fit.ProcessKind, material string, thick, pinMM float64, holes int) *Coupon {
	t.Helper()
	pin, err := dowel.Lookup("iso 8734", pinMM, "m6")
	if err != nil {
		t.Fatal(err)
	}
	c, err := Design(Spec{by, material, thick, pin, holes})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Coupons of every process, in materials and with pins of many sizes: the material
// between any two cuts holds, no reading is longer than a caliper, and every row is one of
// its coupon.
func TestDesign(t *testing.T) {
	for _, by := range fit.ProcessKinds() {
		for _, material := range []string{"cast acrylic", "mdf", "aluminium"} {
			for _, thick := range []float64{3, 12, 26} {
				for _, pin := range []float64{3, 6, 12} {
					for _, holes := range []int{FewHoles, ManyHoles} {
						c := of(t, by, material, thick, pin, holes)
						name := fmt.Sprintf("%s %s %g, pin %g, %d holes", by, material, thick, pin, holes)
						if web := leastWeb(c); web < c.web()-1e-9 || c.CutsStraight() && web > c.web()+1.5+1e-9 {
							t.Errorf("%s: %.3f between two cuts, want %.3f", name, web, c.web())
						}
						if room := markRoom(c); room < 0.4 {
							t.Errorf("%s: a mark lies %.2f from a cut or an edge", name, room)
						}
						if c.LongMM > readingMostMM || c.CutsStraight() && c.LongMM < 80 {
							t.Errorf("%s: the longest reading is %.2f", name, c.LongMM)
						}
						if err := Match(c, c.Form()); err != nil {
							t.Errorf("%s: %v", name, err)
						}
						count := map[string]int{}
						for _, r := range c.Rows() {
							count[string(r.Kind)]++
							count[string(r.Kind)+r.Axis]++
						}
						if keys, _ := c.Untold(); len(keys) > 0 {
							if c.CutsStraight() || pin >= jawMM || len(c.Rows()) != holes {
								t.Errorf("%s: does not tell %v of %v", name, keys, count)
							}
							continue
						}
						if count["hole"] < holes || count["web"] != count["span"] ||
							count["webx"] == 0 || count["weby"] == 0 {
							t.Errorf("%s: %v", name, count)
						}
					}
				}
			}
		}
	}
}

// way is a cut as a round tool's way along a straight line.
type way struct {
	from, to geom.Vec
	r        float64
}

// ways are those of all cuts.
func ways(c *Coupon) (all []way) {
	for _, f := range c.Features {
		reach := geom.Vec{X: (f.LongMM - f.SizeMM) / 2}
		switch {
		case f.Kind == Bar:
			continue
		case f.Kind == Hole:
			reach = geom.Vec{}
		case f.Axis == "x":
			reach = reach.Left()
		}
		all = append(all, way{f.At.Sub(reach), f.At.Add(reach), f.SizeMM / 2})
	}
	return all
}

// markRoom is the least distance of a mark, as the box about its strokes, from a cut, another
// mark or the edge.
func markRoom(c *Coupon) float64 {
	least := math.Inf(1)
	cuts, marks := ways(c), c.Marks()
	for i, m := range marks {
		box := stroke.Bounds(m.Strokes)
		least = min(least, box.Min.X, box.Min.Y, c.Size.X-box.Max.X, c.Size.Y-box.Max.Y)
		sides := geom.Rect(box)
		for _, w := range cuts {
			for k := range sides {
				e := sides.Edge(k)
				least = min(least, geom.SegmentDistance(e.P, e.Q, w.from, w.to)-w.r)
			}
		}
		for _, other := range marks[i+1:] {
			far := stroke.Bounds(other.Strokes)
			least = min(least, max(far.Min.X-box.Max.X, box.Min.X-far.Max.X, far.Min.Y-box.Max.Y, box.Min.Y-far.Max.Y))
		}
	}
	return least
}

// leastWeb is the least material between any two cuts.
func leastWeb(c *Coupon) float64 {
	all := ways(c)
	edge := geom.Rect(geom.Box{Max: c.Size})
	least := math.Inf(1)
	for i, a := range all {
		least = math.Min(least, math.Min(edge.Depth(a.from), edge.Depth(a.to))-a.r)
		for _, b := range all[i+1:] {
			least = math.Min(least, geom.SegmentDistance(a.from, a.to, b.from, b.to)-a.r-b.r)
		}
	}
	return least
}

// By hand: the pin of 6 m6 is 6.008; a laser of kerf 0.08 to 0.45, bias 0 and a taper
// taken as 0.25 opens a hole by 0.265 - 0.125 = 0.14 for it, so that the middle of the
// sizes is 5.868. A print is 0.25 small, a router none.
func TestDrawnSizes(t *testing.T) {
	for _, c := range []struct {
		by     fit.ProcessKind
		middle float64
	}{{fit.Laser, 5.868}, {fit.Print, 6.258}, {fit.Router, 6.008}} {
		of := of(t, c.by, "cast acrylic", 6, 6, ManyHoles)
		mean, least, most := 0.0, math.Inf(1), 0.0
		for _, f := range of.Features[:ManyHoles] {
			mean += f.SizeMM / ManyHoles
			least, most = math.Min(least, f.SizeMM), math.Max(most, f.SizeMM)
		}
		if math.Abs(mean-c.middle) > 0.006 || most-least < 0.3 || most-least > 1 {
			t.Errorf("%s: %.3f, from %.2f to %.2f", c.by, mean, least, most)
		}
	}
}

// Sizes go neither with the place along the rows nor with the row.
func TestShuffled(t *testing.T) {
	for _, n := range []int{FewHoles, ManyHoles} {
		sum, along, across := 0, 0, 0
		for i, o := range shuffled(n, n/2) {
			sum += o
			along += (2*o - n + 1) * (2*(i%(n/2)) - n/2 + 1)
			across += (2*o - n + 1) * (2*(i/(n/2)) - 1)
		}
		if sum != n*(n-1)/2 || abs(along) > n*n/2 || abs(across) > n {
			t.Errorf("%d: sum %d, along %d, across %d", n, sum, along, across)
		}
	}
}

// A form is its coupon's own after it was written, padded and read; one of another
// coupon, or with a row or a size that is not this coupon's, is refused.
func TestMatch(t *testing.T) {
	c := of(t, fit.Laser, "cast acrylic", 6, 6, ManyHoles)
	var b bytes.Buffer
	if err := Write(&b, c.Form()); err != nil {
		t.Fatal(err)
	}
	text := b.String()
	form, err := Read("c.csv", []byte(text))
	if d := cmp.Diff(c.Form(), form, cmpopts.IgnoreFields(Row{}, "Line"), cmpopts.EquateApprox(0, 1e-9)); d != "" ||
		err != nil {
		t.Fatalf("%v\n%s", err, d)
	}
	other := of(t, fit.Laser, "cast acrylic", 5, 6, ManyHoles)
	for _, k := range []struct{ name, from, to, want string }{
		{"as it is", "", "", ""},
		{"a bearing of one's own", "RING,ring,,,8,,", "RING,ring,,,6,5.99,", ""},
		{"a pair that the form does not ask for", "H01-H11,web,x,,124.055", "H01-H03,web,x,,20.22", ""},
		{"another coupon", c.Checksum, other.Checksum, "the form is of coupon " + other.Checksum},
		{"another pin", "pin 6 m6", "pin 6 h8", "the form's pin is 6 h8, the coupon's 6 m6"},
		{"size changed", "H01,hole,,,5.74,", "H01,hole,,,5.9,", "line 10: drawn_mm of H01 is 5.9, this coupon has 5.74;"},
		{"no such hole", "H24,hole", "H25,hole", "line 33: H25, kind hole"},
		{"not its axis", "S01,slot,x,top", "S01,slot,y,top", "line 34: S01, kind slot"},
		{"a pair aslant", "H01-H11,web,x,,124.055", "H01-H14,web,x,,124.055", "line 60: H01-H14, kind web"},
		{"its own neighbour", "H01-H11,web,x,,124.055", "H01-H01,web,x,,124.055", "line 60: H01-H01, kind web"},
	} {
		form, err := Read("c.csv", []byte(strings.Replace(text, k.from, k.to, 1)))
		if err != nil || k.from != "" && !strings.Contains(text, k.from) {
			t.Fatalf("%s: %v", k.name, err)
		}
		switch err := Match(c, form); {
		case (err == nil) != (k.want == ""), err != nil && !strings.HasPrefix(err.Error(), k.want):
			t.Errorf("%s: %v\nwant %s", k.name, err, k.want)
		}
	}
}

// The coupon of a job is that of its process, material, thickness and pin; what was
// measured changes nothing.
func TestForJob(t *testing.T) {
	const text = `board: {length: 400, width: 42, thickness: 6}
dowel: {standard: iso 8734, diameter: 6}
template: {seat: nest, material: cast acrylic, thickness: 6, make: {by: laser%s}}
`
	want := of(t, fit.Laser, "cast acrylic", 6, 6, ManyHoles)
	for _, figures := range []string{"", ", kerf: 0.31, bias: 0.02, spread: 0.04, taper: 0.1, position: 0.02"} {
		j, err := job.Parse("j.yaml", []byte(fmt.Sprintf(text, figures)))
		if err != nil {
			t.Fatal(err)
		}
		c, err := ForJob(j, Template, ManyHoles)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(want.Form(), c.Form()); d != "" {
			t.Error(d)
		}
		if _, err := ForJob(j, Blank, ManyHoles); err == nil || err.Error() != "j.yaml: the job has no blank" {
			t.Error(err)
		}
		if _, err := ForJob(j, "lid", ManyHoles); err == nil || !strings.HasPrefix(err.Error(), `no part "lid"`) {
			t.Error(err)
		}
	}
}

// The holes are cut as they lie: their sizes go up and down in the order of cutting, so that heat
// does not follow size, and everything of the piece is still in the file once.
func TestCutOrder(t *testing.T) {
	c := of(t, fit.Laser, "cast acrylic", 3, 6, ManyHoles)
	s := c.Sheet()
	var sizes []float64
	cuts := 0
	for i, k := range s.Shapes {
		switch k.Layer {
		case plate.RoundHoles:
			sizes = append(sizes, 2*k.R)
			cuts++
		case plate.SlotHoles:
			cuts++
		case plate.Edge:
			if i != len(s.Shapes)-1 {
				t.Error("the edge is not cut last")
			}
		}
	}
	n, sx, sy, sxx, syy, sxy := float64(len(sizes)), 0.0, 0.0, 0.0, 0.0, 0.0
	for i, d := range sizes {
		x := float64(i)
		sx, sy, sxx, syy, sxy = sx+x, sy+d, sxx+x*x, syy+d*d, sxy+x*d
	}
	if r := (n*sxy - sx*sy) / math.Sqrt((n*sxx-sx*sx)*(n*syy-sy*sy)); len(sizes) != ManyHoles || math.Abs(r) > 0.4 {
		t.Errorf("%d holes, size follows order by r = %.2f", len(sizes), r)
	}
	if want := len(c.Cuts()); cuts != want {
		t.Errorf("%d cuts in the file, want %d", cuts, want)
	}
}
