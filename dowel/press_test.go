package dowel

import (
	"errors"
	"math"
	"strings"
	"testing"

	"reseat/fit"
	"reseat/testdata/reference"
)

// Worked press fits of a machine-design textbook (source at the head of the table).
func TestInterferencePressureAgainstTable(t *testing.T) {
	for _, r := range reference.Rows(t, "pressfit_cases.csv") {
		n := func(k string) float64 { return reference.Number(t, r[k]) }
		ri, rr, ro := n("r_i"), n("R"), n("r_o")
		p := interferencePressure(cylinder{n("E_o"), n("nu_o")}, cylinder{n("E_i"), n("nu_i")}, ri, rr, ro,
			n("delta_radial"))
		// Answers are printed to three figures or more: half a unit of the third is
		// 0.5 % at worst.
		if math.Abs(p/n("p")-1) > 0.005 {
			t.Errorf("%s: %g, the book has %s", r["case"], p, r["p"])
		}
		if strings.Contains(r["case"], "hub hoop 37500") {
			if s := p * hubFactor(rr, ro); math.Abs(s/37500-1) > 0.005 {
				t.Errorf("%s: hoop %g", r["case"], s)
			}
		}
	}
}

func TestPressInAcrylicRefused(t *testing.T) {
	for _, material := range []string{"cast acrylic", "extruded acrylic", "acrylic"} {
		for _, d := range []float64{2, 3, 6, 8, 10, 12, 16, 25} {
			for _, k := range []fit.ProcessKind{fit.Laser, fit.Router, fit.Drill, fit.Ream} {
				p, err := Lookup("iso 2338", d, "m6")
				if err != nil {
					t.Fatal(err)
				}
				r := request(t, p, material, 6, k, Press)
				_, err = ChooseHole(r)
				var pe *PressError
				if !errors.As(err, &pe) {
					t.Errorf("%g m6 in %s by %s: %v", d, material, k, err)
					continue
				}
				if pe.StressMPa <= pe.CrazingMPa/2 || !strings.Contains(err.Error(), "crazing limit of") {
					t.Errorf("%+v", pe)
				}
			}
		}
	}
}

// 6 m6 in cast acrylic by hand: K8 at 6 mm is +5/-13 um (ISO 286-2), pin to +12, so
// 0.025 at most, 6 x (80 - 11.7)e-6 x 15 = 0.0061 more from cooling by 15 K;
// delta/R = 0.0311/6 = 0.00519.
// Hub of ro/R = 4: (16+1)/(16-1) = 1.1333. p = 0.00519/(1.4833/3100 + 0.708/207000)
// = 10.77 MPa, hoop 12.2 MPa.
func TestPressFigureByHand(t *testing.T) {
	stress, limit, _, cooling, err := pressStress(fit.CastAcrylic, 6, 0.025)
	if err != nil || math.Abs(stress-12.2) > 0.05 || limit != 10.3 || math.Abs(cooling-0.0061) > 0.0001 {
		t.Errorf("stress %g, limit %g, cooling %g, %v", stress, limit, cooling, err)
	}
}
