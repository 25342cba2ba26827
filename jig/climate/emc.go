package climate

// quadratic is a + b t + c t^2.
type quadratic struct{ a, b, c float64 }

func (q quadratic) at(t float64) float64 { return q.a + float64(t*(q.b+float64(t*q.c))) }

// The parameters of the moisture equation, t in degrees Celsius (standard: Wood
// Handbook equation 4-5 as Simpson has it, Research Note FPL-RN-0268, 1998;
// testdata/reference/emc_equation.csv).
var (
	emcW  = quadratic{349, 1.29, 0.0135}
	emcK  = quadratic{0.805, 0.000736, -0.00000273}
	emcK1 = quadratic{6.27, -0.00938, -0.000303}
	emcK2 = quadratic{1.91, 0.0407, -0.000293}
)

// EMC is the equilibrium moisture content of wood, percent of its oven-dry mass,
// in air at rest:
//
//	M = 1800/W [ K H/(1 - K H) + (K1 K H + 2 K1 K2 K^2 H^2)/(1 + K1 K H + K1 K2 K^2 H^2) ]
//
// with H the relative humidity as a share of 1 and W, K, K1, K2 quadratics in the
// temperature. It is good from -2 to 55 C and 0 to 98 % RH; anything else is an
// error. The equation is one curve for all woods: a kind of wood may be off by
// 1 % of moisture, dense and oily ones lower (common practice, no source).
//
// Reference: Wood Handbook FPL-GTR-190, equation 4-5 (Hailwood and Horrobin, two
// hydrates).
func EMC(a Air) (float64, error) {
	if err := moistureSpan.check(a); err != nil {
		return 0, err
	}
	return emc(a.TempC, a.RHPct), nil
}

// emc is EMC within its range.
func emc(tempC, rhPct float64) float64 {
	h := emcK.at(tempC) * rhPct / 100
	one := emcK1.at(tempC) * h
	two := one * emcK2.at(tempC) * h
	return 1800 / emcW.at(tempC) * (h/(1-h) + (one+float64(2*two))/(1+one+two))
}
