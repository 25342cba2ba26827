package sheet

import (
	"math"
	"slices"

	"reseat/jig"
)

// sampleTerm is what one source does to every feature of a sample, mm.
type sampleTerm struct {
	source, remedy        string
	worst, sd             float64
	alongBias, acrossBias float64
}

// blank returns a zero value of what p points at, so that the tests need no import
// of the package that computes the budget.
func blank[T any](*T) *T { return new(T) }

// addBudget gives every feature of d the same terms, a little larger with each
// station. The sums are those of the design: worst cases add up, the 95 % figure is
// set to twice the root mean square, as near as a drawing needs.
func addBudget(d *jig.Design, terms []sampleTerm) {
	n := len(d.Board.Features)
	d.Budget = blank(d.Budget)
	d.Budget.Trials, d.Budget.Seed = 100_000, 1
	d.Budget.Features = slices.Grow(d.Budget.Features, n)[:n]
	for i := range d.Budget.Features {
		f := &d.Budget.Features[i]
		f.Name, f.At = d.Board.Features[i].Name, d.Board.Features[i].At
		f.Terms = slices.Grow(f.Terms, len(terms))[:len(terms)]
		grow := 1 + f.At.X/1e4
		var ms, all float64
		for j, t := range terms {
			x := &f.Terms[j]
			x.Source, x.Remedy = t.source, t.remedy
			x.WorstMM, x.SDMM = grow*t.worst, grow*t.sd
			x.AlongBiasMM, x.AcrossBiasMM = grow*t.alongBias, grow*t.acrossBias
			f.WorstMM += x.WorstMM
			ms += x.SDMM * x.SDMM
			x.Share = x.SDMM*x.SDMM + x.AlongBiasMM*x.AlongBiasMM + x.AcrossBiasMM*x.AcrossBiasMM
			all += x.Share
		}
		for j := range f.Terms {
			x := &f.Terms[j]
			if x.Share /= all; x.Share > f.LargestShare {
				f.Largest, f.LargestShare, f.Remedy = x.Source, x.Share, x.Remedy
			}
		}
		f.P95MM = 2 * math.Sqrt(ms)
	}
}

// sampleTerms are a router's; the wood stands third from the end and is known to
// be off.
func sampleTerms() []sampleTerm {
	return []sampleTerm{
		{source: "pin clearance", remedy: "Closer holes.", worst: 0.028, sd: 0.009},
		{source: "hole position, bed", remedy: "Bore the bed in one sitting.", worst: 0.042, sd: 0.019},
		{source: "hole position, template", remedy: "Bore the plate on the router itself.", worst: 0.042, sd: 0.019},
		{source: "nest float", remedy: "Push the board home."},
		{source: "kerf spread", remedy: "Cut a test strip and measure it.", worst: 0.049, sd: 0.025},
		{
			source: "wood movement", remedy: "Let the board rest in the climate that it was made in before it goes back.",
			worst: 0.056, sd: 0.014, alongBias: 0.017, acrossBias: -0.024,
		},
		{source: "out of square", remedy: "Set the axes square.", worst: 0.003, sd: 0.003},
		{source: "machine positioning, this cut", remedy: "Let the machine warm up.", worst: 0.042, sd: 0.022},
	}
}

// sampleClimate is a board that swelled a little, in a window of 0.1 mm clearance.
func sampleClimate() *jig.Climate {
	return &jig.Climate{
		MadeC: 21, MadeRHPct: 45, NowC: 20, NowRHPct: 48.5, Wood: "pear",
		MoistureMadePct: 8.5, MoistureNowPct: 9, WidthMM: 0.041, LengthMM: 0.014,
		EntersBelowRHPct: 58.9,
	}
}
