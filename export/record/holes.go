package record

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"path"
	"strings"

	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/units"
)

// holeColumns is the head of holes.csv. u and v are in the board frame, x and y on
// the machine with its zero at the start of the datum line, file_x and file_y in
// the named file. drawn, finished_min and finished_max are diameters, or widths of
// a slot; slot is the free travel between the slot's end centres, 0 for a round
// hole; its angles count counter-clockwise, from +u and from the machine's +X. depth 0 is
// a through hole.
var holeColumns = []string{
	"part", "id", "role", "u_mm", "v_mm", "x_mm", "y_mm", "pin_mm", "class",
	"drawn_mm", "finished_min_mm", "finished_max_mm", "slot_mm", "slot_angle_uv_deg", "slot_angle_xy_deg",
	"depth_mm", "floor_mm", "made", "file", "file_x_mm", "file_y_mm",
}

// SheetError is a part whose holes are in no file of the design.
type SheetError struct{ Part string }

func (e *SheetError) Error() string {
	return fmt.Sprintf("the design has holes in the %s but no file of it", e.Part)
}

// partFile returns the file that a part is made from, and where pin p lies in it:
// the sheet of the part's name, or the print that holds the pin.
func partFile(d *jig.Design, part string, p jig.Pin) (file string, at geom.Vec, err error) {
	if part == "print" {
		for _, k := range d.Parts {
			for _, h := range k.Holes { // each hole is in one part
				if h.ID == p.ID {
					return k.File, h.Center, nil
				}
			}
		}
		return "", geom.Vec{}, &SheetError{part}
	}
	for _, s := range d.Sheets {
		if strings.TrimSuffix(s.File, path.Ext(s.File)) == part {
			return s.File, s.Origin.Add(p.Machine).Sub(d.Frame.ToMachine.Apply(geom.Vec{})), nil
		}
	}
	return "", geom.Vec{}, &SheetError{part}
}

// parts lists the parts with holes: the template as it is cut from sheet and as it
// is printed, whichever the design has, the blank and the bed.
func parts(d *jig.Design) []string {
	var out []string
	if _, _, err := partFile(d, "template", jig.Pin{}); err == nil || len(d.Parts) == 0 {
		out = append(out, "template")
	}
	if len(d.Parts) > 0 {
		out = append(out, "print")
	}
	return append(out, "rails", "blank", "bed")
}

// HolesCSV lists every hole of every part: one line per hole, template first, then
// the printed plate, blank and bed, each in the order of the pins; RFC 4180 with LF line ends.
//
// Errors: *NumberError when a figure is not finite, *SheetError.
func HolesCSV(d *jig.Design) ([]byte, error) {
	var buf bytes.Buffer
	w := csv.NewWriter(&buf)
	w.Write(holeColumns) // errors are kept and told by w.Error
	var bad NumberError
	for _, part := range parts(d) {
		for _, p := range d.Pins {
			h := p.In(part)
			if h == nil {
				continue
			}
			file, at, err := partFile(d, part, p)
			if err != nil {
				return nil, err
			}
			row := holeRow{part: part, pin: p, hole: *h, file: file, at: at}
			w.Write(row.cells(&bad))
		}
	}
	if len(bad.Paths) > 0 {
		return nil, &bad
	}
	w.Flush()
	if err := w.Error(); err != nil {
		return nil, fmt.Errorf("writing CSV: %w", err)
	}
	return buf.Bytes(), nil
}

type holeRow struct {
	part string
	pin  jig.Pin
	hole jig.Hole
	file string
	at   geom.Vec // in that file
}

// cells returns the columns of holeColumns and notes figures that are not finite.
func (r holeRow) cells(bad *NumberError) []string {
	p, h := r.pin, r.hole
	values := map[string]float64{
		"u_mm": p.At.X, "v_mm": p.At.Y, "x_mm": p.Machine.X, "y_mm": p.Machine.Y,
		"pin_mm": p.Dowel.NominalMM, "drawn_mm": h.DrawnMM,
		"finished_min_mm": h.MinMM, "finished_max_mm": h.MaxMM,
		"slot_mm": h.SlotMM, "depth_mm": h.DepthMM, "floor_mm": h.FloorMM,
		"slot_angle_uv_deg": h.SlotAngleUV * 180 / math.Pi, "slot_angle_xy_deg": h.SlotAngleXY * 180 / math.Pi,
		"file_x_mm": r.at.X, "file_y_mm": r.at.Y,
	}
	text := map[string]string{
		"part": r.part, "id": p.ID, "role": string(h.Role), "class": h.Class,
		"made": h.Made, "file": r.file,
	}
	cells := make([]string, len(holeColumns))
	for i, c := range holeColumns {
		x, isNumber := values[c]
		if !isNumber {
			cells[i] = text[c]
			continue
		}
		if math.IsNaN(x) || math.IsInf(x, 0) {
			bad.Paths = append(bad.Paths, fmt.Sprintf("%s of pin %s in the %s is %g", c, p.ID, r.part, x))
			continue
		}
		cells[i] = units.Decimal(x, decimals)
	}
	return cells
}
