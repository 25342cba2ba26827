package glued

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/account"
	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/part"
	"reseat/jig/rail"
)

// caseOf is a fingerboard of pear on sapele, its rails' section as given, on two pins and one with
// play.
func caseOf(t interface{ Fatal(...any) }, rails string) Case {
	j, err := job.Parse("job.yaml", []byte(`units: mm
board: {length: 478, width: {start: 41.5, end: 55}, thickness: 6.5, crown_radius: 350, wood: pear, grain: quarter}
blank: {length: 640, width: 116, thickness: 26, wood: sapele, make: {by: router, cutter: 3}}
bed: {material: mdf, thickness: 18, make: {by: router, cutter: 3}}
dowel: {standard: iso 8734, diameter: 6, length: 14}
template: {seat: nest, material: cast acrylic, thickness: 4, make: {by: laser, kerf: 0.2, spread: 0.03, position: 0.05}}
rails: {glue: pva, plate: sheet, thickness: 4`+rails+`}
`))
	if err != nil {
		t.Fatal(err)
	}
	p, err := part.Lookup(j)
	if err != nil {
		t.Fatal(err)
	}
	g, err := rail.Glue(rail.GlueSpec{AreaMM2: 478 * (41.5 + 55) / 2, EdgeMM: 956.2, Glue: "pva",
		Wood: rail.HardnessOf("pear", "sapele"), RailLengthMM: 430})
	if err != nil {
		t.Fatal(err)
	}
	return Case{
		Job: j, Parts: p, Gluing: g, MarginMM: 24, Seed: 1,
		Pins: []account.Pin{
			{At: geom.Vec{X: -16}, MostMM: 0.03}, {At: geom.Vec{X: 494}, MostMM: 0.06}, {At: geom.Vec{X: 319, Y: 41}, MostMM: 2.9},
		},
		Features: []budget.Feature{{Name: "dot", At: geom.Vec{X: 320}}},
	}
}

func of(t interface{ Fatal(...any) }, c Case) Plan {
	f, err := Compute(c)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Eight clamps of 2 kN do what glue's makers ask for at least: 0.689 MPa on 23063.5 mm2 is 15.9 kN.
// The pins alone would let the plate bend by millimetres; held in between it does not.
func TestFingerboard(t *testing.T) {
	f := of(t, caseOf(t, ""))
	if f.Clamps.Count != 8 || !f.Clamps.Reaches || f.Caul.Given || f.Caul.Material != "plywood" ||
		!(f.Caul.HeightMM > 11 && f.Caul.HeightMM < 14) || f.Caul.Least < 1.0/3 || f.Caul.HollowMM != 352 {
		t.Errorf("%+v %+v", f.Clamps, f.Caul)
	}
	if f.SideN != f.Clamps.ForceN*math.Sin(2*math.Pi/180) || f.HeldMM <= 60 || f.HeldMM >= 200 ||
		f.Rail.DeflectionMM > mostDeflectionMM {
		t.Errorf("%g N sideways, held every %g, %+v", f.SideN, f.HeldMM, f.Rail)
	}
	if f.Taped || f.Wedges != nil || f.Relief != nil || len(f.Others) != 2 || f.Others[0].Reaches ||
		f.Caul.StressMPa <= 0 {
		t.Errorf("%+v", f)
	}
	if len(f.Place) != 1 || len(f.Edges) != 6 || f.Times.TooCold || f.Oily != nil || f.Water.CupMM.Most <= 0 {
		t.Errorf("%+v", f)
	}
	p := f.Press()
	if p.Clamps != 8 || p.CaulMM < f.Caul.HeightMM || p.HeldMM > f.HeldMM {
		t.Errorf("the bench is told %+v", p)
	}
}

func TestWhatIsGiven(t *testing.T) {
	for _, c := range []struct {
		name, rails string
		rule, level string
		holds       func(Plan) bool
	}{
		{"small clamps, as many as fit", ", clamps: {force_n: 300}", "clamp-pressure", "warn",
			func(f Plan) bool { return f.Clamps.Count == 12 && f.Clamps.ForceN == 3600 }},
		{"a thin caul takes more clamps than the pressure", ", caul: {height: 6}", "clamp-pressure", "pass",
			func(f Plan) bool { return f.Caul.Given && f.Clamps.Count > 8 && f.Caul.Least >= 1.0/3 }},
		{"a caul of beech may be lower", ", caul: {material: beech}", "clamp-pressure", "pass",
			func(f Plan) bool { return f.Caul.HeightMM < 11 }},
		{"wedged", ", push: left", "place-on-blank", "pass", func(f Plan) bool {
			// A tap of 50 N on acrylic at 1 in 10: 50/(tan(0.0997 + 0.5404) + 0.6) = 37.2 N at most.
			return f.Contributions[0].WorstMM < 1e-9 && f.Wedges.Held && math.Abs(f.Wedges.Press.Most-37.2) < 0.1
		}},
		{"a push without wedges", ", push: right", "rail-push", "warn", func(f Plan) bool {
			return f.Finger.Strain <= f.Finger.Allowed.Least && f.Wedges == nil && f.Contributions[0].WorstMM > 0.1
		}},
		{"wedges of a sheet that slips nobody knows how", ", push: left, material: polycarbonate", "wedge-holds", "warn",
			func(f Plan) bool { return f.Wedges == nil && f.Clamps.Count == 8 && len(f.Place) > 0 }},
		{"more is asked than it does", ", accuracy: 0.02", "place-on-blank", "fail", func(Plan) bool { return true }},
	} {
		t.Run(c.name, func(t *testing.T) {
			k := caseOf(t, c.rails)
			k.Wedged = k.Job.Rails.Push == "left" // what site draws
			f := of(t, k)
			if !c.holds(f) {
				t.Errorf("%+v %+v", f.Clamps, f.Caul)
			}
			found := false
			for _, r := range f.Judge(k.Job) {
				if found = found || r.ID == c.rule; r.ID == c.rule && r.Level != c.level {
					t.Errorf("%+v", r)
				}
			}
			if !found {
				t.Errorf("no rule %s", c.rule)
			}
		})
	}
}

// On a cold day the film may not close; no accuracy asked for is no failure.
func TestJudge(t *testing.T) {
	k := caseOf(t, "")
	k.Job.Climate = &job.Climate{Now: job.Air{TempC: 8, RHPct: 50}}
	k.Job.Rails.GapMM, k.Job.Board.Wood = 2, "Indian rosewood"
	f := of(t, k)
	levels := map[string]string{}
	for _, r := range f.Judge(k.Job) {
		levels[r.ID] = r.Level
		if r.Says == "" || r.Remedy == "" && r.Level != "pass" || r.Key == "" {
			t.Errorf("%+v", r)
		}
	}
	if levels["cold-glue"] != "warn" || levels["place-on-blank"] != "warn" || fmt.Sprint(f.Oily) != "[Indian rosewood]" {
		t.Errorf("%v, oily %v", levels, f.Oily)
	}
	k.Job.Climate.Now.TempC = 55
	if _, err := Compute(k); err == nil {
		t.Error("glued at 55 C")
	}
}

// Stronger clamps never press less, and a board without pins has no place.
func TestProperties(t *testing.T) {
	k := caseOf(t, "")
	rapid.Check(t, func(t *rapid.T) {
		c := k
		c.Job = k.Job.Changed(func(j *job.Job) {
			r := *j.Rails
			r.ClampN = rapid.Float64Range(20, 5000).Draw(t, "clamp")
			r.Caul.HeightMM = rapid.SampledFrom([]float64{0, 8, 18, 40}).Draw(t, "caul")
			j.Rails = &r
		})
		c.Pins = nil
		f := of(t, c)
		if f.Place != nil || f.Edges != nil || f.Caul.Least < 1.0/3 || f.Clamps.Count < 1 {
			t.Fatalf("%+v", f)
		}
		if !f.Clamps.Reaches && float64(f.Clamps.Count)*40 < 400 {
			t.Fatalf("%d clamps of %g N: more would fit", f.Clamps.Count, f.Clamps.EachN)
		}
	})
}

// No feature is off by more than those at the ends, but for what its place across adds.
func TestOutermost(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 1))
	for range 5 {
		k := caseOf(t, "")
		k.Features = nil
		for range 3 {
			k.Features = append(k.Features, budget.Feature{At: geom.Vec{X: 478 * r.Float64()}})
		}
		worst := 0.0
		for _, f := range k.Features {
			one := k
			one.Features = []budget.Feature{f}
			worst = max(worst, of(t, one).Place[0].WorstMM)
		}
		all := of(t, k)
		if len(all.Place) != 2 || all.Place[0].WorstMM < worst-1e-9 && all.Place[1].WorstMM < worst-1e-9 {
			t.Errorf("%+v, each by itself %g", all.Place, worst)
		}
	}
}
