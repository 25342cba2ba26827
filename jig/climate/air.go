package climate

import "fmt"

// Air is the climate that a piece has come to rest in.
type Air struct {
	TempC float64 // degrees Celsius
	RHPct float64 // relative humidity, percent
}

// airSpan is a range of climates.
type airSpan struct {
	leastC, mostC   float64 // degrees Celsius
	leastRH, mostRH float64 // percent
	why             string
}

var (
	// moistureSpan is where the moisture equation is used. Table 4-2 of the Wood
	// Handbook, which is that equation rounded, begins at 30 F (-1.1 C) and 5 % RH
	// and ends at 95 %; 130 F (54.4 C) is as warm as a piece gets in a workshop or a
	// parked car. Rounded outwards. Near saturation the equation is no longer wood
	// in air but wood in water, hence 98 %; at 0 % it gives 0.
	moistureSpan = airSpan{-2, 55, 0, 98, "where the moisture equation for wood is good"}

	// workshopSpan is where a constant thermal expansion is a fair figure for a
	// plastic: below the softening of PLA, above its brittle range. Common practice,
	// no source.
	workshopSpan = airSpan{-40, 60, 0, 100, "what a workshop can be"}
)

// check refuses what is outside the span, and what is no number.
func (s airSpan) check(a Air) error {
	const says = "%s of %g %s is outside %g to %g %s, %s"
	if !(a.TempC >= s.leastC && a.TempC <= s.mostC) {
		return fmt.Errorf(says, "temperature", a.TempC, "C", s.leastC, s.mostC, "C", s.why)
	}
	if !(a.RHPct >= s.leastRH && a.RHPct <= s.mostRH) {
		return fmt.Errorf(says, "humidity", a.RHPct, "% RH", s.leastRH, s.mostRH, "% RH", s.why)
	}
	return nil
}
