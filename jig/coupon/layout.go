package coupon

import (
	"fmt"
	"math"

	"reseat/fit"
	"reseat/jig/geom"
	"reseat/jig/plate"
)

// What a usual caliper needs and reaches, mm. Common practice, no source.
const (
	readingMostMM = 140.0 // longest reading, of a caliper of 150 mm
	jawMM         = 5.0   // least opening for either pair of jaws
	gapMM         = 5.5   // width of a slot and beside a bar, for the outside jaws
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
	stepMM     = 0.2               // between the widths of slots and of bars
	mostGapMM  = 8.5               // wide enough for every cutter that bores holes for pins
	farMM      = readingMostMM - 1 // outer wall to outer wall, with what a process opens
	rowsMM     = 50.0              // between the rows of holes where nothing stands between them
	engravedMM = 3.0               // height of letters that a laser or a pencil makes
	raisedMM   = 4.0               // and of those that a nozzle lays
)

// straights is how many slots and how many bars there are, half of them along each axis. A
// slot and the bar beside it share a wall.
const straights = 8

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

// halves rounds up to half a millimetre.
func halves(v float64) float64 { return math.Ceil(float64(v*2)-1e-9) / 2 }

// lay places all features: two rows of holes, groups of slots and bars between them.
//
//	H01  H02  H03  H04  H05 ...
//	              S   S
//	S B S B       B   B       B S B S
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
	if c.Straight() {
		b = c.block(web, math.Min(long, farMM))
		between = d + 2*rim + b.size.Y
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
	corner := middle.Sub(b.size.Scale(0.5))
	for _, f := range b.features {
		f.At = f.At.Add(corner)
		if f.ID == "" {
			c.Gaps = append(c.Gaps, f)
		} else {
			c.Features = append(c.Features, f)
		}
	}
}

// block is what stands between the rows of holes, its lower left at (0, 0).
type block struct {
	size     geom.Vec
	features []Feature
}

// block sets the groups of slots and bars in a line, those along X outermost: as far apart
// as their far walls can be read, or the rows of holes are long.
func (c *Coupon) block(web, long float64) block {
	g := group{gap: math.Max(gapMM, math.Min(c.Pin.NominalMM-0.5, mostGapMM)), bar: math.Max(barMM, web)}
	g.order = shuffled(straights, straights/2)
	g.long = g.gap + wallMM
	wide := g.gap + 2*(g.gap+g.bar+2*stepMM*(straights-1))
	b := block{size: geom.Vec{X: math.Max(2*wide+2*g.long+3*web, long), Y: wide}}
	end, aside := (b.size.X-wide)/2, (g.long+web)/2
	for i, x := range []float64{-end, -aside, aside, end} {
		b.features = append(b.features, g.set(i, geom.Vec{X: b.size.X/2 + x, Y: wide / 2})...)
	}
	return b
}

// group is two slots and two bars: beside a bar a jaw stands in a slot, and on the other
// side in the other slot or in a gap.
type group struct {
	gap, bar, long float64 // least width of a slot and of a bar; length of a slot
	order          []int
}

// Orders of a group's cuts: slots, bars and a gap. Those along X stand at the ends of the
// piece, so that the ways between their slots are long.
var orders = []struct{ axis, cuts string }{{"x", "SBSBG"}, {"y", "SBGBS"}, {"y", "SBGBS"}, {"x", "GBSBS"}}

// set returns the n-th group about a middle.
func (g group) set(n int, middle geom.Vec) []Feature {
	along := geom.Vec{X: 1}
	if orders[n].axis == "y" {
		along = geom.Vec{Y: -1}
	}
	var out []Feature
	total, count := 0.0, map[rune]int{}
	for _, cut := range orders[n].cuts {
		f := Feature{Kind: Slot, Axis: orders[n].axis, SizeMM: g.gap, LongMM: g.long}
		if least, ok := map[rune]float64{'S': g.gap, 'B': g.bar}[cut]; ok {
			i := 2*n + count[cut]
			count[cut]++
			f.ID, f.SizeMM = fmt.Sprintf("%c%02d", cut, i+1), hundredth(least+float64(stepMM*float64(g.order[i])))
		}
		if cut == 'B' {
			f.Kind = Bar
		}
		out = append(out, f)
		total += f.SizeMM
	}
	at := -total / 2
	for i := range out {
		f := &out[i]
		f.At = middle.Add(along.Scale(at + f.SizeMM/2))
		at += f.SizeMM
	}
	return out
}
