package holddown

import "math"

const (
	// gravity is the standard acceleration of free fall in m/s2, exact (CGPM 1901):
	// N per kilogram.
	gravity = 9.80665
	// One maker's rule for double-sided acrylic foam tape
	// (innovasolutions.co.uk, technical support, "how much tape do I need"): 60 cm2
	// hold a kilogram for good, 6.25 cm2 for a short time.
	lastingMM2PerKg = 6000.0
	shortMM2PerKg   = 625.0
)

// ruleOfTape says where both holding figures come from.
const ruleOfTape = "one maker's rule for double-sided acrylic foam tape (innovasolutions.co.uk); other tapes differ"

// hold is what the tape holds, in N/mm2, for a short time and for good. A figure
// that is given stands for both.
//
//	1 kg on 6.25 cm2: 9.80665 N / 625 mm2  = 15.7 kPa
//	1 kg on 60 cm2:   9.80665 N / 6000 mm2 = 1.6 kPa
func (s Spec) hold() (short, lasting Figure) {
	given := s.HoldKPa / 1000
	short = or(given, "N/mm2", "holding pressure as given", Figure{gravity / shortMM2PerKg, "N/mm2", Derived, "6.25 cm2 hold 1 kg for a short time: " + ruleOfTape})
	lasting = or(given, "N/mm2", "holding pressure as given", Figure{gravity / lastingMM2PerKg, "N/mm2", Derived, "60 cm2 hold 1 kg for good: " + ruleOfTape})
	return short, lasting
}

// need fills in the area of tape.
//
//	area = factor x (sideways + lift) / hold
//
// Shear and lift are added as if they acted on the same tape in full, and the tape
// is taken to hold as much when pulled off as when sheared; the board's weight is
// left out.
func (s Spec) need(r *Result) {
	r.HoldShort, r.HoldLasting = s.hold()
	r.Factor = or(s.Factor, "", "safety factor as given", Figure{UsualFactor, "", Practice, "safety factor"})
	load := r.Factor.Value * (r.Sideways.Value + math.Max(0, r.Lift.Value))
	r.NeedShort = computed(load/r.HoldShort.Value, "mm2", "factor x (sideways + lift) / what the tape holds for a short time", r.Factor, r.Sideways, r.Lift, r.HoldShort)
	r.NeedLasting = computed(load/r.HoldLasting.Value, "mm2", "factor x (sideways + lift) / what the tape holds for good", r.Factor, r.Sideways, r.Lift, r.HoldLasting)
}
