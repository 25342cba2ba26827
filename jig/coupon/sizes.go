package coupon

import (
	"math"
	"math/rand/v2"
	"slices"

	"reseat/fit"
)

// A laser's kerf, mm, over all sheets and machines (web: a cutting shop, cutlasercut.com).
const (
	leastKerfMM = 0.08
	mostKerfMM  = 0.45
)

// band returns how much smaller than the pin a hole must be drawn so that the pin just
// enters, in the middle of what is known of such processes, and how far that may be out.
// Ranges add as squares do: they are of different causes.
func band(s Spec, p fit.Process) (under, half float64) {
	add := func(least, most, share float64) {
		under += float64(share * (least + most) / 2)
		half = math.Hypot(half, float64(share*(most-least)/2))
	}
	for _, a := range p.Assumed {
		switch r := a.Range; {
		case a.What == "bias":
			add(r.Least, r.Most, 1)
		case a.What == "taper": // the mean of the range is that of rare machines
			add(r.Least, r.Most, -0.5)
			under += float64(0.5*(r.Least+r.Most)/2) - a.Taken/2
		case a.What == "spread +-":
			half = math.Hypot(half, math.Sqrt(r.Least*r.Most)) // the middle of ratios
		}
	}
	if s.By == fit.Laser {
		add(leastKerfMM, mostKerfMM, 1)
	}
	return under, math.Min(half, s.Pin.NominalMM/4)
}

// Drills are sold in steps of 0.1 mm; reamers in steps of 0.01 mm, of which the stock one
// and two larger ones are asked for, in which a pin of m6 enters. Common practice, no source.
var (
	drillSteps = []float64{-0.1, 0, 0.1}
	reamSteps  = []float64{0, 0.02, 0.05}
)

// drawnSizes are the drawn diameters of the holes, ascending. Those of a drill and a
// reamer are stock sizes; else they step through the band, finer in its middle, where the
// first hole that the pin enters most likely is.
func drawnSizes(s Spec, p fit.Process) []float64 {
	out := make([]float64, s.Holes)
	under, half := band(s, p)
	for i := range out {
		switch pin := s.Pin.NominalMM; s.By {
		case fit.Drill:
			out[i] = hundredth(math.Round(pin*10)/10 + drillSteps[i*len(drillSteps)/s.Holes])
		case fit.Ream:
			out[i] = hundredth(pin + reamSteps[i*len(reamSteps)/s.Holes])
		default:
			q := float64(2*i)/float64(s.Holes-1) - 1
			out[i] = hundredth(s.Pin.MeanMM() - under + float64(half*q*(0.6+float64(0.4*q*q))))
		}
	}
	return out
}

func hundredth(v float64) float64 { return math.Round(float64(v*100)) / 100 }

// Sizes are shuffled over the piece, so that a drift over it, or what a neighbour does,
// does not look like what goes with the size.
const (
	shuffleSeed  = 1
	shuffleTries = 200
)

// shuffled returns an order of n sizes over places in rows of a given length: of many,
// drawn with shuffleSeed, the one that goes least with the place along the row, with the
// row and with the neighbour. Whole numbers, so that every machine finds the same.
func shuffled(n, row int) []int {
	random := rand.New(rand.NewPCG(shuffleSeed, uint64(n)))
	var best []int
	least := math.MaxInt
	for range shuffleTries {
		order := random.Perm(n)
		along, across, beside := 0, 0, 0
		for i, o := range order {
			size := 2*o - (n - 1)
			along += size * (2*(i%row) - (row - 1))
			across += size * (2*(i/row) - (n/row - 1))
			if i%row > 0 {
				beside += size * (2*order[i-1] - (n - 1))
			}
		}
		if cost := abs(along) + row*abs(across) + abs(beside); cost < least {
			least, best = cost, slices.Clone(order)
		}
	}
	return best
}

func abs(i int) int { return max(i, -i) }
