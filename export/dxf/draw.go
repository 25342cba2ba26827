package dxf

import (
	"math"
	"sync"

	yofu "github.com/yofu/dxf"
	"github.com/yofu/dxf/block"
	"github.com/yofu/dxf/color"
	"github.com/yofu/dxf/drawing"
	"github.com/yofu/dxf/entity"
	"github.com/yofu/dxf/format"
	"github.com/yofu/dxf/handle"
	"github.com/yofu/dxf/insunit"
	"github.com/yofu/dxf/table"

	"reseat/jig"
	"reseat/jig/geom"
)

// library guards yofu/dxf: its line types, layer 0 and standard style are package
// variables that every drawing writes its handles into.
var library sync.Mutex

// Places of tables in the library's TABLES section.
const (
	tableVPort       = 0
	tableLType       = 1
	tableDimStyle    = 7
	tableBlockRecord = 8
)

// modelSpace is the block that owns everything in model space, paperSpace the
// empty one that every file must have.
const (
	modelSpace = "*Model_Space"
	paperSpace = "*Paper_Space"
)

// draw lets the library make the drawing and returns its tags, contours taken to pieces
// when they are to be lines and arcs.
func draw(layers []jig.Layer, shapes []jig.Shape, pieces bool) ([]tag, error) {
	library.Lock()
	defer library.Unlock()

	d := yofu.NewDrawing()
	tables := d.Sections[drawing.TABLES].(table.Tables)
	setUp(d, tables, extent(shapes, nil))
	model, err := tables[tableBlockRecord].Contains(modelSpace)
	if err != nil {
		return nil, err
	}
	for _, l := range layers {
		if _, err := d.AddLayer(l.Name, color.ColorNumber(l.Colour), table.LT_CONTINUOUS, false); err != nil {
			return nil, err
		}
	}
	for _, sh := range shapes {
		if err := d.ChangeLayer(sh.Layer); err != nil {
			return nil, err
		}
		for _, e := range entitiesOf(sh, pieces) {
			e.SetLayer(d.CurrentLayer)
			e.SetOwner(model)
			d.AddEntity(e)
		}
	}

	// What Drawing.WriteTo does, with our own formatter.
	h := 1
	for _, section := range d.Sections[drawing.CLASSES:] {
		section.SetHandle(&h)
	}
	d.Header().SetHandle(&h)
	f := &collector{ASCII: format.NewASCII()}
	for _, section := range d.Sections {
		section.Format(f)
	}
	f.WriteString(0, "EOF")
	return f.tags, nil
}

// setUp sets the header and leaves in the tables what a flat drawing needs: one
// view of the whole, three line types, one paper space.
func setUp(d *drawing.Drawing, tables table.Tables, box geom.Box) {
	hd := d.Header()
	hd.InsUnit = insunit.Millimeters
	hd.InsLUnit = insunit.Decimal
	hd.ExtMin = []float64{box.Min.X, box.Min.Y, 0}
	hd.ExtMax = []float64{box.Max.X, box.Max.Y, 0}

	tables[tableLType].Clear()
	for _, lt := range []*table.LineType{table.LT_BYBLOCK, table.LT_BYLAYER, table.LT_CONTINUOUS} {
		tables[tableLType].Add(lt)
	}
	tables[tableDimStyle].Add(table.NewDimStyle("Standard"))
	tables[tableBlockRecord].Clear()
	for _, name := range []string{modelSpace, paperSpace} {
		tables[tableBlockRecord].Add(table.NewBlockRecord(name))
	}
	d.Sections[drawing.BLOCKS] = block.Blocks{block.NewBlock(modelSpace, ""), block.NewBlock(paperSpace, "")}

	// The view that a program opens with: the whole sheet and a tenth more.
	const aspect, rim = 1.5, 1.1
	size, middle := box.Size(), box.Center()
	v := table.NewViewport("*ACTIVE")
	v.UpperRight = []float64{1, 1}
	v.ViewCenter = []float64{middle.X, middle.Y}
	v.ViewDirection = []float64{0, 0, 1}
	v.SnapSpacing = []float64{10, 10}
	v.GridSpacing = []float64{10, 10}
	v.Height = rim * math.Max(size.Y, size.X/aspect)
	v.AspectRatio = aspect
	tables[tableVPort].Add(v)
}

// owned is an entity of the library as it is made here.
type owned interface {
	entity.Entity
	SetOwner(handle.Handler)
}

// entitiesOf makes the entities of one shape, in the order of its contour.
func entitiesOf(sh jig.Shape, pieces bool) (out []owned) {
	switch {
	case sh.R > 0:
		c := entity.NewCircle()
		c.Center, c.Radius = at(sh.Center), sh.R
		return []owned{c}
	case pieces:
		for _, e := range edges(sh) {
			if e.IsArc() {
				a, c := arcOf(e), entity.NewCircle()
				c.Center, c.Radius = at(a.center), a.r
				piece := entity.NewArc(c)
				piece.Angle = []float64{a.start, a.end}
				out = append(out, piece)
				continue
			}
			l := entity.NewLine()
			l.Start, l.End = at(e.P), at(e.Q)
			out = append(out, l)
		}
		return out
	}
	l := entity.NewLwPolyline(len(sh.Loop))
	for i, v := range sh.Loop {
		l.Vertices[i] = []float64{v.X, v.Y}
		l.Bulges[i] = v.Bulge
	}
	if !sh.Open {
		l.Close()
	}
	return []owned{l}
}

func at(v geom.Vec) []float64 { return []float64{v.X, v.Y, 0} }
