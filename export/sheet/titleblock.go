package sheet

import (
	"strings"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

// titleWide is the width of the title block, mm: the most that ISO 7200 allows,
// so that it also fits an upright A4.
const titleWide = 180.0

// sheetFields are the title block's fields that differ between sheets.
type sheetFields struct {
	scale, paper, sheet string
	further             bool // not the first sheet: one row names the drawing
}

// field is one of a title block, with its width.
type field struct {
	w          float64
	name, says string
}

// fieldHigh is the height of a row of fields, mm.
const fieldHigh = 9.0

// fieldRow draws fields side by side from the block's left edge, the row's lower edge at y.
func fieldRow(f *block.Figure, y float64, fields []field) {
	const headH = 1.8
	x := -titleWide
	for j, c := range fields {
		f.Text(geom.Vec{X: x + 1.2, Y: y + fieldHigh - headH - 1.2}, headH, picture.Start, c.name)
		f.Text(geom.Vec{X: x + 1.2, Y: y + 1.4}, block.Small, picture.Start, block.FitText(c.says, c.w-2.4))
		if j > 0 {
			f.Line(picture.PenThin, geom.Vec{X: x, Y: y}, geom.Vec{X: x, Y: y + fieldHigh})
		}
		x += c.w
	}
}

// titleBlock draws the block with its lower right corner at the origin.
func titleBlock(d *jig.Design, on sheetFields) *block.Figure {
	f := &block.Figure{}
	sum := d.JobSHA256[:min(12, len(d.JobSHA256))]
	if on.further {
		fieldRow(f, 0, []field{{78, "title", d.Title}, {46, "job", d.JobFile}, {29, "job's checksum", sum},
			{13, "sheet", on.sheet}, {14, "size", on.paper}})
		f.Box(picture.PenOutline, geom.Box{Min: geom.Vec{X: -titleWide}, Max: geom.Vec{Y: fieldHigh}})
		return f
	}
	t := d.Template
	part := "Alignment template"
	switch d.Seat.Kind {
	case "nest":
		part += " with window (nest)"
	case "pins":
		part += ", board seats on pins"
	}
	size := "true size"
	if t.KerfMM != 0 {
		size = "kerf " + block.MM(t.KerfMM) + " compensated"
	} else if t.EdgeMM != 0 {
		size = "edge " + block.MM(t.EdgeMM) + " compensated"
	}
	rows := [][]field{
		{
			{60, "material", t.Material},
			{30, "thickness", block.MM(t.ThicknessMM)},
			{45, "made by", t.MakeBy},
			{45, "cut file drawn", size},
		},
		{{60, "job", d.JobFile}, {30, "units", "mm"}, {45, "scale of the view", on.scale}, {45, "sheet size", on.paper}},
		{{60, "job's checksum (SHA-256 begins)", sum}, {30, "sheet", on.sheet}, {45, "revision", ""}, {45, "checked", ""}},
	}
	y := 0.0
	for i := len(rows) - 1; i >= 0; i-- {
		fieldRow(f, y, rows[i])
		y += fieldHigh
		if i > 0 {
			f.Line(picture.PenThin, geom.Vec{X: -titleWide, Y: y}, geom.Vec{Y: y})
		}
	}
	f.Line(picture.PenOutline, geom.Vec{X: -titleWide, Y: y}, geom.Vec{Y: y})
	lines := picture.Wrap(picture.Plain(d.Title), block.Large, titleWide-6)
	if len(lines) == 0 {
		lines = []string{"Untitled"}
	}
	if len(lines) > 2 {
		lines = []string{lines[0], picture.Shorten(strings.Join(lines[1:], " "), block.Large, titleWide-6)}
	}
	y += 3
	f.Text(geom.Vec{X: -titleWide + 2, Y: y}, block.Middle, picture.Start, part)
	y += block.Middle + 3.5
	for i := len(lines) - 1; i >= 0; i-- {
		f.Text(geom.Vec{X: -titleWide + 2, Y: y}, block.Large, picture.Start, lines[i])
		y += block.Large * block.LineGap
	}
	f.Box(picture.PenOutline, geom.Box{Min: geom.Vec{X: -titleWide}, Max: geom.Vec{Y: y}})
	return f
}
