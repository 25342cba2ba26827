package glued

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"reseat/jig/geom"
	"reseat/jig/part"
	"reseat/jig/plate"
	"reseat/jig/setup"
	"reseat/jig/units"
)

// jawMM is how far from the end of a wall a caliper's jaws take it. Common practice, no source.
const jawMM = 5.0

// Across returns the widths between walls on either side of the datum line, the one nearest to the
// start end and the one farthest from it; empty where none stand opposite. What names the walls.
func Across(what string, walls []geom.Edge) []setup.Across {
	type width struct{ u, mm float64 }
	var all []width
	for _, l := range walls {
		for _, r := range walls {
			lo, hi := max(min(l.P.X, l.Q.X), min(r.P.X, r.Q.X)), min(max(l.P.X, l.Q.X), max(r.P.X, r.Q.X))
			if hi-lo <= 3*jawMM || l.P.Y <= 0 || r.P.Y >= 0 {
				continue
			}
			for _, u := range []float64{math.Ceil(lo + jawMM), math.Floor(hi - jawMM)} {
				all = append(all, width{u, heightAt(l, u) - heightAt(r, u)})
			}
		}
	}
	if len(all) == 0 {
		return nil
	}
	slices.SortFunc(all, func(a, b width) int { return cmp.Compare(a.u, b.u) })
	var out []setup.Across
	for _, w := range []width{all[0], all[len(all)-1]} {
		says := fmt.Sprintf("between %s at u %s", what, units.Decimal(w.u, 0))
		out = append(out, setup.Across{What: says, MM: w.mm})
	}
	return out
}

// heightAt is the v of a line at a station.
func heightAt(e geom.Edge, u float64) float64 { return e.P.Lerp(e.Q, (u-e.P.X)/(e.Q.X-e.P.X)).Y }

// Inner are the faces of standing rails, left and right, that look at the board.
func Inner(rails []geom.Loop) (out []geom.Edge) {
	for _, l := range rails {
		near := l.Edge(0)
		for i := range l {
			e := l.Edge(i)
			if m := math.Abs(e.At(0.5).Y); e.Length() > near.Length()/2 && m < math.Abs(near.At(0.5).Y) {
				near = e
			}
		}
		out = append(out, near)
	}
	return out
}

// Drive is how far a wedge stands out of its pair, cut from one sheet with its pocket, the board in.
//
//	off = sqrt(pocket^2 + 2 wedge^2 + board^2) / slope, the wedge being off as the pocket is
func Drive(k plate.Wedge, of part.Part, widthErrorMM float64) setup.Drive {
	off := of.WindowHalf()
	return setup.Drive{OutMM: k.OutMM(), OffMM: math.Hypot(math.Sqrt(3)*off, widthErrorMM) / plate.WedgeSlope}
}
