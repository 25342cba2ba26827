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
	gapMM         = 6.0   // beside a bar, for the outside jaws
	wallMM        = 8.0   // straight wall for a jaw to lie on
	throughMM     = 14.0  // thicker than this the inside jaws do not reach through
)

const (
	cutRoomMM  = 0.6  // that a process may open a hole by on top of what is drawn
	leastRimMM = 5.0  // room for a line of marks
	leastWebMM = 4.5  // narrower ones bend under the caliper
	mostWebMM  = 6.0  // pins go in by hand: no more is needed where heat does no harm
	hotWebMM   = 12.0 // nor in acrylic, of which thicker is hardly cut. Practice, as all of these
	stepMM     = 0.2  // between the widths of slots and of bars
	farMM      = 126.0
	rowsMM     = 50.0 // between the rows of holes where nothing stands between them
	markMM     = 3.0  // height of letters
	pitchMM    = 9.0  // least distance of two holes, for their marks
)

// straights is how many slots and how many bars there are, half of them along each axis.
const straights = 8

// web is the least material between two cuts, in steps of half a millimetre.
func (s Spec) web() float64 {
	const nozzle = 0.4 // of most printers
	most := mostWebMM
	if f := fit.FamilyOf(s.Material); f == fit.CastAcrylic || f == fit.ExtrudedAcrylic {
		most = hotWebMM
	}
	w := plate.LeastWebMM(s.Material, string(s.By), s.ThicknessMM, nozzle, s.Pin.NominalMM)
	return halves(math.Max(leastWebMM, math.Min(w, most)))
}

// halves rounds up to half a millimetre.
func halves(v float64) float64 { return math.Ceil(float64(v*2)-1e-9) / 2 }

// lay places all features: two rows of holes, the block of slots and bars between them.
//
//	H01  H02  H03 ...
//	S  S   B   BB  B   S  S
//	S  S   B   BB  B   S  S
//	H13  H14  H15 ...
func (c *Coupon) lay(sizes []float64) {
	web, columns := c.web(), c.Holes/2
	rim := math.Max(web, leastRimMM)
	d := halves(sizes[len(sizes)-1] + cutRoomMM)
	pitch := math.Max(pitchMM, halves(d+web))
	if c.Holes == FewHoles {
		pitch = math.Max(pitch, halves(farMM/float64(columns-1)))
	}
	var b block
	between := rowsMM
	if c.Straight() {
		b = c.block(web)
		between = d + 2*rim + b.size.Y
	}
	long := d + float64(pitch*float64(columns-1))
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

// block sets slots and bars in columns that are alike from either end: slots measured
// along X, slots along Y, bars along Y, and in the middle bars along X. Slots along X
// stand as far out as a caliper reads.
func (c *Coupon) block(web float64) block {
	gap := math.Max(gapMM, math.Ceil(c.Pin.NominalMM))
	long := gap + wallMM
	widest := gap + float64(stepMM*(straights-1))
	bar := math.Max(gapMM, web) // the narrowest
	bars := 3*gap + 2*(bar+stepMM*(straights-1))
	high := math.Max(2*long+web, bars)
	slotsX := column{Slot, "x", widest}
	side := []column{slotsX, {Slot, "y", long}, {Bar, "y", long}}
	total := bars + 2*(widest+long+long) + 6*web
	for i, far := 0, total; far > readingMostMM && i+1 < len(side); i++ { // slots along X go inward
		side[i], side[i+1] = side[i+1], slotsX
		far -= 2 * (long + web)
	}
	b := block{size: geom.Vec{X: total, Y: high}}
	order := shuffled(straights, straights/2)
	count := map[Kind]int{}
	add := func(k Kind, axis string, at geom.Vec) {
		n := count[k]
		count[k]++
		size := map[Kind]float64{Slot: gap, Bar: bar}[k] + float64(stepMM*float64(order[n]))
		b.features = append(b.features, Feature{
			ID: fmt.Sprintf("%.1s%02d", map[Kind]string{Slot: "S", Bar: "B"}[k], n+1), Kind: k, Axis: axis, At: at,
			SizeMM: hundredth(size), LongMM: long,
		})
	}
	// pair sets two bars with the gaps beside them about a middle.
	pair := func(axis string, middle geom.Vec) {
		along := geom.Vec{X: 1}
		if axis == "y" {
			along = geom.Vec{Y: -1}
		}
		n := count[Bar]
		first, second := bar+float64(stepMM*float64(order[n])), bar+float64(stepMM*float64(order[n+1]))
		at := -float64(3*gap+first+second)/2 + gap/2
		for _, wide := range []float64{first, second, 0} {
			b.features = append(b.features, Feature{Kind: Slot, Axis: axis, At: middle.Add(along.Scale(at)), SizeMM: gap,
				LongMM: long})
			if wide > 0 {
				add(Bar, axis, middle.Add(along.Scale(at+gap/2+wide/2)))
				at += gap + wide
			}
		}
	}
	set := func(k column, x float64) {
		switch {
		case k.kind == Bar:
			pair(k.axis, geom.Vec{X: x, Y: high / 2})
		case k.axis == "x":
			add(Slot, "x", geom.Vec{X: x, Y: high - long/2})
			add(Slot, "x", geom.Vec{X: x, Y: long / 2})
		default:
			add(Slot, "y", geom.Vec{X: x, Y: high - widest/2})
			add(Slot, "y", geom.Vec{X: x, Y: widest / 2})
		}
	}
	x, at := 0.0, make([]float64, len(side))
	for i, k := range side {
		at[i] = x + k.wide/2
		set(k, at[i])
		x += k.wide + web
	}
	pair("x", geom.Vec{X: total / 2, Y: high - long/2})
	pair("x", geom.Vec{X: total / 2, Y: long / 2})
	for i := len(side) - 1; i >= 0; i-- {
		set(side[i], total-at[i])
	}
	return b
}

// column is one column of the block.
type column struct {
	kind Kind
	axis string
	wide float64
}
