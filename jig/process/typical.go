package process

// Typical is what a coupon usually tells of a process that is in order, mm: what is tried where a
// job has nothing measured, to say what a coupon would gain. Plus or minus, 95 %, but for the
// taper.
type Typical struct {
	Spread, Taper, Position float64
}

// UnsureMM is how far off kerf, edge and bias are after 24 holes and 120 readings, 95 %
// (derived: a reference estimator on simulated forms).
const UnsureMM = 0.014

// typical by process. Laser: spread and position are the lower ends of what is stated of lasers
// (web: process_tolerance.csv, 0.05 to 0.2; a shop's laser quality, bigbluesaw.com, 0.05 to
// 0.3), taper: common practice, no source. Router and print: common practice, no source.
var typical = map[string]Typical{
	"laser":  {Spread: 0.05, Taper: 0.08, Position: 0.05},
	"router": {Spread: 0.03, Position: 0.03},
	"print":  {Spread: 0.10, Position: 0.08},
}

// TypicalOf are the figures of a process; false: there are none.
func TypicalOf(by string) (Typical, bool) {
	t, ok := typical[by]
	return t, ok
}
