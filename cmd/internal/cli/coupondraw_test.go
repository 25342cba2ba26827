package cli

import (
	"fmt"
	"math"
	"testing"

	"reseat/dowel"
	"reseat/export/couponsheet"
	"reseat/export/picture"
	"reseat/export/solid"
	"reseat/fit"
	"reseat/jig/coupon"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/program"
)

// couponMade is a coupon of a process without a job, with its program.
func couponMade(t *testing.T, by fit.ProcessKind, pinMM float64, holes int) *couponFiles {
	t.Helper()
	pin, err := dowel.Lookup("iso 8734", pinMM, "m6")
	if err != nil {
		t.Fatal(err)
	}
	material := map[fit.ProcessKind]string{fit.Router: "birch plywood", fit.Drill: "mdf", fit.Print: "pla"}[by]
	if material == "" {
		material = "cast acrylic"
	}
	c, err := coupon.Design(coupon.Spec{By: by, Material: material, ThicknessMM: 6, Pin: pin, Holes: holes})
	if err != nil {
		t.Fatal(err)
	}
	k := &couponFiles{Coupon: c}
	j := &job.Job{}
	if by != fit.Print && by != fit.Laser {
		p, err := program.Coupon(j, c, j.Template.Make, coupon.Template)
		if err != nil {
			t.Fatalf("%s, pin %g, %d holes: %v", by, pinMM, holes, err)
		}
		k.program, k.timeS = &p, p.Path.Run.TimeS
	}
	if by == fit.Print {
		k.timeS = coupon.PrintingS(c.VolumeMM3())
	}
	return k
}

// A router's coupon takes under 15 minutes with every usual pin, but for 3 mm with 24 holes, of which
// the command says what is quicker; a print under two hours; fewer holes are 15 % quicker or more.
func TestCouponTime(t *testing.T) {
	for _, pin := range []float64{3, 4, 5, 6, 8, 10} {
		for by, most := range mostS {
			many, few := couponMade(t, by, pin, coupon.ManyHoles), couponMade(t, by, pin, coupon.FewHoles)
			slow := by == fit.Router && pin == 3
			if (many.timeS > most) != slow || few.timeS > most || few.timeS > 0.85*many.timeS {
				t.Errorf("%s, pin %g: %.0f s, with fewer holes %.0f s, at most %.0f s", by, pin, many.timeS, few.timeS, most)
			}
			if by == fit.Print && (many.PieceMM < 2 || many.PieceMM > 3) {
				t.Errorf("pin %g: a print of %g mm", pin, many.PieceMM)
			}
		}
	}
	k := couponMade(t, fit.Print, 6, coupon.FewHoles)
	print := k.Print()
	body, err := solid.Build(&print)
	if err != nil || math.Abs(k.VolumeMM3()/body.VolumeMM3-1) > 0.002 { // strokes that cross count twice
		t.Errorf("%.0f mm3, the solid has %.0f (%v)", k.VolumeMM3(), body.VolumeMM3, err)
	}
}

// The coupon's picture is A4 upright, or A3 across where the piece is wider than A4 takes, and
// all that is on it lies 10 mm from the paper's edges or more.
func TestCouponPaper(t *testing.T) {
	const rim = 10.0
	for _, by := range fit.ProcessKinds() {
		for _, pin := range []float64{3, 5, 6, 8, 10} {
			for _, holes := range []int{coupon.ManyHoles, coupon.FewHoles} {
				name := fmt.Sprintf("%s, pin %g, %d holes", by, pin, holes)
				k := couponMade(t, by, pin, holes)
				p := couponsheet.Draw(k.piece())
				want := geom.Vec{X: 210, Y: 297}
				if k.Size.X > want.X-2*rim {
					want.X = 420
				}
				if p.Size != want {
					t.Errorf("%s: a paper of %g x %g, want %g x %g", name, p.Size.X, p.Size.Y, want.X, want.Y)
				}
				room := geom.Box{Max: p.Size}.Grow(-rim + 1e-9)
				for _, item := range p.Items {
					ink := item.Ink()
					if line, ok := item.(picture.Stroke); ok { // the edge of the piece, not of its ink
						ink = ink.Grow(-line.Pen.WidthMM / 2)
					}
					if text, ok := item.(picture.Text); ok && text.S == "" {
						continue
					}
					if room.Union(ink) != room {
						t.Errorf("%s: %+v covers %+v of a paper of %+v", name, item, ink, p.Size)
					}
				}
			}
		}
	}
}
