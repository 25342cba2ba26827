// Package outputs renders the files of a design: the same for the command and the page.
package outputs

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"sync"

	"reseat/cmd/internal/report"
	"reseat/export"
	"reseat/export/block"
	"reseat/export/dxf"
	"reseat/export/gcode"
	"reseat/export/picture"
	"reseat/export/record"
	"reseat/export/setupsheet"
	"reseat/export/sheet"
	"reseat/export/solid"
	"reseat/jig"
)

// Options say how the files are written.
type Options struct {
	ThreeMF bool        // also template.3mf, or one for each run of the printer
	DXF     dxf.Flavour // zero: R2000
	Paper   block.Paper // of sheet and drawing; zero: A4
	PNG     bool        // also the drawing in pixels
	// TrueSize: the sheet also has the plate at 1:1, in tiles.
	TrueSize bool
	// Bars are those at 1:1 of an earlier print, which lengthen or shorten the tiles.
	Bars setupsheet.Bars
}

// drawingDPI is how many pixels an inch of the drawing has: its thinnest lines are two wide.
const drawingDPI = 200

// drawingFile names a sheet of the drawing, the first 0.
func drawingFile(i int, kind string) string {
	if i == 0 {
		return "drawing." + kind
	}
	return fmt.Sprintf("drawing-%d.%s", i+1, kind)
}

// Unlettered names the letters of a design that its PDF and PNGs cannot show; empty: they show all.
func Unlettered(d *jig.Design) string {
	says := d.Title + d.Board.Wood
	for _, f := range d.Board.Features {
		says += f.Name
	}
	if m := picture.Missing(says); m != "" {
		return setupsheet.NoLetters(m)
	}
	return ""
}

// Render renders every file of a design in memory, so that nothing is written when one fails.
// Files that do not need each other are rendered side by side; programs, which may be
// too large to be held, as they are written.
func Render(d *jig.Design, o Options) (*export.Bundle, error) {
	meshed := sync.OnceValues(func() ([]meshedPart, error) { return buildPrints(d) })
	type file struct {
		name  string
		write func(io.Writer) error
		large bool
	}
	var files []file
	add := func(name string, write func(io.Writer) error) { files = append(files, file{name, write, false}) }
	for i := range d.Sheets {
		add(d.Sheets[i].File, func(w io.Writer) error { return dxf.Write(w, &d.Sheets[i], o.DXF) })
	}
	for i, p := range prints(d) {
		if slices.ContainsFunc(files, func(f file) bool { return f.name == p.File }) {
			continue // a wedge like another
		}
		add(p.File, func(w io.Writer) error {
			all, err := meshed()
			if err != nil {
				return err
			}
			return solid.WriteSTL(w, all[i].solid.Mesh, d.Title)
		})
	}
	if o.ThreeMF {
		for _, f := range runsOf(d) {
			add(f.name, func(w io.Writer) error {
				all, err := meshed()
				if err != nil {
					return err
				}
				return write3MF(w, d, all, f.run)
			})
		}
	}
	if len(d.Parts) > 0 {
		add("template.svg", func(w io.Writer) error { return picture.WriteSVG(w, platePicture(d)) })
	}
	for _, p := range d.Programs {
		write := func(w io.Writer) error { return gcode.Write(w, p.Path, gcode.Dialect(p.Dialect)) }
		files = append(files, file{p.Path.File, write, true})
	}
	add("holes.csv", func(w io.Writer) error {
		csv, err := record.HolesCSV(d)
		if err != nil {
			return err
		}
		_, err = w.Write(csv)
		return err
	})
	bufs, errs := make([]bytes.Buffer, len(files)), make([]error, len(files))
	var wg sync.WaitGroup
	drawing := sync.OnceValues(func() ([]*picture.Picture, error) { return sheet.Drawing(d, o.Paper) })
	wg.Go(func() { _, _ = drawing() })
	for i, f := range files {
		if !f.large {
			wg.Go(func() { errs[i] = f.write(&bufs[i]) })
		}
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	b := &export.Bundle{}
	for i, f := range files {
		if !f.large {
			b.Add(f.name, bufs[i].Bytes())
		} else if err := b.AddFunc(f.name, f.write); err != nil {
			return nil, err
		}
	}
	drawn, err := drawing()
	if err != nil {
		return nil, err
	}
	for i, p := range drawn {
		var svg bytes.Buffer
		if err := picture.WriteSVG(&svg, p); err != nil {
			return nil, err
		}
		b.Add(drawingFile(i, "svg"), svg.Bytes())
		if o.PNG {
			var png bytes.Buffer
			if err := picture.WritePNG(&png, p, drawingDPI); err != nil {
				return nil, err
			}
			b.Add(drawingFile(i, "png"), png.Bytes())
		}
	}
	content := setupsheet.Content{
		Take: append(report.TakeList(d), report.ToolList(d)...), Files: b.Files(), Drawing: drawn,
		TrueSize: o.TrueSize || o.Bars != setupsheet.Bars{}, Bars: o.Bars,
	}
	content.Word, content.Verdict = report.Verdict(d)
	var pdf bytes.Buffer
	if err := picture.WritePDF(&pdf, d.Title, setupsheet.Pages(d, content, o.Paper)); err != nil {
		return nil, err
	}
	b.Add("sheet.pdf", pdf.Bytes())
	all, err := meshed()
	if err != nil {
		return nil, err
	}
	js, err := record.DesignJSON(d, b.Files(), bodies(all))
	if err != nil {
		return nil, err
	}
	b.Add("design.json", js)
	return b, nil
}
