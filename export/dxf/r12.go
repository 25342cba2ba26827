package dxf

import (
	"strconv"

	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/units"
)

// r12 makes a drawing of the year 1992 (AC1009). The library that makes the others writes
// AC1015 alone, with subclass markers, owners and objects that a reader of R12 stumbles
// over; what R12 wants is so little that it is written here.
//
// A polyline is its head, a record for each corner and an end; nothing needs a handle.
// $INSUNITS and $MEASUREMENT are younger than R12. They are written all the same: a
// reader skips header variables that it does not know, and one that knows them does not
// take millimetres for inches.
func r12(layers []jig.Layer, shapes []jig.Shape) []tag {
	var d plain
	box := extent(shapes, nil)
	d.section("HEADER", func() {
		d.add(tag{9, "$ACADVER"}, tag{1, "AC1009"}, tag{9, "$INSUNITS"}, tag{70, "4"}, tag{9, "$MEASUREMENT"}, tag{70, "1"})
		d.add(tag{9, "$EXTMIN"})
		d.point(box.Min)
		d.add(tag{9, "$EXTMAX"})
		d.point(box.Max)
	})
	d.section("TABLES", func() {
		d.table("LTYPE", 1, func() {
			d.add(tag{0, "LTYPE"}, tag{2, "CONTINUOUS"}, tag{70, "0"}, tag{3, "Solid line"}, tag{72, "65"}, tag{73, "0"})
			d.number(40, 0, coordDecimals)
		})
		layers = append([]jig.Layer{{Name: "0", Colour: 7}}, layers...)
		d.table("LAYER", len(layers), func() {
			for _, l := range layers {
				d.add(tag{0, "LAYER"}, tag{2, l.Name}, tag{70, "0"}, tag{62, strconv.Itoa(l.Colour)}, tag{6, "CONTINUOUS"})
			}
		})
	})
	d.section("BLOCKS", func() {})
	d.section("ENTITIES", func() {
		for _, sh := range shapes {
			d.shape(sh)
		}
	})
	d.add(tag{0, "EOF"})
	return d.tags
}

// plain gathers the tags of an R12 drawing.
type plain struct{ tags []tag }

func (d *plain) add(tags ...tag) { d.tags = append(d.tags, tags...) }

func (d *plain) number(code int, x float64, decimals int) {
	d.add(tag{code, units.Fixed(x, decimals)})
}

func (d *plain) point(v geom.Vec) {
	d.number(10, v.X, coordDecimals)
	d.number(20, v.Y, coordDecimals)
	d.number(30, 0, coordDecimals)
}

func (d *plain) section(name string, content func()) {
	d.add(tag{0, "SECTION"}, tag{2, name})
	content()
	d.add(tag{0, "ENDSEC"})
}

func (d *plain) table(name string, entries int, content func()) {
	d.add(tag{0, "TABLE"}, tag{2, name}, tag{70, strconv.Itoa(entries)})
	content()
	d.add(tag{0, "ENDTAB"})
}

// shape writes a circle or a polyline.
func (d *plain) shape(sh jig.Shape) {
	layer := tag{8, sh.Layer}
	if sh.R > 0 {
		d.add(tag{0, "CIRCLE"}, layer)
		d.point(sh.Center)
		d.number(40, sh.R, coordDecimals)
		return
	}
	closed := "1"
	if sh.Open {
		closed = "0"
	}
	d.add(tag{0, "POLYLINE"}, layer, tag{66, "1"})
	d.point(geom.Vec{})
	d.add(tag{70, closed})
	for _, v := range sh.Loop {
		d.add(tag{0, "VERTEX"}, layer)
		d.point(v.Vec)
		if v.Bulge != 0 {
			d.number(42, v.Bulge, bulgeDecimals)
		}
	}
	d.add(tag{0, "SEQEND"}, layer)
}
