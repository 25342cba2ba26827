package program

import (
	"cmp"
	"fmt"
	"math"

	"reseat/jig/coupon"
	"reseat/jig/job"
	"reseat/jig/toolpath"
	"reseat/jig/units"
)

// A spot leads a drill: of a short drill of 3 mm, or half the hole, half a millimetre at
// full diameter. Common practice, no source.
const (
	spotMM     = 3.0
	spotDeepMM = 0.5
	sheetRimMM = 20.0 // of the stock round a piece that stays in it
)

// Coupon plans what the router makes of a coupon: its holes and slots with an end mill,
// the edge left in the sheet; for a drill or a reamer the spots that lead the drill. The
// zero is the piece's lower left, and X and Y are those of its picture.
func Coupon(j *job.Job, c *coupon.Coupon, mk job.Make, key string) (Program, error) {
	deep := c.PieceMM + breakThroughMM
	says := append([]string(nil), cautions...)
	says = append(says, fmt.Sprintf("Stock: %s, %s mm thick, %s x %s mm or more; the piece stays in it.", c.Material,
		units.Decimal(c.PieceMM, 2), units.Decimal(math.Ceil(c.Size.X+2*sheetRimMM), 0),
		units.Decimal(math.Ceil(c.Size.Y+2*sheetRimMM), 0)),
		"Zero: X0 Y0 the lower left of the piece, Z0 on top of the stock.")
	out := Program{Dialect: cmp.Or(j.Cutting.Dialect, "plain"), Part: "coupon"}
	var r toolpath.Router
	cut := func(i int, f coupon.Feature) (*toolpath.Cut, error) {
		id := f.ID
		if id == "" {
			id = fmt.Sprintf("gap %d", i+1-len(c.Cuts())+len(c.Gaps))
		}
		if f.Kind == coupon.Hole {
			hole := toolpath.Hole{ID: id, At: f.At, DiameterMM: f.SizeMM, DepthMM: deep}
			out.Holes = append(out.Holes, Hole{ID: id, At: f.At, DiameterMM: f.SizeMM, DepthMM: deep})
			return r.Bore(hole)
		}
		return r.Slot(toolpath.Slot{ID: id, At: f.At, AngleRad: f.Angle(), TravelMM: f.Travel(), WidthMM: f.SizeMM,
			DepthMM: deep})
	}
	if c.Straight() {
		out.Tool = couponCutter(j, c, mk, key, deep)
		r = millOf(j, out.Tool.Cutter)
		says = append(says, "The tool comes out below: lay scrap under the stock. Slugs may come loose: stand clear.",
			"Before it is loosened: write TOP, the arrow X and all names on it, as coupon.svg has them.")
	} else {
		spot := math.Min(spotMM, c.Pin.NominalMM/2)
		var speed string
		r, speed = drillOf(j, spot, c.Material)
		says = append(says, "Spots only: drill each hole with the size that coupon.svg names.", speed)
		cut = func(_ int, f coupon.Feature) (*toolpath.Cut, error) {
			out.Holes = append(out.Holes, Hole{ID: f.ID, At: f.At, DiameterMM: spot, DepthMM: spotDeepMM})
			return r.Drill(toolpath.Hole{ID: f.ID, At: f.At, DiameterMM: spot, DepthMM: spotDeepMM})
		}
	}
	var cuts []*toolpath.Cut
	for i, f := range c.Cuts() {
		one, err := cut(i, f)
		if err != nil {
			return Program{}, err
		}
		cuts = append(cuts, one)
	}
	path, err := r.Program(toolpath.Head{File: coupon.ProgramFile, Title: "coupon " + c.Checksum, Says: says}, cuts)
	cautionTool(path, err)
	out.Path = path
	return out, err
}

// couponCutter is the cutter of the part that the coupon is of. One that does not go into
// the coupon's smallest hole could not make the part's pin holes either: then it is the
// largest usual one that does.
func couponCutter(j *job.Job, c *coupon.Coupon, mk job.Make, key string, deep float64) Choice {
	least := c.SmallestMM()
	named := Choose(j, mk.Cutter, mk.Given("cutter"), key+".make.cutter", least, deep)
	if named.DiameterMM > 0 && named.DiameterMM <= least-leastRoomMM {
		return named
	}
	usual, from, _ := better(j, least, deep)
	return Choice{Cutter: usual, Key: named.Key, Why: fmt.Sprintf("%s mm does not go into the smallest hole, %s mm, this "+
		"does: %s", short(named.DiameterMM), short(least), from)}
}
