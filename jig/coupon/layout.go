package coupon

import (
	"fmt"
	"math"
	"strings"

	"reseat/fit"
	"reseat/jig/geom"
	"reseat/jig/plate"
)

// What a usual caliper needs and reaches, mm. Common practice, no source.
const (
	readingMostMM = 140.0 // longest reading, of a caliper of 150 mm
	jawMM         = 5.0   // least opening for either pair of jaws
	gapMM         = 5.5   // width of a slot, for the outside jaws; a print's comes out up to 0.5 smaller
	routedGapMM   = 5.1   // of one that is routed: what is wider takes a cutter for small pins a round more
	barMM         = 6.0   // width of a bar, for its mark
	wallMM        = 5.0   // straight wall for a jaw to lie on
	throughMM     = 14.0  // thicker than this the inside jaws do not reach through
)

const (
	cutRoomMM  = 0.6               // that a process may open a hole by on top of what is drawn
	markRoomMM = 1.0               // above and below a line of marks
	leastWebMM = 4.5               // narrower ones bend under the caliper
	mostWebMM  = 6.0               // pins go in by hand: no more is needed where heat does no harm
	hotWebMM   = 12.0              // nor in acrylic, of which thicker is hardly cut. Practice, as all of these
	stepMM     = 0.05              // between the widths of slots and of bars
	gapShare   = 0.8               // of the pin: what a cutter that bores its hole goes into
	mostGapMM  = 8.0               // wide enough for every cutter that bores holes for pins
	farMM      = readingMostMM - 1 // outer wall to outer wall, with what a process opens
	rowsMM     = 50.0              // between the rows of holes where nothing stands between them
	engravedMM = 3.0               // height of letters that a laser or a pencil makes
	raisedMM   = 4.0               // and of those that a nozzle lays
)

// web is the least material between two cuts, in steps of half a millimetre.
func (c *Coupon) web() float64 {
	const nozzle = 0.4 // of most printers
	most := mostWebMM
	if f := fit.FamilyOf(c.Material); f == fit.CastAcrylic || f == fit.ExtrudedAcrylic {
		most = hotWebMM
	}
	w := plate.LeastWebMM(c.Material, string(c.By), c.PieceMM, nozzle, c.Pin.NominalMM)
	return halves(math.Max(leastWebMM, math.Min(w, most)))
}

// letterMM is the height of the marks.
func (s Spec) letterMM() float64 {
	if s.By == fit.Print {
		return raisedMM
	}
	return engravedMM
}

// nameMM is the width of the name of a slot, with its room on either side: three letters take 2.7
// heights.
func (s Spec) nameMM() float64 { return float64(2.7*s.letterMM()) + 2*markRoomMM }

// halves rounds up to half a millimetre.
func halves(v float64) float64 { return math.Ceil(float64(v*2)-1e-9) / 2 }

// lay places all features: two rows of holes, groups of slots and bars between them.
//
//	H01  H02  H03  H04  H05 ...
//	              S   S
//	              B   B
//	S B S B S     S   S     S B S B S
//	              B   B
//	              S   S
//	H13  H14  H15  H16  H17 ...
func (c *Coupon) lay(sizes []float64) {
	web, columns := c.web(), c.Holes/2
	rim := math.Max(web, c.letterMM()+2*markRoomMM)
	d := halves(sizes[len(sizes)-1] + cutRoomMM)
	pitch := halves(math.Max(d+web, 3*c.letterMM())) // three letters take 2.7 heights
	pitch = math.Max(pitch, math.Floor(2*(farMM-d)/float64(columns-1))/2)
	var b block
	between := rowsMM
	long := d + float64(pitch*float64(columns-1))
	if c.CutsStraight() {
		b = c.block(web, math.Min(long, farMM))
		between = d + 2*web + b.size.Y
	}
	c.Size = geom.Vec{X: 2*rim + math.Max(long, b.size.X), Y: 2*rim + d + between}
	middle := c.Size.Scale(0.5)
	for i, size := range shuffled(c.Holes, columns) {
		at := geom.Vec{
			X: middle.X + float64(pitch*(float64(i%columns)-float64(columns-1)/2)),
			Y: middle.Y + float64(between*(0.5-float64(i/columns))),
		}
		c.Features = append(c.Features, Feature{ID: fmt.Sprintf("H%02d", i+1), Kind: Hole, At: at, SizeMM: sizes[size]})
	}
	for _, f := range b.features {
		f.At = f.At.Add(middle)
		c.Features = append(c.Features, f)
	}
}

// block is what stands between the rows of holes, about its middle.
type block struct {
	size     geom.Vec
	features []Feature
}

// axes are those of the groups of slots and bars, from left to right: those along X stand at the
// ends of the piece, so that the ways between their slots are long. A router takes its time for
// each slot.
func (s Spec) axes() []string {
	if s.Holes == FewHoles || s.By == fit.Router {
		return []string{"x", "y", "x"}
	}
	return []string{"x", "y", "y", "x"}
}

// gapMM is the least width of a slot.
func (s Spec) gapMM() float64 {
	if s.By == fit.Router {
		return routedGapMM
	}
	return gapMM
}

// cuts are a group's slots and bars. A slot and the bar beside it share a wall, and in the slots
// on either side of a bar stand the jaws. The thin cutter that goes into holes for thin pins takes
// long for each slot.
func (s Spec) cuts() string {
	if s.Holes == FewHoles || s.By == fit.Router && !s.reachable() {
		return "SBS"
	}
	return "SBSBS"
}

// block sets the groups in a line, those along X as far apart as their far walls can be read, or
// the rows of holes are long.
func (c *Coupon) block(web, long float64) block {
	kinds := map[rune]Kind{'S': Slot, 'B': Bar}
	gap := math.Max(c.gapMM(), math.Min(gapShare*c.Pin.NominalMM, mostGapMM))
	least := map[rune]float64{'S': gap, 'B': math.Max(barMM, web)}
	orders, count := map[rune][]int{}, map[rune]int{}
	for k := range least {
		n := strings.Count(c.cuts(), string(k))
		orders[k] = shuffled(n*len(c.axes()), n)
	}
	var b block
	var groups [][]Feature
	for _, axis := range c.axes() {
		var group []Feature
		wide := 0.0
		for _, k := range c.cuts() {
			f := Feature{Kind: kinds[k], Axis: axis, LongMM: gap + wallMM}
			f.SizeMM = hundredth(least[k] + float64(stepMM*float64(orders[k][count[k]])))
			count[k]++
			f.ID = fmt.Sprintf("%c%02d", k, count[k])
			group = append(group, f)
			wide += f.SizeMM
		}
		along := geom.Vec{X: 1}
		if axis == "y" {
			along = geom.Vec{Y: -1}
		}
		at := -wide / 2
		for i := range group {
			f := &group[i]
			f.At = along.Scale(at + f.SizeMM/2)
			at += f.SizeMM
		}
		groups = append(groups, group)
		b.size.Y = math.Max(b.size.Y, wide)
	}
	apart := gap + wallMM + math.Max(web, c.nameMM()) // from one group along Y to the next
	within := len(groups) - 2
	b.size.X = math.Max(2*b.size.Y+float64(apart*float64(within))+2*web, long)
	for i, group := range groups {
		x := float64(apart * (float64(i-1) - float64(within-1)/2))
		if axis := group[0].Axis; axis == "x" {
			x = math.Copysign((b.size.X-b.size.Y)/2, x)
		}
		for _, f := range group {
			f.At.X += x
			b.features = append(b.features, f)
		}
	}
	return b
}
