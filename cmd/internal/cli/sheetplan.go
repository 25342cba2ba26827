package cli

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"reseat/cmd/internal/command"
	"reseat/export"
	"reseat/export/dxf"
	"reseat/jig/stock"
	"reseat/jig/units"
)

// sheetPlan is a layout as it is told: with --json as it stands.
type sheetPlan struct {
	WidthMM  float64     `json:"stock_width_mm"`
	HeightMM float64     `json:"stock_height_mm"`
	GapMM    float64     `json:"gap_mm"`
	MarginMM float64     `json:"margin_mm"`
	Sheets   int         `json:"sheets"`
	AtLeast  int         `json:"at_least"` // no layout takes fewer
	WastePct float64     `json:"waste_pct"`
	Batches  []batchPlan `json:"batches"` // one for each kind of stock
	Stale    []string    `json:"stale"`   // files of an earlier run beside these
}

type batchPlan struct {
	Material    string    `json:"material"`
	ThicknessMM float64   `json:"thickness_mm"`
	KerfMM      float64   `json:"kerf_applied_mm"` // the least of its parts but coupons, EdgeMM too
	EdgeMM      float64   `json:"edge_applied_mm"`
	AtLeast     int       `json:"at_least"`
	Sheets      []cutPlan `json:"sheets"`
}

type cutPlan struct {
	File     string     `json:"file"`
	WastePct float64    `json:"waste_pct"`
	WholeMM  [2]float64 `json:"whole_mm"` // the largest rectangle left
	Parts    []partPlan `json:"parts"`
}

type partPlan struct {
	Name     string  `json:"name"`
	XMM      float64 `json:"x_mm"` // of its lower left
	YMM      float64 `json:"y_mm"`
	WidthMM  float64 `json:"width_mm"` // as it lies
	HeightMM float64 `json:"height_mm"`
	Turned   bool    `json:"turned"`
	KerfMM   float64 `json:"kerf_applied_mm"`
	EdgeMM   float64 `json:"edge_applied_mm"`
	Coupon   bool    `json:"coupon"`
}

// writeSheets draws and writes every sheet, all or none, and returns what it wrote.
func writeSheets(room stock.SheetSize, batches []stock.Batch, o sheetOptions) (*sheetPlan, error) {
	plan := &sheetPlan{WidthMM: room.Width, HeightMM: room.Height, GapMM: room.Gap, MarginMM: room.Margin,
		Stale: []string{}}
	for _, b := range batches {
		plan.Sheets += b.Sheets
		plan.AtLeast += b.AtLeast
	}
	dir, name := filepath.Split(o.out)
	stem, ending := strings.TrimSuffix(name, filepath.Ext(name)), filepath.Ext(name)
	numbered := func(n int) string { return fmt.Sprintf("%s-%d%s", stem, n, ending) }
	var bundle export.Bundle
	for _, b := range batches {
		planned := batchPlan{Material: b.Material, ThicknessMM: b.ThicknessMM, AtLeast: b.AtLeast}
		for _, it := range b.Items {
			planned.KerfMM, planned.EdgeMM = least(planned.KerfMM, it.Drawn.KerfMM), least(planned.EdgeMM, it.Drawn.EdgeMM)
		}
		for k := range b.Sheets {
			file := name
			if plan.Sheets > 1 {
				file = numbered(len(bundle.Files()) + 1)
			}
			drawn := b.Draw(k, room, file)
			var buf bytes.Buffer
			if err := dxf.Write(&buf, &drawn, o.dxf); err != nil {
				return nil, err
			}
			bundle.Add(file, buf.Bytes())
			waste := b.Waste(k, room)
			plan.WastePct += 100 * waste / float64(plan.Sheets)
			cut := cutPlan{File: file, WastePct: 100 * waste, WholeMM: [2]float64{b.Whole[k].X, b.Whole[k].Y}}
			for _, p := range b.On(k) {
				it := b.Items[p.Part]
				size := it.Drawn.Size
				if p.Turned {
					size.X, size.Y = size.Y, size.X
				}
				cut.Parts = append(cut.Parts, partPlan{it.Name, p.At.X, p.At.Y, size.X, size.Y, p.Turned,
					it.Drawn.KerfMM, it.Drawn.EdgeMM, it.Drawn.Coupon})
			}
			planned.Sheets = append(planned.Sheets, cut)
		}
		plan.Batches = append(plan.Batches, planned)
	}
	if _, err := bundle.WriteBeside(filepath.Clean(dir)); err != nil {
		return nil, err
	}
	there, err := os.ReadDir(filepath.Clean(dir))
	if err != nil {
		return nil, err
	}
	ours := regexp.MustCompile("^" + regexp.QuoteMeta(stem) + `(-\d+)?` + regexp.QuoteMeta(ending) + "$")
	for _, f := range there {
		if ours.MatchString(f.Name()) && bundle.Data(f.Name()) == nil {
			plan.Stale = append(plan.Stale, f.Name())
		}
	}
	return plan, nil
}

// print tells a maker what to cut from what.
func (p *sheetPlan) print(w io.Writer, dir string, failing []string) {
	size := fmt.Sprintf("%s x %s mm", units.Decimal(p.WidthMM, 2), units.Decimal(p.HeightMM, 2))
	parts := 0
	for _, b := range p.Batches {
		for _, s := range b.Sheets {
			parts += len(s.Parts)
		}
	}
	fmt.Fprintf(w, "%s of %s for %s; waste %s %%\n", plural(p.Sheets, "sheet"), size, plural(parts, "part"),
		units.Fixed(p.WastePct, 0))
	for _, b := range p.Batches {
		bound := "no layout takes fewer"
		if b.AtLeast < len(b.Sheets) {
			bound = fmt.Sprintf("no layout takes fewer than %d", b.AtLeast)
		}
		kerf := "true size"
		if b.KerfMM != 0 {
			kerf = "kerf applied"
		} else if b.EdgeMM != 0 {
			kerf = "edge applied"
		}
		fmt.Fprintf(w, "\n%s mm %s, %s: %s, %s\n", units.Decimal(b.ThicknessMM, 3), b.Material, kerf,
			plural(len(b.Sheets), "sheet"), bound)
		for _, s := range b.Sheets {
			fmt.Fprintf(w, "  %s: waste %s %%, largest offcut %s x %s mm\n", filepath.Join(dir, s.File), units.Fixed(s.WastePct, 0),
				units.Decimal(s.WholeMM[0], 1), units.Decimal(s.WholeMM[1], 1))
			tab := command.NewTable("part", ">along X", ">along Y", ">lower left X", ">Y", "applied", "")
			for _, k := range s.Parts {
				turned := ""
				if k.Turned {
					turned = "turned by a quarter"
				}
				tab.Add(k.Name, units.Decimal(k.WidthMM, 2), units.Decimal(k.HeightMM, 2), units.Fixed(k.XMM, 2),
					units.Fixed(k.YMM, 2), k.applied(), turned)
			}
			tab.Write(w, "    ")
		}
	}
	fmt.Fprintln(w, "\nX0 Y0 is the stock's lower left corner. Each part is cut whole before the next, its outline last.")
	if len(p.Stale) > 0 {
		fmt.Fprintf(w, "of an earlier run and none of these: %s\n", command.Listed(p.Stale))
	}
	for _, f := range failing {
		fmt.Fprintf(w, "a rule fails in %s: reseat check %s\n", f, command.ShellWord(f))
	}
}

// applied says what is in a part's lines.
func (p partPlan) applied() string {
	switch {
	case p.KerfMM != 0:
		return "kerf " + units.Decimal(p.KerfMM, 3)
	case p.EdgeMM != 0:
		return "edge " + units.Decimal(p.EdgeMM, 3)
	}
	return "true size"
}

// least is the smaller of two figures of which 0 is none.
func least(a, b float64) float64 {
	if a == 0 || b == 0 {
		return a + b
	}
	return math.Min(a, b)
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
