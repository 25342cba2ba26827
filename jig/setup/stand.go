package setup

import (
	"fmt"
	"math"

	"reseat/dowel"
)

// What a pin needs. Common practice, no source.
const (
	heldShare  = 1.5 // of its diameter, in the bed or the blank that it stands in
	bearsShare = 0.5 // of its diameter, in the plate over it, chamfers apart
	floorMM    = 3.0 // left under its hole and the drill's point
	leastFloor = 1.0 // mm: a thinner one breaks out
)

// Stand is how the pins stand in a part, with a plate over them.
type Stand struct {
	LengthMM float64 `json:"length_mm"`
	OverMM   float64 `json:"length_tolerance_mm"` // how much longer or shorter one of them may be
	DepthMM  float64 `json:"hole_depth_mm"`       // how deep they stand: in a blind hole, or in all of the part
	FloorMM  float64 `json:"floor_mm"`            // left under hole and drill's point; 0: through
	Through  bool    `json:"through"`             // they stand on what lies under the part
	HeldMM   float64 `json:"held_mm"`             // of the shortest, in the part
	BearsMM  float64 `json:"bears_mm"`            // of the shortest, in the plate, chamfer apart
	ProudMM  float64 `json:"proud_mm"`            // of the longest, over the plate; negative: below its top
	Named    bool    `json:"named"`               // the job names the length
}

// Between is what pins stand in and what goes over them, mm.
type Between struct {
	HolderMM, PlateMM float64 // thicknesses
	PointMM           float64 // of the drill that bores the holder, below its full diameter; 0: no drill
}

// ChooseStand chooses how pins stand in a part: of the lengths the shortest that is held, bears
// in the plate and never stands over it, in a blind hole that leaves a floor; in a through
// hole only where no blind one does as well. Where none does it all, it is the one that
// lacks least, a tenth apart: a longer pin whose deeper hole is rounded up by less is no better. The
// hole is so deep that the longest pin of the tolerance is flush with the plate.
//
//	depth = max(1.5 d, L + tol - plate), up to a tenth of a millimetre
func ChooseStand(p dowel.Pin, lengths []float64, in Between) Stand {
	var best Stand
	least := math.Inf(1)
	for _, l := range lengths {
		s := stand(p, l, in, false)
		lack := s.lacks(p) + s.lacksFloor()
		if s.DepthMM > 0 && (lack < least-1.0/tenths || lack < hairMM && least > hairMM) {
			best, least = s, lack
		}
	}
	if !math.IsInf(least, 1) {
		least = best.lacks(p) // a thin floor is better than none
	}
	for _, l := range lengths {
		s := stand(p, l, in, true)
		if lack := s.lacks(p); lack < least-hairMM {
			best, least = s, lack
		}
	}
	return best
}

// stand is how a pin of one length stands.
func stand(p dowel.Pin, l float64, in Between, through bool) Stand {
	s := Stand{LengthMM: l, OverMM: p.LengthTolerance(l), DepthMM: in.HolderMM, Through: through}
	if !through {
		most := math.Floor((in.HolderMM-leastFloor-in.PointMM)*tenths+hairMM) / tenths
		s.DepthMM = math.Max(heldShare*p.NominalMM, l+s.OverMM-in.PlateMM)
		s.DepthMM = math.Min(math.Ceil(s.DepthMM*tenths-hairMM)/tenths, most)
		s.FloorMM = in.HolderMM - s.DepthMM - in.PointMM
	}
	s.HeldMM = math.Min(s.DepthMM, l-s.OverMM)
	s.BearsMM = math.Min(in.PlateMM, l-s.OverMM-s.DepthMM-p.LeadMM())
	s.ProudMM = l + s.OverMM - s.DepthMM - in.PlateMM
	return s
}

const (
	tenths = 10
	hairMM = 1e-6 // forgives rounding: a thousandth of a micrometre
	// proudCounts is how much more a millimetre proud counts than one that is lacking
	// elsewhere: it meets the cutter.
	proudCounts = 10
)

// held, bears, flush and floored are what a pin needs, one by one.
func (s Stand) held(p dowel.Pin) bool  { return s.HeldMM >= heldShare*p.NominalMM-hairMM }
func (s Stand) bears(p dowel.Pin) bool { return s.BearsMM >= bearsShare*p.NominalMM-hairMM }
func (s Stand) flush() bool            { return s.ProudMM <= hairMM }
func (s Stand) floored() bool          { return s.Through || s.FloorMM >= floorMM-hairMM }

// lacks is by how much a stand falls short of what a pin needs, mm; 0: it has all.
func (s Stand) lacks(p dowel.Pin) float64 {
	return proudCounts*math.Max(0, s.ProudMM) + math.Max(0, heldShare*p.NominalMM-s.HeldMM) +
		math.Max(0, bearsShare*p.NominalMM-s.BearsMM)
}

// lacksFloor is by how much the floor under a blind hole is too thin, mm.
func (s Stand) lacksFloor() float64 {
	if s.Through {
		return 0
	}
	return math.Max(0, floorMM-s.FloorMM)
}

// MachinePins chooses the pins of the bed. A length that the job names is taken as it is.
func MachinePins(p dowel.Pin, namedMM float64, in Between) Stand {
	lengths, _ := p.StockLengths()
	if namedMM > 0 {
		lengths = []float64{namedMM}
	}
	s := ChooseStand(p, lengths, in)
	s.Named = namedMM > 0
	return s
}

// GluingPins chooses the pins that stand in the blank. The length that the job names is
// taken where it serves, or where no standard length serves better.
func GluingPins(p dowel.Pin, namedMM float64, in Between) Stand {
	s := MachinePins(p, 0, in)
	if namedMM == 0 {
		return s
	}
	if named := MachinePins(p, namedMM, in); named.lacks(p)+named.lacksFloor() <= s.lacks(p)+s.lacksFloor()+hairMM {
		return named
	}
	return s
}

// Blind is the depth of the holes as a design has it: 0 goes through.
func (s Stand) Blind() float64 {
	if s.Through {
		return 0
	}
	return s.DepthMM
}

// remedy is what would do where a stand lacks something, found by trying: a standard
// length, a thicker plate or part to stand in, by their names, keys in the job and what
// to write there. cured asks whether one does.
func (s Stand) remedy(p dowel.Pin, in Between, holder, plate string, cured func(Stand) bool) (says, key, set string) {
	lengths, _ := p.StockLengths()
	does := func(lengths []float64, in Between) (float64, bool) {
		o := ChooseStand(p, lengths, in)
		return o.LengthMM, cured(o) && o.lacks(p)+o.lacksFloor() < s.lacks(p)+s.lacksFloor()
	}
	if l, ok := does(lengths, in); ok {
		return fmt.Sprintf("pins of %s (dowel.length)", p.SizeSold(l)), "dowel.length", p.SizeSold(l)
	}
	if s.Named {
		lengths = []float64{s.LengthMM}
	}
	for tenth := 1.0; tenth <= thickerMM*tenths; tenth++ {
		over, under := in, in
		over.PlateMM = (math.Ceil(in.PlateMM*tenths-hairMM) + tenth) / tenths
		under.HolderMM = (math.Ceil(in.HolderMM*tenths-hairMM) + tenth) / tenths
		// A gluing plate is as thick as its rails ask.
		if _, ok := does(lengths, over); ok && plate != GluingPlate {
			key = plate + ".thickness"
			set = short(over.PlateMM) + " mm"
			return fmt.Sprintf("a %s of %s (%s), or thinner pins", plate, set, key), key, set
		}
		if _, ok := does(lengths, under); ok {
			key = holder + ".thickness"
			set = short(under.HolderMM) + " mm"
			return fmt.Sprintf("a %s of %s (%s), or thinner pins", holder, set, key), key, set
		}
	}
	return "thinner pins (dowel.diameter)", "dowel.diameter", ""
}

// thickerMM is how much thicker a part is tried as a remedy.
const thickerMM = 30
