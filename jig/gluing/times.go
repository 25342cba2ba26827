package gluing

import (
	"fmt"
	"math"

	"reseat/jig/sourced"
)

// Times are how long what takes with a glue at a temperature, all from spreading it.
type Times struct {
	Open    sourced.Value `ends:"open_min,open_most_min"` // until the board must be on and pressed
	Release sourced.Value `ends:"lift_min,lift_most_min"` // the board slides no more, the squeeze-out is not yet hard
	Clamped sourced.Value `ends:"clamped_min,"`           // under pressure, at least
	Load    sourced.Value `ends:"load_h,"`                // until it may be worked or strung
	LeastC  sourced.Value `ends:",least_c"`               // colder, the film does not close
	TooCold bool          `json:"too_cold"`
}

func span(least, most float64, unit string, mark sourced.Mark, source string) sourced.Value {
	return sourced.Value{Least: least, Most: most, Unit: unit, Mark: mark, Source: source}
}

const (
	// Sources of several times; shop marks what is common practice, without one.
	shop  = "at 20 C; the maker's own figure wins"
	cold  = "renovateyourworld.com, glue temperature: 55 F for white glue, 40 F for yellow"
	clamp = "woodrio.com, how long to leave wood glue clamped"
)

// at20 are the times at 20 C. The Wood Handbook has 15 min to 24 h under pressure (FPL-GTR-190,
// p. 10-18): until the glue is strong enough for whatever may shift the parts.
var at20 = map[string]Times{
	"pva": {
		Open:    span(5, 30, "min", sourced.Standard, tradeTables),
		Release: span(30, 90, "min", sourced.Practice, shop), Clamped: span(30, 60, "min", sourced.Web, clamp),
		Load: span(24, 24, "h", sourced.Web, clamp), LeastC: span(4, 13, "C", sourced.Web, cold),
	},
	"epoxy": {
		Open:    span(10, 60, "min", sourced.Web, "by hardener: woodmagazine.com, epoxy"),
		Release: span(240, 480, "min", sourced.Practice, "slow hardener: while a nail still dents it; "+shop),
		Clamped: span(720, 1440, "min", sourced.Web, clamp), Load: span(24, 72, "h", sourced.Practice, shop),
		LeastC: span(10, 15, "C", sourced.Practice, "by hardener"),
	},
	"hide": {
		Open:    span(1, 10, "min", sourced.Web, "hot or liquid: diydata.com, natural glues"),
		Release: span(60, 180, "min", sourced.Practice, shop),
		Clamped: span(60, 1440, "min", sourced.Web, "hot to liquid: startwoodworkingnow.com, wood glue drying time"),
		Load:    span(24, 48, "h", sourced.Practice, shop), LeastC: span(15, 20, "C", sourced.Practice, "it gels when cold"),
	},
	"casein": {
		Open:    span(5, 10, "min", sourced.Standard, tradeTables),
		Release: span(60, 180, "min", sourced.Practice, shop), Clamped: span(240, 360, "min", sourced.Practice, shop),
		Load: span(24, 48, "h", sourced.Practice, shop), LeastC: span(5, 10, "C", sourced.Practice, shop),
	},
}

// doublesC is by how much colder a glue takes twice as long. Common practice: a cold workshop takes
// twice as long as a warm one (web: renovateyourworld.com), chemistry's rule of thumb for 10 K.
const doublesC = 10.0

// TimesAt returns the times of a glue at a temperature in C, 0 to 40; the error names the glues, or
// a temperature out of range.
//
//	t = t(20 C) x 2^((20 - T)/10)
func TimesAt(glue string, tempC float64) (Times, error) {
	t, ok := at20[glue]
	if !ok {
		return Times{}, fmt.Errorf("glue %q is not known; there are pva, epoxy, hide, casein", glue)
	}
	if !(tempC >= 0 && tempC <= 40) {
		return Times{}, fmt.Errorf("%g C is no temperature to glue at; want 0 to 40", tempC)
	}
	k := math.Exp2((20 - tempC) / doublesC)
	rule := sourced.One(k, "", sourced.Practice, "twice as long for each 10 K colder")
	for _, v := range []*sourced.Value{&t.Open, &t.Release, &t.Clamped, &t.Load} {
		if tempC != 20 {
			*v = v.Times(k, v.Unit, v.Source+"; twice as long for each 10 K colder", rule)
		}
	}
	t.TooCold = tempC < t.LeastC.Most
	return t, nil
}
