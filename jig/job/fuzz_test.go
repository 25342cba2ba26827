package job

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/rogpeppe/go-internal/txtar"

	"reseat/jig/units"
)

// FuzzParse feeds any bytes to the reader. A good job has only finite values
// within their bounds and says the same when written out and read again; a bad
// one has faults that lie in the file.
func FuzzParse(f *testing.F) {
	f.Add([]byte(Starter(units.MM)))
	f.Add([]byte(Starter(units.Inch)))
	whole, err := os.ReadFile(filepath.Join("testdata", "whole.yaml"))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(whole)
	cases, err := filepath.Glob(filepath.Join("testdata", "faults", "*.txtar"))
	if err != nil {
		f.Fatal(err)
	}
	for _, c := range cases {
		a, err := txtar.ParseFile(c)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(a.Files[0].Data)
	}
	for _, s := range []string{
		"", "\ufefftitle: a", "a: |\n  x\n", "{[", "&a [*a]", "--- {}\n...\n", "? a\n", "# c\r# d\u2028a: 1",
		"%YAML 1.1\n---\na: 1",
		"a: \"\\u0000\"", "- - - -", "'", "a:\n\tb", "\u0085a: {",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		j, err := Parse("job.yaml", data)
		again, err2 := Parse("job.yaml", data)
		if (err == nil) != (err2 == nil) || err != nil && err.Error() != err2.Error() {
			t.Fatalf("two readings differ: %v, %v", err, err2)
		}
		if err != nil {
			checkFaults(t, data, err)
			return
		}
		if d := cmp.Diff(j, again, cmp.AllowUnexported(Job{}, Make{}, source{})); d != "" {
			t.Fatal(d)
		}
		checkFinite(t, reflect.ValueOf(*j), "job")
		checkBounds(t, j)
		text := encode(j)
		back, err := Parse("job.yaml", []byte(text))
		if err != nil {
			t.Fatalf("written out, it is refused: %v\n%s", err, text)
		}
		j.Units = units.MM
		if d := cmp.Diff(j, back, cmpopts.IgnoreUnexported(Job{}), cmpopts.IgnoreFields(Job{}, "SHA256"),
			cmp.AllowUnexported(Make{})); d != "" {
			t.Fatalf("written out, it says something else: %s\n%s", d, text)
		}
	})
}

func checkFaults(t *testing.T, data []byte, err error) {
	var ps *Problems
	if !errors.As(err, &ps) || len(ps.List) == 0 || len(ps.List) > maxListed {
		t.Fatalf("not a list of faults: %#v", err)
	}
	lines := splitLines(strings.TrimPrefix(string(data), byteOrderMark))
	seen := map[string]bool{}
	for _, p := range ps.List {
		line := p.Error()
		if p.Says == "" || strings.ContainsAny(line, "\n\r") || !utf8.ValidString(line) {
			t.Errorf("not one line of text: %q", line)
		}
		if seen[line] {
			t.Errorf("told twice: %s", line)
		}
		seen[line] = true
		if p.Pos == (Position{}) {
			continue
		}
		// A value that is not there stands just past the end of its line, or of
		// the file: hence one column and one line more.
		if p.Pos.Line < 1 || p.Pos.Line > len(lines)+1 || p.Pos.Column < 1 ||
			p.Pos.Line <= len(lines) && p.Pos.Column > utf8.RuneCountInString(lines[p.Pos.Line-1])+1 {
			t.Errorf("%v is not in the file: %s", p.Pos, line)
		}
	}
	if d := ps.Detail(); strings.Count(d, "\n") > 3*maxListed+1 {
		t.Errorf("too long:\n%s", d)
	}
}

// checkFinite walks every number of a job.
func checkFinite(t *testing.T, v reflect.Value, path string) {
	switch v.Kind() {
	case reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) || math.Abs(f) > 20000 {
			t.Errorf("%s = %g", path, f)
		}
	case reflect.Pointer:
		if !v.IsNil() && v.Type() != reflect.TypeFor[*source]() {
			checkFinite(t, v.Elem(), path)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			checkFinite(t, v.Field(i), path+"."+v.Type().Field(i).Name)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			checkFinite(t, v.Index(i), fmt.Sprintf("%s[%d]", path, i))
		}
	}
}

// checkBounds: what later stages rely on.
func checkBounds(t *testing.T, j *Job) {
	b := j.Board
	for name, v := range map[string]float64{
		"length": b.LengthMM, "start": b.WidthStartMM, "end": b.WidthEndMM, "thickness": b.ThicknessMM,
		"pin": j.Dowel.DiameterMM, "plate": j.Template.ThicknessMM, "bed": j.Bed.ThicknessMM, "cutter": j.Machine.CutterMM,
		"accuracy": j.AccuracyMM,
	} {
		if v <= 0 {
			t.Errorf("%s = %g", name, v)
		}
	}
	if j.Title == "" || j.Template.Material == "" || j.Dowel.Standard == "" || j.Dowel.Count < 2 {
		t.Errorf("a default is missing: %+v", j)
	}
	if 2*b.CornerRadiusMM > math.Min(b.WidthStartMM, b.WidthEndMM) || b.CrownRadiusMM != 0 &&
		2*b.CrownRadiusMM < math.Max(b.WidthStartMM, b.WidthEndMM) {
		t.Errorf("impossible radii: %+v", b)
	}
	names := map[string]bool{}
	for _, f := range b.AllFeatures() {
		if f.Name == "" || names[f.Name] {
			t.Errorf("the name %q is empty or stands twice", f.Name)
		}
		names[f.Name] = true
		if f.UMM < -onBoardSlackMM || f.UMM > b.LengthMM+onBoardSlackMM || math.Abs(f.VMM) > b.halfWidth(f.UMM)+
			onBoardSlackMM {
			t.Errorf("off the board: %+v", f)
		}
	}
	for _, k := range b.KeepOut {
		if k.From.X >= k.To.X || k.From.Y >= k.To.Y {
			t.Errorf("turned keep-out: %+v", k)
		}
	}
}

// encode writes a job out in millimetres with every value that is not absent.
func encode(j *Job) string {
	var b strings.Builder
	w := func(format string, args ...any) { fmt.Fprintf(&b, format, args...) }
	opt := func(key string, v float64) {
		if v != 0 {
			w(", %s: %v", key, v)
		}
	}
	mk := func(m Make) {
		w("make: {by: %s", m.By)
		for _, k := range []struct {
			key string
			v   float64
		}{{"kerf", m.KerfMM}, {"spread", m.SpreadMM}, {"bias", m.BiasMM}, {"position", m.PositionMM}, {"taper", m.TaperMM},
			{"joint", m.JointMM}, {"shrink_pct", m.ShrinkPct}, {"cutter", m.CutterMM}, {"nozzle", m.NozzleMM}} {
			if m.Given(k.key) {
				w(", %s: %v", k.key, k.v)
			}
		}
		if m.Given("bed") {
			w(", bed: {x: %v mm", m.BedMM[0])
			opt("y", m.BedMM[1])
			opt("z", m.BedMM[2])
			w("}")
		}
		w("}")
	}
	d := j.Board
	w("title: %q\nboard:\n  {length: %v, width: {start: %v, end: %v}, thickness: %v, grain: %s", j.Title, d.LengthMM,
		d.WidthStartMM, d.WidthEndMM, d.ThicknessMM, d.Grain)
	opt("corner_radius", d.CornerRadiusMM)
	opt("crown_radius", d.CrownRadiusMM)
	if d.Wood != "" {
		w(", wood: %q", d.Wood)
	}
	opt("movement_pct", d.MovementPct)
	if f := d.Frets; f != nil {
		w(", frets: {scale: %v, count: %d, dot: {bore: %v, depth: %v%s}, dots: [", f.ScaleMM, f.Count, f.DotBoreMM,
			f.DotDepthMM, inlay(f.DotInlay))
		for _, dot := range f.Dots {
			w("{fret: %d, spread: %v}, ", dot.Fret, dot.SpreadMM)
		}
		w("]}")
	}
	w(", features: [")
	for _, f := range d.Features {
		w("{name: %q, u: %v, v: %v", f.Name, f.UMM, f.VMM)
		opt("bore", f.BoreMM)
		opt("depth", f.DepthMM)
		w("%s}, ", inlay(f.Inlay))
	}
	w("], keep_out: [")
	for _, k := range d.KeepOut {
		w("{name: %q, from: [%v, %v], to: [%v, %v]}, ", k.Name, k.From.X, k.From.Y, k.To.X, k.To.Y)
	}
	w("]}\n")
	if k := j.Blank; k != nil {
		w("blank: {length: %v, width: %v, thickness: %v, ", k.LengthMM, k.WidthMM, k.ThicknessMM)
		if k.Wood != "" {
			w("wood: %q, ", k.Wood)
		}
		if k.Make.given != nil {
			mk(k.Make)
		}
		w("}\n")
	}
	w("bed: {material: %q, thickness: %v", j.Bed.Material, j.Bed.ThicknessMM)
	opt("length", j.Bed.LengthMM)
	opt("width", j.Bed.WidthMM)
	if j.Bed.Make.given != nil {
		w(", ")
		mk(j.Bed.Make)
	}
	m := j.Machine
	w("}\nmachine: {long_axis: %s, position: %v, square: %v, cutter: %v, zero: %s", m.LongAxis, m.PositionMM, m.SquareMM,
		m.CutterMM, m.Zero)
	if m.TravelMM != [3]float64{} {
		w(", travel: {")
		for i, k := range []string{"x", "y", "z"} {
			if m.TravelMM[i] != 0 {
				w("%s: %v, ", k, m.TravelMM[i])
			}
		}
		w("}")
	}
	w("}\ndowel: {standard: %q, diameter: %v, count: %d, locate: %s", j.Dowel.Standard, j.Dowel.DiameterMM,
		j.Dowel.Count, j.Dowel.Locate)
	opt("length", j.Dowel.LengthMM)
	if j.Dowel.Class != "" {
		w(", class: %q", j.Dowel.Class)
	}
	if len(j.Dowel.Measured) > 0 {
		w(", measured: [")
		for _, v := range j.Dowel.Measured {
			w("%v, ", v)
		}
		w("]")
	}
	t := j.Template
	w("}\ntemplate: {seat: %s, flip: %s, material: %q, thickness: %v, margin: %v, clearance: %v, push: %s, ",
		t.Seat, t.Flip, t.Material, t.ThicknessMM, t.MarginMM, t.ClearanceMM, t.Push)
	mk(t.Make)
	w("}\naccuracy: %v\n", j.AccuracyMM)
	c, k := j.Cutting, j.Pockets
	w("cutting: {dialect: %s, teeth: %d", c.Dialect, c.Teeth)
	opt("feed_mm_min", c.FeedMMmin)
	opt("plunge_mm_min", c.PlungeMMmin)
	opt("spindle_rpm", c.SpindleRPM)
	opt("turn", c.TurnMM)
	opt("finish", c.FinishMM)
	opt("safe", c.SafeMM)
	opt("force_n_mm2", c.ForceNmm2)
	w("}\npockets: {glue_gap: %v, first_under: %v, step: %v, proud: %v, opaque: %v", k.GlueGapMM, k.FirstUnderMM,
		k.StepMM, k.ProudMM, k.OpaqueMM)
	opt("cutter", k.CutterMM)
	opt("final_crown_radius", k.FinalCrownRadiusMM)
	opt("sand", k.SandMM)
	w("}\n")
	if r := j.Rails; r != nil {
		w("rails: {strip: %v, height: %v, gap: %v, glue: %s}\n", r.StripMM, r.HeightMM, r.GapMM, r.Glue)
	}
	if c := j.Climate; c != nil {
		w("climate: {made: {temp: %v, rh: %v}, now: {temp: %v, rh: %v}}\n", c.Made.TempC, c.Made.RHPct, c.Now.TempC,
			c.Now.RHPct)
	}
	return b.String()
}

// inlay writes the inlay key of a feature, or nothing.
func inlay(in *Inlay) string {
	if in == nil {
		return ""
	}
	s := ", inlay: {measured: ["
	for _, v := range in.MeasuredMM {
		s += fmt.Sprintf("%v, ", v)
	}
	return s + fmt.Sprintf("], thickness: %v}", in.ThicknessMM)
}
