package climate

import (
	"fmt"
	"math"
)

// Air is the climate that a piece has come to rest in.
type Air struct {
	TempC float64 // degrees Celsius
	RHPct float64 // relative humidity, percent
}

// An AirError is a temperature or humidity that nothing can be said about.
type AirError struct {
	What        string  // "temperature" or "humidity"
	Got         float64 // in Unit
	Least, Most float64 // what is taken, in Unit
	Unit        string  // "C" or "% RH"
	Why         string  // what the range belongs to
}

func (e *AirError) Error() string {
	return fmt.Sprintf("%s of %g %s is outside %g to %g %s, %s", e.What, e.Got, e.Unit, e.Least, e.Most, e.Unit, e.Why)
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
	if !(a.TempC >= s.leastC && a.TempC <= s.mostC) || math.IsNaN(a.TempC) {
		return &AirError{"temperature", a.TempC, s.leastC, s.mostC, "C", s.why}
	}
	if !(a.RHPct >= s.leastRH && a.RHPct <= s.mostRH) || math.IsNaN(a.RHPct) {
		return &AirError{"humidity", a.RHPct, s.leastRH, s.mostRH, "% RH", s.why}
	}
	return nil
}
