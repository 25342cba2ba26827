package cli

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"reseat/export/couponsheet"
	"reseat/export/picture"
	"reseat/jig/coupon"
	"reseat/jig/geom"
	"reseat/jig/job"
)

// truth is a process of which everything is known, mm; spread and position are plus or minus,
// 95 %. Invented.
type truth struct {
	kerf, bias, spread, taper, position float64
	scale                               geom.Vec // mm per mm
}

// shopLaser is the laser whose coupon the bouzouki's maker measured, and the starter's.
var shopLaser = truth{kerf: 0.204, bias: 0.010, spread: 0.034, taper: 0.062, position: 0.028,
	scale: geom.Vec{X: 0.0001, Y: -0.0001}}

// Of the caliper and of the hand, mm: one standard deviation of a reading, what the inside jaws'
// flats read small, and the air that a pin wants round it.
const (
	fillNoise = 0.01
	fillFlats = 0.008
	fillAir   = 0.004
	fillTight = 0.012
)

// fill measures every row of a coupon's form on a piece that the process made.
func fill(c *coupon.Coupon, p truth, seed uint64) coupon.Form {
	random := rand.New(rand.NewPCG(seed, 13))
	f := c.Form()
	pin := c.Pin.MeanMM()
	size, off := map[string]float64{}, map[string]geom.Vec{}
	feature := map[string]coupon.Feature{}
	for _, x := range c.Features {
		size[x.ID] = p.spread / 1.96 * random.NormFloat64()
		off[x.ID] = geom.Vec{X: p.position / 1.96 * random.NormFloat64(), Y: p.position / 1.96 * random.NormFloat64()}
		feature[x.ID] = x
	}
	// wide is how much wider a feature's opening is than drawn, at a face; of an opening read
	// through the thickness at its narrowest, of a bar or web at its widest.
	wide := func(id, face string, inside bool) float64 {
		x := feature[id]
		k := p.kerf + size[id]
		if x.Kind == coupon.Hole {
			k += p.bias
		}
		switch {
		case face == coupon.Top:
			return k + p.taper/2
		case face == coupon.Under:
			return k - p.taper/2
		}
		return k - math.Abs(p.taper)/2
	}
	place := func(id string) geom.Vec {
		x := feature[id]
		return geom.Vec{X: x.At.X * (1 + p.scale.X), Y: x.At.Y * (1 + p.scale.Y)}.Add(off[id])
	}
	for i := range f.Rows {
		r := &f.Rows[i]
		var made float64
		inside := r.Kind == coupon.Hole || r.Kind == coupon.Slot || r.Kind == coupon.Span || r.Kind == coupon.Ring
		first, second, paired := strings.Cut(r.ID, "-")
		switch {
		case r.Kind == coupon.Pin:
			made = pin
		case r.Kind == coupon.Ring:
			r.DrawnMM = 7.996 // as its maker states it
			made = 7.996
		case paired:
			d := place(first).Sub(place(second))
			between := math.Abs(d.X)
			if r.Axis == "y" {
				between = math.Abs(d.Y)
			}
			half := (halfOf(feature[first], r.Axis) + wide(first, r.Face, inside)/2) +
				(halfOf(feature[second], r.Axis) + wide(second, r.Face, inside)/2)
			if made = between - half; r.Kind == coupon.Span {
				made = between + half
			}
		case r.Kind == coupon.Bar:
			// What a bar has lost is what the cuts beside it are wide.
			made = r.DrawnMM - wide(r.ID, r.Face, false)
		default:
			made = r.DrawnMM + wide(r.ID, r.Face, true)
		}
		if r.Kind == coupon.Hole && r.Axis == "" && r.Face == "" {
			room := r.DrawnMM + wide(r.ID, "", true) - pin - fillAir + 0.002*random.NormFloat64()
			switch {
			case room > 0:
				r.Enters = coupon.Passes
			case room > -fillTight:
				r.Enters = coupon.Tight
			default:
				r.Enters = coupon.No
			}
		}
		if inside {
			made -= fillFlats * (0.5 + random.Float64()/2)
		}
		read := math.Round((made+fillNoise*random.NormFloat64())*100) / 100
		r.Measured = &read
	}
	return f
}

// halfOf is half of a feature's drawn size along an axis.
func halfOf(f coupon.Feature, axis string) float64 {
	if f.Kind == coupon.Hole || f.Axis == axis {
		return f.SizeMM / 2
	}
	return f.LongMM / 2
}

// TestFilledForm: the form from which the bouzouki's process file was read is that of the simulated
// laser; -update writes it, as it must when the coupon changes.
func TestFilledForm(t *testing.T) {
	const path = "../../../testdata/readings/bouzouki-coupon.csv"
	var b, errs bytes.Buffer
	if code := shopFills([]string{"../../../testdata/jobs/bouzouki-fingerboard.yaml"}, &b, &errs); code != 0 {
		t.Fatal(errs.String())
	}
	if got, err := os.ReadFile(path); err == nil && bytes.Equal(got, b.Bytes()) {
		return
	}
	if !*update {
		t.Errorf("%s is not of this coupon; run go test ./cmd/internal/cli -run FilledForm -update", path)
	} else if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

// shopFills is a command of the scripts: the form of a job's coupon as it is filled in at the
// bench of shopLaser, the last reading of the feature that is named, if any, half a millimetre off.
func shopFills(args []string, out, errs io.Writer) int {
	j, err := job.Read(args[0])
	if err == nil {
		var c *coupon.Coupon
		if c, err = coupon.ForJob(j, coupon.Template, coupon.ManyHoles); err == nil {
			f := fill(c, shopLaser, 4)
			for i, r := range slices.Backward(f.Rows) {
				if len(args) > 1 && r.ID == args[1] {
					*f.Rows[i].Measured += 0.5
					break
				}
			}
			err = coupon.Write(out, f)
		}
	}
	if err != nil {
		fmt.Fprintln(errs, err)
		return 1
	}
	return 0
}

// replaced is a command of the scripts: in a file it puts one text in place of another, which
// stands there once; \n is a line's end.
func replaced(args []string, errs io.Writer) int {
	data, err := os.ReadFile(args[0])
	if err == nil && strings.Count(string(data), args[1]) == 0 {
		err = fmt.Errorf("%s has no %q", args[0], args[1])
	}
	if err == nil {
		text := strings.Replace(string(data), args[1], strings.ReplaceAll(args[2], `\n`, "\n"), 1)
		err = os.WriteFile(args[0], []byte(text), 0o666)
	}
	if err != nil {
		fmt.Fprintln(errs, err)
		return 1
	}
	return 0
}

// TestCouponPicture: every mark lies on the paper, one for each point and answer, also of a reading
// half a millimetre off and of a form that is not filled in.
func TestCouponPicture(t *testing.T) {
	const jobFile = "../../../testdata/jobs/bouzouki-fingerboard.yaml"
	for _, args := range [][]string{{jobFile}, {jobFile, "S03"}, {jobFile, "H07"}, nil} {
		var b, errs bytes.Buffer
		if args != nil && shopFills(args, &b, &errs) != 0 {
			t.Fatal(errs.String())
		}
		if args == nil {
			j, err := job.Read(jobFile)
			if err != nil {
				t.Fatal(err)
			}
			c, err := coupon.ForJob(j, coupon.Template, coupon.FewHoles)
			if err != nil {
				t.Fatal(err)
			}
			if err := coupon.Write(&b, c.Form()); err != nil {
				t.Fatal(err)
			}
		}
		form := filepath.Join(t.TempDir(), "form.csv")
		if err := os.WriteFile(form, b.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		a, err := readCoupon(couponReadOptions{}, []string{jobFile, form}, nil)
		if err != nil {
			t.Fatal(err)
		}
		p, circles, fills := couponsheet.Chart(a.chart()), 0, 0
		for _, it := range p.Items {
			if box := it.Ink(); box.Min.X < 0 || box.Min.Y < 0 || box.Max.X > p.Size.X || box.Max.Y > p.Size.Y {
				t.Errorf("%v: %+v lies off the paper", args, it)
			}
			switch it.(type) {
			case picture.Circle:
				circles++
			case picture.Fill:
				fills++
			}
		}
		rings := 0
		for _, x := range a.Points {
			if x.Outlier {
				rings++
			}
		}
		for _, x := range a.Trials {
			if x.Outlier {
				rings++
			}
		}
		if got, want := circles+fills, len(a.Points)+len(a.Trials)+rings; got != want || len(a.Outliers) != rings {
			t.Errorf("%v: %d marks, want %d; %d rings for %v", args, got, want, rings, a.Outliers)
		}
	}
}
