package solid

import (
	"fmt"

	"github.com/deadsy/sdfx/sdf"
	v3 "github.com/deadsy/sdfx/vec/v3"

	"reseat/jig"
	"reseat/jig/geom"
)

// Field returns the signed distance function of the printed plate, from its true
// lines and arcs: the plate less window and holes, and on it the rails, which
// end where the plate does, less the chamfers and marks. Lengths are
// millimetres; it is negative inside.
//
// Inside and outside are exact. The distance is exact near the surface away from
// edges; near edges and where rail and plate join it can be too small, as with
// any union or extrusion by maximum and minimum.
func Field(p *jig.Print) (sdf.SDF3, error) {
	var voids []*ring
	if p.Window != nil {
		voids = append(voids, newRing(p.Window))
	}
	for _, h := range p.Holes {
		voids = append(voids, newRing(holeLoop(h, 0)))
	}
	plate := newProfile(newRing(p.Outline), voids...)
	parts := []sdf.SDF3{column(plate, p.ThicknessMM)}
	for _, r := range p.Rails {
		// Each rail reaches down to z = 0, so that no false border lies between
		// rail and plate.
		parts = append(parts, column(sdf.Intersect2D(newProfile(newRing(r.Outline)), plate), r.TopMM))
	}
	f := sdf.Union3D(parts...)
	if f == nil { // sdfx returns nil instead of an error
		return nil, fmt.Errorf("solid: no distance field for %s", p.File)
	}
	return carve(f, p), nil
}

// column stands a profile up from z = 0 to top. sdfx extrudes about z = 0.
func column(s sdf.SDF2, top float64) sdf.SDF3 {
	return sdf.Transform3D(sdf.Extrude3D(s, top), sdf.Translate3d(v3.Vec{Z: top / 2}))
}

// holeLoop returns the contour of a hole grown by d on the radius.
func holeLoop(h jig.PrintHole, d float64) geom.Loop {
	return geom.Slot(h.Center, h.Angle, h.Travel, h.Diameter+2*d)
}
