package dowel

import (
	"fmt"
	"math"
	"slices"

	"reseat/fit"
	"reseat/jig/sourced"
	"reseat/jig/units"
)

// explainDirect says why a hole that the process finishes itself is as it is.
func (r Request) explainDirect(c candidate) []string {
	p := c.direct
	out := []string{r.verdict(c)}
	if c.MeanMM < p.SmallestHole {
		out = r.tooSmall(out, c.MeanMM, "drill it")
	}
	if p.Kind == fit.Drill && c.bit == nil {
		out = append([]string{fmt.Sprintf("no drill of the series makes %.2f mm (metric to 25 mm, inch to 1 in): bore it",
			c.DrawnMM)}, out...)
	}
	worst := "smallest"
	if r.Purpose == Press {
		worst = "largest"
	}
	out = append(out, fmt.Sprintf("%s comes out to +-%.3f mm (95 %%)%s: the mean is set so that even the %s one serves",
		r.made(p.Kind), p.Spread, taper(*p), worst))
	if c.Within != "" {
		out = append(out, "the limits lie within "+c.Within+", which itself would pass too small a hole")
	}
	if a, ok := p.Assumption("bias"); ok && p.Kind == fit.Print && a.Range.Mark != sourced.Given {
		out = append(out, fmt.Sprintf("no shrinkage of the printed hole is assumed: print a coupon (up to %.1f mm "+
			"small, %s: %s)",
			fit.ShrinkMM, a.Range.Mark, fit.ShrinkSource))
	}
	if p.Kind == fit.Drill && fit.IsBoard(r.Material) && (r.Purpose == Locate || r.Purpose == Slide) {
		out = append(out, "closer: bore it on the router; ply and fibre boards are not reamed, they tear and close")
	}
	if r.family() == fit.Wood && r.Purpose != Clear {
		out = append(out, r.closes())
	}
	return out
}

// explainOpened says why a hole that is opened afterwards is as it is.
func (r Request) explainOpened(c candidate) []string {
	p := r.Process
	out := []string{r.verdict(c)}
	if c.customary {
		out = []string{
			fmt.Sprintf("H7, %.3f to %.3f mm: the reamed hole that an m6 pin is made for, interference up to %.3f "+
				"mm, clearance up to %.3f mm",
				c.MinMM, c.MaxMM, -c.ClearanceMinMM, c.ClearanceMaxMM),
			fmt.Sprintf("%.0f %% of pins sit tight; for one that turns by hand use retaining compound or another pin",
				100*(1-c.Odds)),
		}
	}
	if c.DrawnMM < p.SmallestHole {
		out = r.tooSmall(out, c.DrawnMM, "mark the centre and drill")
	}
	if p.Kind == fit.Laser || p.Kind == fit.Print {
		out = append(out, fmt.Sprintf("%s comes out to +-%.2f mm%s and holds no such fit: so it is cut %.2f mm "+
			"under and opened",
			r.made(p.Kind), p.Spread, taper(p), r.Pin.NominalMM-c.DrawnMM))
	}
	if o := c.Stock; o != nil {
		out = append(out, fmt.Sprintf("easier to buy: %s with %s: clearance %.3f to %.3f mm, %s enter; of %s pins only %s "+
			"would, so they need a special reamer", o.Pin, o.Reamer, max(0, o.ClearanceMinMM),
			o.ClearanceMaxMM, percent(o.Odds), r.pinName(), percent(r.stockOdds())))
	} else if s := r.h7Note(c); s != "" {
		out = append(out, s)
	}
	if fit.IsBoard(r.Material) && !r.Slot {
		out = append(out, r.Material+" tears and closes behind a reamer and is seldom reamed: bore it on the "+
			"router, or prove the reamer in scrap")
	} else if r.family() == fit.Wood {
		out = append(out, r.closes())
	}
	if r.Slot {
		out = append(out, "a slot cannot be reamed: milled or filed it holds about two grades less than a reamed hole")
	} else if c.meets {
		out = append(out, "reamer to buy: "+c.Reamer.Buy[0])
	}
	return out
}

func (r Request) closes() string {
	return r.Material + " closes on the pin and swells in damp air: try the pin again before each use"
}

func (r Request) tooSmall(out []string, mm float64, remedy string) []string {
	return append([]string{fmt.Sprintf("%s of %.2f mm is under %.1f mm, the smallest that comes out in %s mm: %s",
		r.made(r.Process.Kind), mm, r.Process.SmallestHole, short(r.ThicknessMM), remedy)}, out...)
}

// taper tells the taper, and what it may be where nobody has measured it.
func taper(p fit.Process) string {
	s := ""
	if p.Unsure > 0 {
		s = fmt.Sprintf(" about a mean that is known to +-%.3f", p.Unsure)
	}
	if p.TaperMM == 0 {
		return s
	}
	s += fmt.Sprintf(", tapers by %.2f", p.TaperMM)
	if a, ok := p.Assumption("taper"); ok && a.Range.Mark != sourced.Given {
		s += fmt.Sprintf(" (up to %.1f on some machines: cut a coupon)", a.Range.Most)
	}
	return s
}

// verdict says in one line what the limits do to the pin.
func (r Request) verdict(c candidate) string {
	pin := fmt.Sprintf("the %s pin (%.4f to %.4f)", r.pinName(), r.Pin.MinMM, r.Pin.MaxMM)
	name := fmt.Sprintf("%s, %.3f to %.3f mm", c.Class, c.MinMM, c.MaxMM)
	always := "always "
	if c.direct != nil || r.Purpose != Press && c.Odds < certainOdds { // its limits hold 95 % of the holes, no more
		always = ""
	}
	switch {
	case r.Purpose == Press && c.meets:
		return fmt.Sprintf("%s: %s %ssits with an interference of %.3f to %.3f mm", name, pin, always,
			math.Max(0, -c.ClearanceMaxMM), -c.ClearanceMinMM)
	case r.Purpose == Press:
		return fmt.Sprintf("%s: %s can be loose by %.3f mm", name, pin, c.ClearanceMaxMM)
	case c.meets:
		return fmt.Sprintf("%s: %s %shas a clearance of %.3f to %.3f mm", name, pin, always,
			math.Max(0, c.ClearanceMinMM), c.ClearanceMaxMM)
	case c.ClearanceMinMM >= -edgeMM:
		return fmt.Sprintf("%s: %s goes in, but with a clearance of %.3f mm where %.3f is wanted", name, pin,
			math.Max(0, c.ClearanceMinMM), r.least())
	}
	return fmt.Sprintf("%s: %s does not always go in (%.3f to %+.3f mm), probability %.0f %%", name, pin,
		c.ClearanceMinMM, c.ClearanceMaxMM, 100*c.Odds)
}

// notFeltMM is an interference that no hand feels and no micrometer tells.
const notFeltMM = 0.001

// certainOdds is when "always" is said. Common practice, no source.
const certainOdds = 0.999

// percent is a probability in whole percent; what is not certain is not told as 100.
func percent(odds float64) string {
	if odds >= 0.995 && odds < 1 {
		return "over 99 %"
	}
	return fmt.Sprintf("%.0f %%", 100*odds)
}

// stockOdds is how often the pin enters the hole that a reamer for H7 makes.
func (r Request) stockOdds() float64 {
	m, err := Reamer(r.Pin.NominalMM, fit.Class{Letters: "H", Grade: fit.IT7})
	finish, err2 := r.finisher()
	if err != nil || err2 != nil {
		return 0
	}
	mean, sd := m.Hole(finish)
	return fit.EntryOdds(mean, sd, r.Pin.MeanMM(), r.Pin.SDMM)
}

// h7Note tells that the pin does not slide in the hole that everybody would ream.
func (r Request) h7Note(c candidate) string {
	if r.Purpose == Press || r.Slot || c.Class == "H7" {
		return ""
	}
	l, err := fit.ClassLimits(r.Pin.NominalMM, fit.Class{Letters: "H", Grade: fit.IT7})
	if err != nil {
		return ""
	}
	low, high := r.Pin.NominalMM+l.Lower/1000, r.Pin.NominalMM+l.Upper/1000
	if low >= r.Pin.MaxMM-notFeltMM {
		return ""
	}
	return fmt.Sprintf("an H7 hole (%.3f to %+.3f mm to this pin, %.0f %% enter) is no running fit: take the larger "+
		"reamer",
		low-r.Pin.MaxMM, high-r.Pin.MinMM, 100*r.stockOdds())
}

// what names the opening: "hole" or "slot".
func (r Request) what() string {
	if r.Slot {
		return "slot"
	}
	return "hole"
}

// pinName names the pin as on a parts list.
func (r Request) pinName() string {
	d := short(r.Pin.NominalMM)
	switch {
	case r.Pin.Class != "" && !r.Pin.IsInch():
		return d + " " + r.Pin.Class
	case r.Pin.IsInch():
		d = units.Inches(r.Pin.NominalMM) + " in"
	default:
		d += " mm"
	}
	if r.Pin.Standard == measured {
		d = "measured " + d
	}
	return d
}

// made says what a process makes: "a laser hole", "a printed slot".
func (r Request) made(k fit.ProcessKind) string {
	i := slices.Index(fit.ProcessKinds(), k)
	return "a " + []string{"reamed", "routed", "drilled", "laser", "printed"}[i] + " " + r.what()
}
