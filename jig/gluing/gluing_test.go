package gluing

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/beam"
	"reseat/jig/sourced"
)

func near(got, want, rel float64) bool { return math.Abs(got-want) <= rel*math.Abs(want) }

func pear() Board {
	return Board{LengthMM: 478, WidthMM: 55, ThicknessMM: 6.5, AcrossPerPct: 0.002, AlongPerPct: 0.002 / 30,
		Density: sourced.One(700, "kg/m3", sourced.Given, "")}
}

// By hand, 200 g/m2 of PVA: 50 g/m2 of water into the board, 50/(700 x 6.5) = 1.0989 % of it. Soaked
// to 20 % it is a layer of 0.054945: cup 6 x 0.002 x 1.0989 x 0.945055/6.5 x 55^2/8 = 0.72497 mm; half
// the thickness wet, 6 x 0.002 x 1.0989 x 0.5/6.5 x 378.125 = 0.38356. Along, a thirtieth of the
// coefficient over (478/55)^2 = 75.533: 1.8253 mm. In width 0.002 x 1.0989 x 55 = 0.12088. Pressure 32 x
// 1858 x 274.625 x 0.72497/(5 x 9150625) = 0.25872 MPa.
func TestWetByHand(t *testing.T) {
	w, err := Wet("pva", sourced.One(200, "g/m2", sourced.Given, ""), pear(), beam.Hardwood.Across.Most)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"water", w.Water.Most, 50}, {"moisture", w.Moisture.Most, 1.0989}, {"cup", w.CupMM.Most, 0.72497},
		{"cup, deep", w.CupMM.Least, 0.38356}, {"bow", w.BowMM.Most, 1.8253}, {"grows", w.GrowsMM.Most, 0.12088},
		{"pressure", w.NeedsMPa, 0.25872},
	} {
		if !near(c.got, c.want, 1e-4) {
			t.Errorf("%s: %g, want %g", c.name, c.got, c.want)
		}
	}
	if w, err = Wet("epoxy", sourced.One(100, "g/m2", sourced.Given, ""), pear(), 1000); err != nil || w.CupMM.Most != 0 {
		t.Errorf("epoxy wets: %+v, %v", w, err)
	}
	if _, err = Wet("spit", sourced.Value{}, pear(), 1000); err == nil {
		t.Error("spit is no glue")
	}
	for wood, want := range map[string]bool{"Cocobolo": true, "Indian rosewood": true, "ebony, African": true,
		"pear": false} {
		if IsOily(wood) != want {
			t.Errorf("%s: oily is %t", wood, !want)
		}
	}
}

// Timoshenko's strip of two layers, by the forces and moments in it: two layers of one modulus, one
// of which would grow by eps, are in balance where no force and no moment is left. Equal layers make
// 3/2 eps/h, the thermostat's textbook case.
func TestCurlInBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h, f := rapid.Float64Range(2, 12).Draw(t, "h"), rapid.Float64Range(0.05, 0.5).Draw(t, "f")
		const eps, n = 1e-3, 20000
		k := curl(eps, f, h)
		if c := curl(eps, 0.5, h); !near(c, 1.5*eps/h, 1e-12) {
			t.Fatalf("equal layers curl by %g", c)
		}
		// Strain k (z - h/2) + mean, z from the dry face; mean growth eps f.
		var force, moment float64
		for i := range n {
			z := (float64(i) + 0.5) * h / n
			free := 0.0
			if z > h*(1-f) {
				free = eps
			}
			s := eps*f + k*(z-h/2) - free
			force += s * h / n
			moment += s * (z - h/2) * h / n
		}
		if math.Abs(force) > 2e-4*eps*h || math.Abs(moment) > 2e-4*eps*h*h {
			t.Fatalf("force %g, moment %g are left", force, moment)
		}
	})
}

// More glue never curls less while the layer is thin; a thicker board curls less; a board without
// water at all lies still.
func TestWetProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := pear()
		b.ThicknessMM = rapid.Float64Range(3, 20).Draw(t, "thickness")
		spread := sourced.One(rapid.Float64Range(0, 250).Draw(t, "spread"), "g/m2", sourced.Given, "")
		glue := rapid.SampledFrom([]string{"pva", "hide", "casein"}).Draw(t, "glue")
		w, err := Wet(glue, spread, b, 1000)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range []sourced.Value{w.Water, w.Moisture, w.CupMM, w.BowMM, w.GrowsMM} {
			if v.Least < 0 || v.Least > v.Most+1e-12 || math.IsNaN(v.Most) {
				t.Fatalf("%+v", w)
			}
		}
		b.ThicknessMM *= 2
		if v, _ := Wet(glue, spread, b, 1000); spread.Most > 0 && v.CupMM.Least >= w.CupMM.Least {
			t.Fatalf("%+v, twice as thick %+v", w, v)
		}
	})
}

func TestTimes(t *testing.T) {
	for _, c := range []struct {
		glue    string
		temp    float64
		open    float64 // least
		clamped float64
		cold    bool
	}{
		{"pva", 20, 5, 30, false}, {"pva", 30, 2.5, 15, false}, {"pva", 10, 10, 60, true}, {"epoxy", 20, 10, 720, false},
		{"hide", 15, math.Sqrt2, 60 * math.Sqrt2, true}, {"casein", 20, 5, 240, false},
	} {
		v, err := TimesAt(c.glue, c.temp)
		if err != nil || !near(v.Open.Least, c.open, 1e-9) || !near(v.Clamped.Least, c.clamped, 1e-9) ||
			v.TooCold != c.cold {
			t.Errorf("%s at %g: %+v, %v", c.glue, c.temp, v, err)
		}
		// It is on before it slides no more, and the plate is lifted before it may be worked.
		if v.Open.Least >= v.Release.Least || v.Release.Most >= 60*v.Load.Least || v.Release.Least >= v.Release.Most {
			t.Errorf("%s at %g: %+v is out of order", c.glue, c.temp, v)
		}
	}
	for _, temp := range []float64{-1, 41, math.NaN(), math.Inf(1)} {
		if _, err := TimesAt("pva", temp); err == nil {
			t.Errorf("glued at %g C", temp)
		}
	}
	if _, err := TimesAt("spit", 20); err == nil {
		t.Error("spit is no glue")
	}
}

// By hand: 1.88 ml on both sides of 478 mm, with half as much again 2.9498 mm2: a chamfer of 2.4289;
// under a rail of two sheets the lower of which, 2 mm, stands back by 1.4749.
func TestRelieve(t *testing.T) {
	r := Relieve(1.88, 478, 4.5, 0)
	if !near(r.SectionMM2, 2.9498, 1e-4) || !near(r.ChamferMM, 2.4289, 1e-4) || !near(r.ContactMM, 2.0711, 1e-4) {
		t.Errorf("%+v", r)
	}
	if r = Relieve(1.88, 478, 5, 2); !near(r.SetBackMM, 1.4749, 1e-4) || r.ContactMM != 3 {
		t.Errorf("%+v", r)
	}
	if r = Relieve(1.88, 478, 4.5, 0).Chamfered(2, 4.5); r.ContactMM != 2.5 || r.RoomMM2 != 2 || !near(r.RunsMM2, 1.9665, 1e-4) {
		t.Errorf("%+v", r)
	}
	if r = Relieve(90, 478, 3, 0); r.ContactMM != 0 {
		t.Errorf("a rail of %g mm faces the board", r.ContactMM)
	}
}

// By hand: 14 kN out of square by 2 degrees, 488.59 N; on 478 mm 1.02216 N/mm. A plate of 6 mm cast
// acrylic, 20 mm beside the board, pins of 6 mm 200 apart: E I 2800 x 6 x 8000/12 = 1.12e7; 5 x 1.02216
// x 1.6e9/(384 x 1.12e7) = 1.90132, and shear 1.02216 x 40000/(8 x 5/6 x 1037.04 x 120) = 0.049283; a
// pin 204.432/36 = 5.6787 MPa; bending 1.02216 x 5000 x 6/(6 x 400) = 12.777: more than 10.3 bears. At
// the edge 204.432/(46 x 3) = 1.4814. A board of beech, 6.5 thick and 48 wide, bends by 5 x 1.02216 x
// 1.6e9/(384 x 12205 x 6.5 x 110592/12) = 0.029127 and shear 40886.4/(8 x 5/6 x 595 x 312) = 0.033038,
// 0.062165: the two together by 0.060245, the bar under 0.030885 of the load.
func TestSideways(t *testing.T) {
	side := Sideways(14000)
	acrylic, _ := beam.Lookup("cast acrylic")
	r := Rail{Material: acrylic, LengthMM: 478, ContactMM: 3, Edge: beam.Hardwood}
	b := r.OnPins(side, 200, 20, 6, 6)
	if !near(side, 488.59, 1e-4) || !near(b.DeflectionMM, 1.95060, 1e-4) || !near(b.FootMPa, 5.6787, 1e-4) ||
		!near(b.RailMPa, 12.777, 1e-4) || !near(b.EdgeMPa, 1.48139, 1e-4) || !near(b.Used, 12.777/10.3, 1e-4) {
		t.Errorf("%g N: %+v", side, b)
	}
	r.Board = beam.Bar{WidthMM: 6.5, HeightMM: 48, ModulusMPa: 12205, ShearMPa: 595}
	if b = r.OnPins(side, 200, 20, 6, 6); !near(b.DeflectionMM, 0.060245, 1e-3) || !near(b.RailMPa, 12.777*0.030885,
		2e-3) ||
		b.Used > 1 {
		t.Errorf("with the board: %+v", b)
	}
	if b = r.OnPins(side, 120, 24, 6, 6); b.Used > 1 || b.DeflectionMM > 0.2 {
		t.Errorf("pins 120 apart: %+v", b)
	}
	// Taped down 24 wide: 488.59/(478 x 24) = 0.042589 MPa, where tape bears 9.80665/625 = 0.015691.
	if b = r.Stuck(side, 6, 24); !near(b.FootMPa, 0.042589, 1e-4) || !near(b.Used, 0.042589/0.015691, 1e-4) {
		t.Errorf("taped: %+v", b)
	}
	// A printed wall is package beam's cantilever; twice the load moves it twice as far.
	if a, b := r.Wall(side, 4.5, 4), r.Wall(2*side, 4.5, 4); !near(b.DeflectionMM, 2*a.DeflectionMM, 1e-9) ||
		a.DeflectionMM <= 0 {
		t.Errorf("%+v, %+v", a, b)
	}
	if b = r.Wall(side, 0, 4); b.DeflectionMM != 0 {
		t.Errorf("a wall of no height gives %g", b.DeflectionMM)
	}
}
