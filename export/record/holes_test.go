package record

import (
	"bytes"
	"encoding/csv"
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"reseat/jig"
)

// readHoles gives holes.csv as any other program would see it: a map per line.
func readHoles(t *testing.T, d *jig.Design) []map[string]string {
	t.Helper()
	data, err := HolesCSV(d)
	if err != nil {
		t.Fatal(err)
	}
	r := csv.NewReader(bytes.NewReader(data))
	rows, err := r.ReadAll() // refuses rows of unequal length
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(holeColumns, rows[0]); d != "" {
		t.Errorf("head (-want +got):\n%s", d)
	}
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, cell := range row {
			m[rows[0][i]] = cell
		}
		out = append(out, m)
	}
	return out
}

func TestHoles(t *testing.T) {
	d := sample()
	rows := readHoles(t, d)
	var order []string
	for _, r := range rows {
		order = append(order, r["part"]+" "+r["id"])
	}
	if d := cmp.Diff([]string{"template A", "template B", "blank A", "blank B", "bed A", "bed B"}, order); d != "" {
		t.Errorf("rows (-want +got):\n%s", d)
	}
	want := map[string]string{
		"part": "template", "id": "B", "role": "slot", "u_mm": "170.333333", "v_mm": "-39", "x_mm": "39",
		"y_mm":   "170.333333",
		"pin_mm": "6", "class": "E8", "drawn_mm": "5.5", "finished_min_mm": "6.02", "finished_max_mm": "6.038",
		"slot_mm": "0.5", "slot_angle_uv_deg": "0.381966", "slot_angle_xy_deg": "90.381966", "depth_mm": "0",
		"floor_mm": "0", "made": "laser, then ream",
		// The datum line starts at (49.1, 24.1) in the file; the machine's axes are the file's.
		"file": "template.dxf", "file_x_mm": "88.1", "file_y_mm": "194.433333",
	}
	if d := cmp.Diff(want, rows[1]); d != "" {
		t.Errorf("slot in the template (-want +got):\n%s", d)
	}
	if r := rows[2]; r["file"] != "blank.dxf" || r["depth_mm"] != "12" || r["file_x_mm"] != "96" || r["role"] != "round" {
		t.Errorf("hole in the blank: %v", r)
	}
}

func TestHolesOfPrint(t *testing.T) {
	rows := readHoles(t, bare())
	if len(rows) != 4 {
		t.Fatalf("%d rows, want two holes in print and bed each", len(rows))
	}
	if r := rows[0]; r["file"] != "template.stl" || r["file_x_mm"] != "89" || r["file_y_mm"] != "44" {
		t.Errorf("hole in the printed template: %v", r)
	}
}

// TestHolesOfBoth: a plate cut from sheet and its printed fellow are two parts,
// whichever of them the job makes.
func TestHolesOfBoth(t *testing.T) {
	for by, want := range map[string]string{
		"laser": "template template.dxf, print template.stl, bed bed.dxf",
		"print": "template template.dxf, print template.stl, bed bed.dxf",
	} {
		d := sample()
		d.Print, d.Parts, d.Template.MakeBy = bare().Print, bare().Parts, by
		d.Pins = d.Pins[:1]
		d.Pins[0].Blank = nil
		var got []string
		for _, r := range readHoles(t, d) {
			got = append(got, r["part"]+" "+r["file"])
		}
		if s := strings.Join(got, ", "); s != want {
			t.Errorf("made by %s: %s, want %s", by, s, want)
		}
	}
}

func TestHolesRefused(t *testing.T) {
	d := sample()
	d.Pins[0].Bed.DrawnMM = math.NaN()
	var nerr *NumberError
	if _, err := HolesCSV(d); !errors.As(err, &nerr) || !strings.Contains(err.Error(), "drawn_mm of pin A in the bed") {
		t.Errorf("want a *NumberError that names the hole, got %v", err)
	}
	d = sample()
	d.Sheets = d.Sheets[:2]
	var serr *SheetError
	if _, err := HolesCSV(d); !errors.As(err, &serr) || serr.Part != "bed" {
		t.Errorf("want a *SheetError of the bed, got %v", err)
	}
	// Text that would break a careless file is quoted.
	d = sample()
	d.Pins[0].Template.Made = "laser, \"slow\"\nthen ream"
	if got := readHoles(t, d)[0]["made"]; got != d.Pins[0].Template.Made {
		t.Errorf("text came back as %q", got)
	}
}
