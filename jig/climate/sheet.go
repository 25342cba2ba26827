package climate

import (
	"math"
	"strings"

	"reseat/jig/sourced"
)

// sheet is a material that is no solid wood: a board, a metal or a plastic. Growths
// are relative; positive grows.
type sheet struct {
	name        string
	perK        span // in the plane, per kelvin
	perRH       span // along, per 1 % of relative humidity, taken up within days
	perRHAcross float64
	slow        []point // taken up over weeks
	source      string  // its mark first
	recalled    bool
	note        string
}

// span is a figure that is taken, within the ends of what its sources have.
type span struct{ taken, least, most float64 }

// off is how far the truth may lie from what is taken, either way.
func (s span) off() float64 { return math.Max(s.most-s.taken, s.taken-s.least) }

// point is a growth at a relative humidity in percent.
type point struct{ rhPct, growth float64 }

// sheetOf makes a sheet of a line of the table.
func sheetOf(c cells) sheet {
	read := func(taken, least, most string) span {
		s := span{c.number(taken), c.number(taken), c.number(taken)}
		if c[least] != "" {
			s.least = c.number(least)
		}
		if c[most] != "" {
			s.most = c.number(most)
		}
		return s
	}
	s := sheet{
		name: c["name"], perK: read("per_k", "per_k_low", "per_k_high"),
		perRH: read("per_rh", "per_rh", "per_rh_worst"), perRHAcross: c.number("per_rh"),
		source: c.source(), recalled: c.mark() == sourced.Recalled, note: c["note"],
	}
	if c["per_rh_across"] != "" {
		s.perRHAcross = c.number("per_rh_across")
	}
	for _, at := range c.list("slow") {
		rh, growth, _ := strings.Cut(at, ":")
		s.slow = append(s.slow, point{number(rh), number(growth)})
	}
	return s
}

// slowAt is the growth taken up over weeks in air of a humidity: straight lines
// from nothing at 0 % from point to point, level beyond them.
func (s sheet) slowAt(rhPct float64) float64 {
	var a point
	for _, b := range s.slow {
		if rhPct <= b.rhPct {
			return a.growth + (b.growth-a.growth)*(rhPct-a.rhPct)/(b.rhPct-a.rhPct)
		}
		a = b
	}
	return a.growth
}

// findSheet finds a material that is no solid wood. Plywood may have a wood's name
// before it ("birch plywood").
func findSheet(material string) (sheet, bool) {
	if s, ok := sheets().find(material); ok {
		return s, true
	}
	words := strings.Fields(key(material))
	for i, w := range words {
		if w != "plywood" && w != "ply" {
			continue
		}
		rest := strings.Join(append(words[:i:i], words[i+1:]...), " ")
		s, isPly := sheets().find(rest) // "Baltic birch plywood"
		if _, isWood := woods().find(rest); isWood || isPly && s.name == "plywood" {
			return sheets().find("plywood")
		}
	}
	return sheet{}, false
}

// strain is the change of a sheet, a metal or a plastic.
func (s sheet) strain(from, to Air) (Change, error) {
	for _, a := range []Air{from, to} {
		if err := workshopSpan.check(a); err != nil {
			return Change{}, err
		}
	}
	warmer, damper := to.TempC-from.TempC, to.RHPct-from.RHPct
	unsure := math.Hypot(s.perK.off()*warmer, s.perRH.off()*damper)
	return Change{
		Taken: s.name, Along: float64(s.perK.taken*warmer) + float64(s.perRH.taken*damper),
		Across: float64(s.perK.taken*warmer) + float64(s.perRHAcross*damper),
		Unsure: unsure, SlowMoisture: s.slowAt(to.RHPct) - s.slowAt(from.RHPct),
		Source: s.source, FromMemory: s.recalled, Note: s.note,
	}, nil
}

// Expansion is the growth of a sheet, a metal or a plastic per kelvin, with the
// range that its sources have.
func Expansion(material string) (sourced.Value, error) {
	s, ok := findSheet(material)
	if !ok {
		return sourced.Value{}, unknown("material", material, sheets().names, sheets().keys)
	}
	return sourced.Value{Least: s.perK.least, Most: s.perK.most, Unit: "/K", Source: s.source}, nil
}
