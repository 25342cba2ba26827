package program

import (
	"cmp"
	"fmt"
	"math"
	"slices"

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
//
// The cutter is that of the part that the coupon is of. One that does not go into the coupon's
// smallest hole could not make the part's pin holes either: then, or where none is named, it is
// the quickest that there is.
func Coupon(j *job.Job, c *coupon.Coupon, mk job.Make, key string) (Program, error) {
	if !c.CutsStraight() {
		return couponWith(j, c, CutterChoice{})
	}
	as := CutterChoice{Key: key + ".make.cutter"}
	if mk.Cutter.DiameterMM > 0 {
		least := c.SmallestMM()
		named := ChooseCutter(j, mk.Cutter, mk.IsGiven("cutter"), as.Key, least, c.PieceMM+breakThroughMM)
		if named.DiameterMM <= least-leastRoomMM {
			return couponWith(j, c, named)
		}
		as.Why = fmt.Sprintf("%s mm does not go into the smallest hole, %s mm, this does: ", short(named.DiameterMM),
			short(least))
	}
	return quickest(j, c, as)
}

// quickest plans a coupon with the cutter that is done first, of those in machine.cutters, or else
// of the usual ones.
func quickest(j *job.Job, c *coupon.Coupon, as CutterChoice) (best Program, err error) {
	thin := func(k job.Cutter) bool {
		return k.DiameterMM <= holeShare*c.SmallestMM() && reaches(k, c.PieceMM+breakThroughMM)
	}
	there, from := j.Machine.Cutters, "the quickest in machine.cutters"
	if !slices.ContainsFunc(there, thin) {
		there, from = usual(), "the quickest of the usual sizes; common practice, no source"
	}
	as.Why += from
	for _, as.Cutter = range there {
		if !thin(as.Cutter) {
			continue
		}
		p, err := couponWith(j, c, as)
		if err != nil {
			return p, err
		}
		if best.Path == nil || p.Path.Run.TimeS < best.Path.Run.TimeS {
			best = p
		}
	}
	if best.Path == nil {
		err = fmt.Errorf("no usual end mill goes into the coupon's smallest hole, %s mm", short(c.SmallestMM()))
	}
	return best, err
}

// couponWith plans the program with a tool; a drill's own spots need none.
func couponWith(j *job.Job, c *coupon.Coupon, tool CutterChoice) (Program, error) {
	deep := c.PieceMM + breakThroughMM
	says := append([]string(nil), cautions...)
	says = append(says, fmt.Sprintf("Stock: %s, %s mm thick, %s x %s mm or more; the piece stays in it.", c.Material,
		units.Decimal(c.PieceMM, 2), units.Decimal(math.Ceil(c.Size.X+2*sheetRimMM), 0),
		units.Decimal(math.Ceil(c.Size.Y+2*sheetRimMM), 0)),
		"Zero: X0 Y0 the lower left of the piece, Z0 on top of the stock.")
	out := Program{Dialect: cmp.Or(j.Cutting.Dialect, "plain"), Part: "coupon"}
	var r toolpath.Router
	cut := func(f coupon.Feature) (*toolpath.Cut, error) {
		if f.Kind == coupon.Hole {
			out.Holes = append(out.Holes, Hole{ID: f.ID, At: f.At, DiameterMM: f.SizeMM, DepthMM: deep})
			return r.Bore(toolpath.Hole{ID: f.ID, At: f.At, DiameterMM: f.SizeMM, DepthMM: deep})
		}
		return r.Slot(toolpath.Slot{ID: f.ID, At: f.At, AngleRad: f.Angle(), TravelMM: f.Travel(), WidthMM: f.SizeMM,
			DepthMM: deep})
	}
	if c.CutsStraight() {
		out.Tool = tool
		r = millOf(j, tool.Cutter)
		says = append(says, "The tool comes out below: lay scrap under the stock. Slugs may come loose: stand clear.",
			"Before it is loosened: write TOP, the arrow X and all names on it, as coupon.svg has them.")
	} else {
		spot := math.Min(spotMM, c.Pin.NominalMM/2)
		var speed string
		r, speed = drillOf(j, spot, c.Material)
		says = append(says, "Spots only: drill each hole with the size that coupon.svg names.", speed)
		cut = func(f coupon.Feature) (*toolpath.Cut, error) {
			out.Holes = append(out.Holes, Hole{ID: f.ID, At: f.At, DiameterMM: spot, DepthMM: spotDeepMM})
			return r.Drill(toolpath.Hole{ID: f.ID, At: f.At, DiameterMM: spot, DepthMM: spotDeepMM})
		}
	}
	var cuts []*toolpath.Cut
	for _, f := range c.Cuts() {
		one, err := cut(f)
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
