package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"reseat/export"
	"reseat/jig"
	"reseat/jig/geom"
)

func designJSON(t *testing.T, d *jig.Design) []byte {
	t.Helper()
	doc, err := DesignJSON(d, sampleFiles, nil)
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

// TestContract holds the keys that other programs read.
func TestContract(t *testing.T) {
	m := read(t, designJSON(t, sample()))
	for _, tc := range []struct {
		name string
		path []any
		want string
	}{
		{"document", nil, "title units frame board template pins seat foolproof assembly budget rails rules files"},
		{"frame", []any{"frame"}, "long_axis"},
		{"board", []any{"board"}, "length_mm width_start_mm width_end_mm thickness_mm crown_radius_mm outline"},
		{"template", []any{"template"}, "outline window thickness_mm clearance_mm material make"},
		{"pin", []any{"pins", 0}, "id role u_mm v_mm x_mm y_mm pin template_hole blank_hole bed_hole"},
		{"dowel", []any{"pins", 0, "pin"}, "nominal_mm min_mm max_mm"},
		{"template hole", []any{"pins", 0, "template_hole"}, "class min_mm max_mm drawn_mm slot_mm slot_angle_uv_deg slot_angle_xy_deg"},
		{"blank hole", []any{"pins", 0, "blank_hole"}, "class min_mm max_mm drawn_mm slot_mm slot_angle_uv_deg slot_angle_xy_deg"},
		{"bed hole", []any{"pins", 0, "bed_hole"}, "class min_mm max_mm drawn_mm slot_mm slot_angle_uv_deg slot_angle_xy_deg"},
		{"seat", []any{"seat"}, "kind theta_max_rad features"},
		{"float", []any{"seat", "features", 0}, "name u_mm v_mm along_mm across_mm worst_mm"},
		{"foolproof", []any{"foolproof"}, "half_turn_mm flip_long_mm flip_short_mm"},
		{"assembly", []any{"assembly"}, "odds trials seed"},
		{"budget", []any{"budget", 0}, "feature terms worst_mm p95_mm"},
		{"term", []any{"budget", 0, "terms", 0}, "source worst_mm sd_mm"},
		{"rails", []any{"rails"}, "strip_mm height_mm gap_mm closing_force_n squeeze_out_ml deflection_mm"},
		{"rule", []any{"rules", 0}, "id level value limit unit says"},
		{"file", []any{"files", 0}, "name bytes sha256"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			keys := get(t, m, tc.path...).(map[string]any)
			for _, k := range strings.Fields(tc.want) {
				if _, ok := keys[k]; !ok {
					t.Errorf("no key %q", k)
				}
			}
		})
	}
}

// read gives the record as any other program would see it.
func read(t *testing.T, doc []byte) map[string]any {
	t.Helper()
	var m map[string]any
	if err := json.Unmarshal(doc, &m); err != nil {
		t.Fatal(err)
	}
	return m
}

// get walks through maps and lists.
func get(t *testing.T, v any, path ...any) any {
	t.Helper()
	for _, step := range path {
		switch s := step.(type) {
		case string:
			m, ok := v.(map[string]any)
			if !ok {
				t.Fatalf("%v: %q is not within an object", path, s)
			}
			if v, ok = m[s]; !ok {
				t.Fatalf("%v: no key %q", path, s)
			}
		case int:
			v = v.([]any)[s]
		}
	}
	return v
}

func TestValues(t *testing.T) {
	m := read(t, designJSON(t, sample()))
	for _, tc := range []struct {
		name string
		path []any
		want any
	}{
		{"title keeps its signs", []any{"title"}, `Fingerboard "seven" <again>`},
		{"unit", []any{"units"}, "mm"},
		{"corner", []any{"board", "outline", 1}, []any{200.0, -25.0}},
		{"u", []any{"pins", 1, "u_mm"}, 170.333333},
		{"u runs along +Y", []any{"pins", 1, "y_mm"}, 170.333333},
		{"v runs along -X", []any{"pins", 1, "x_mm"}, 39.0},
		{"limit", []any{"pins", 0, "pin", "max_mm"}, 6.012},
		{"slot's free travel", []any{"pins", 1, "template_hole", "slot_mm"}, 0.5},
		// atan(1/150) = 0.3819660 degrees, by the series x - x^3/3 with x = 1/150:
		// (0.006666667 - 0.0000000988) * 57.29577951.
		{"slot's angle", []any{"pins", 1, "template_hole", "slot_angle_uv_deg"}, 0.381966},
		{"and on the machine", []any{"pins", 1, "template_hole", "slot_angle_xy_deg"}, 90.381966},
		{"round hole has no travel", []any{"pins", 0, "template_hole", "slot_mm"}, 0.0},
		{"theta keeps its digits", []any{"seat", "theta_max_rad"}, 0.00042198},
		{"kerf", []any{"sheets", 0, "kerf_applied_mm"}, 0.2},
		{"origin", []any{"sheets", 1, "origin_mm"}, []any{56.0, 50.0}},
		{"rule", []any{"rules", 1, "level"}, "warn"},
		{"odds", []any{"assembly", "odds"}, 0.998},
		{"second pair of parts", []any{"assemblies", 1, "on"}, "blank"},
		{"95 %", []any{"budget", 0, "p95_mm"}, 0.0873},
		{"term", []any{"budget", 0, "terms", 1, "sd_mm"}, 0.02},
		// Shares: 0.01^2 + 0.02^2 + 0.03^2 = 0.0014, of which the last has 9/14, and
		// its bias of 0.03 across stands alone.
		{"largest", []any{"budget", 0, "largest"}, "wood movement"},
		{"seed", []any{"simulation", "seed"}, 7.0},
		{"swelling", []any{"climate", "board_width_grows_mm"}, 0.0412},
		{"force", []any{"rails", "closing_force_n"}, 5000.0},
		{"file", []any{"files", 1, "sha256"}, "cd"},
		{"maker", []any{"made_by"}, "reseat"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := get(t, m, tc.path...); !reflect.DeepEqual(got, tc.want) {
				t.Errorf("got %v, want %v", got, tc.want)
			}
		})
	}
}

// TestOutlines compares the written corners with the contour that they stand for.
func TestOutlines(t *testing.T) {
	d := sample()
	m := read(t, designJSON(t, d))
	for _, tc := range []struct {
		name  string
		path  []any
		loop  geom.Loop
		exact bool // straight edges only
	}{
		{"board", []any{"board", "outline"}, d.Board.Outline, true},
		{"window with reliefs", []any{"template", "window"}, d.Template.Window, false},
		{"rounded plate", []any{"template", "outline"}, d.Template.Outline, false},
		{"rail", []any{"rails", "outlines", 0}, d.Rails.Outlines[0], true},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var pts []geom.Vec
			for _, p := range get(t, m, tc.path...).([]any) {
				pts = append(pts, geom.Vec{X: p.([]any)[0].(float64), Y: p.([]any)[1].(float64)})
			}
			if tc.exact && len(pts) != len(tc.loop) {
				t.Fatalf("%d corners, want %d", len(pts), len(tc.loop))
			}
			const rounding = 1e-6 // both coordinates by half a millionth, and some
			area := geom.FromPoints(pts).Area()
			if area <= 0 {
				t.Errorf("runs clockwise: area %g", area)
			}
			for i, p := range pts {
				q := pts[(i+1)%len(pts)]
				if off := tc.loop.Distance(p); off > rounding {
					t.Errorf("corner %d lies %g mm off the contour", i, off)
				}
				if off := tc.loop.Distance(p.Lerp(q, 0.5)); off > ArcsWithinMM+rounding {
					t.Errorf("chord %d lies %g mm off the contour", i, off)
				}
			}
		})
	}
}

func TestBytes(t *testing.T) {
	doc := designJSON(t, sample())
	if again := designJSON(t, sample()); !bytes.Equal(doc, again) {
		t.Error("another run gives other bytes")
	}
	if !bytes.HasSuffix(doc, []byte("}\n")) || bytes.Contains(doc, []byte("\r")) {
		t.Error("does not end with one line end")
	}
	for _, bad := range []string{"-0,", "-0\n", "-0]", "NaN", "Inf", "e-0", "null", "[\n      200"} {
		if bytes.Contains(doc, []byte(bad)) {
			t.Errorf("holds %q", bad)
		}
	}
	if checked, err := export.WithChecksum(doc); err != nil || !bytes.Equal(checked, doc) {
		t.Errorf("has not its checksum (%v)", err)
	}
	// Points on one line are the same document.
	var loose bytes.Buffer
	if err := json.Indent(&loose, doc, "", "  "); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(read(t, loose.Bytes()), read(t, doc)); d != "" {
		t.Errorf("putting points on one line changed the document:\n%s", d)
	}
}

func TestAbsentParts(t *testing.T) {
	doc := designJSON(t, bare())
	m := read(t, doc)
	for _, k := range []string{"blank", "rails", "job_file"} {
		if _, there := m[k]; there {
			t.Errorf("%s is there, though the design has none", k)
		}
	}
	if _, there := get(t, m, "template").(map[string]any)["window"]; there {
		t.Error("a window is there, though the board seats on pins")
	}
	if _, there := get(t, m, "pins", 0).(map[string]any)["blank_hole"]; there {
		t.Error("a blank hole is there, though there is no blank")
	}
	if got := get(t, m, "print", 0, "bed_mm"); !reflect.DeepEqual(got, []any{220.0, 220.0, 250.0}) {
		t.Errorf("printer's bed %v", got)
	}
	if got := get(t, m, "print", 0, "holes", 1); !reflect.DeepEqual(got, map[string]any{
		"id": "B", "x_mm": 88.0, "y_mm": 194.0, "diameter_mm": 6.1, "slot_mm": 0.5, "slot_angle_xy_deg": 90.0,
	}) {
		t.Errorf("hole of the print: %v", got)
	}
	get(t, m, "pins", 0, "print_hole", "drawn_mm")
	for _, k := range []string{"rules", "notes"} {
		if list, ok := get(t, m, k).([]any); !ok || len(list) != 0 {
			t.Errorf("%s is %v, want an empty list", k, get(t, m, k))
		}
	}
	if bytes.Contains(doc, []byte("null")) {
		t.Error("holds null")
	}
	if _, err := DesignJSON(&jig.Design{}, nil, nil); err != nil {
		t.Errorf("an empty design: %v", err)
	}
}

// TestEveryFigureIsGuarded puts NaN and infinity into each float of a design in
// turn; the record either leaves the field out or refuses and names it.
func TestEveryFigureIsGuarded(t *testing.T) {
	// A bare design has few figures that a full one has not: one value will do.
	notNumbers := map[string][]float64{"sample": {math.NaN(), math.Inf(1)}, "bare": {math.NaN()}}
	for name, fresh := range map[string]func() *jig.Design{"sample": sample, "bare": bare} {
		floats := 0
		each(reflect.ValueOf(fresh()), func(path string, set func(*jig.Design, float64)) {
			floats++
			for _, x := range notNumbers[name] {
				d := fresh()
				set(d, x)
				doc, err := DesignJSON(d, sampleFiles, nil)
				var nerr *NumberError
				switch {
				case errors.As(err, &nerr):
					if len(nerr.Paths) == 0 || doc != nil {
						t.Errorf("%s%s = %g: error without a path, or with a record", name, path, x)
					}
				case err != nil:
					t.Errorf("%s%s = %g: untyped error %v", name, path, x, err)
				case !json.Valid(doc):
					t.Errorf("%s%s = %g: the record is no JSON", name, path, x)
				}
				if csv, err := HolesCSV(d); err == nil &&
					(bytes.Contains(csv, []byte("NaN")) || bytes.Contains(csv, []byte("Inf"))) {
					t.Errorf("%s%s = %g: stands in holes.csv", name, path, x)
				}
			}
		})
		if floats < 100 {
			t.Errorf("%s: only %d figures were tried; the walk does not reach the design", name, floats)
		}
	}
	d := sample()
	d.Pins[1].Template.MaxMM, d.Board.LengthMM = math.NaN(), math.Inf(1)
	_, err := DesignJSON(d, nil, nil)
	for _, want := range []string{"board.length_mm is +Inf", "pins[1].template_hole.max_mm is NaN"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v does not say %q", err, want)
		}
	}
}

// each visits every float of the design with a setter for the same place in a
// fresh one.
func each(v reflect.Value, visit func(path string, set func(*jig.Design, float64))) {
	var walk func(v reflect.Value, path string, steps []func(reflect.Value) reflect.Value)
	walk = func(v reflect.Value, path string, steps []func(reflect.Value) reflect.Value) {
		into := func(name string, step func(reflect.Value) reflect.Value) {
			walk(step(v), path+name, append(steps[:len(steps):len(steps)], step))
		}
		switch v.Kind() {
		case reflect.Float64:
			visit(path, func(d *jig.Design, x float64) {
				at := reflect.ValueOf(d)
				for _, s := range steps {
					at = s(at)
				}
				at.SetFloat(x)
			})
		case reflect.Pointer:
			if !v.IsNil() {
				into("", reflect.Value.Elem)
			}
		case reflect.Slice, reflect.Array:
			for i := range v.Len() {
				into("[]", func(v reflect.Value) reflect.Value { return v.Index(i) })
			}
		case reflect.Struct:
			for i := range v.NumField() {
				into("."+v.Type().Field(i).Name, func(v reflect.Value) reflect.Value { return v.Field(i) })
			}
		}
	}
	walk(v, "", nil)
}
