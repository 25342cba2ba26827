package job

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/rogpeppe/go-internal/txtar"
	"gopkg.in/yaml.v3"

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
		text, err := encode(data, j.Dowel.Standard)
		if err != nil {
			t.Fatal(err)
		}
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
		"pin": j.Dowel.DiameterMM, "plate": j.Template.ThicknessMM, "bed": j.Bed.ThicknessMM, "cutter": j.Machine.Cutter.DiameterMM,
		"accuracy": j.AccuracyMM,
	} {
		if v <= 0 {
			t.Errorf("%s = %g", name, v)
		}
	}
	if j.Title == "" || j.Template.Material == "" || j.Dowel.Standard == "" || j.Dowel.Count == 1 {
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
		if f.UMM < -onBoardTolMM || f.UMM > b.LengthMM+onBoardTolMM || math.Abs(f.VMM) > b.HalfWidthMM(f.UMM)+
			onBoardTolMM {
			t.Errorf("off the board: %+v", f)
		}
	}
	for _, k := range b.KeepOut {
		if k.From.X >= k.To.X || k.From.Y >= k.To.Y {
			t.Errorf("turned keep-out: %+v", k)
		}
	}
}

// encode writes what a good job says in millimetres: the reader's values by their paths.
func encode(data []byte, standard string) (string, error) {
	text := strings.TrimPrefix(string(data), byteOrderMark)
	src := newSource(text)
	root, _ := parseTree("job.yaml", text, "job file", src)
	r := newReader("job.yaml", src, nil)
	r.job(root)
	r.val["dowel.standard"] = standard // its default hangs on the unit
	tree := map[string]any{}
	for path, v := range r.val {
		if keyAt(schemaOf(path)).kind == aList {
			continue
		}
		at := tree
		steps := strings.Split(strings.ReplaceAll(path, "[", ".["), ".")
		for _, s := range steps[:len(steps)-1] {
			if at[s] == nil {
				at[s] = map[string]any{}
			}
			at = at[s].(map[string]any)
		}
		at[steps[len(steps)-1]] = v
	}
	out, err := yaml.Marshal(withLists(tree))
	return string(out), err
}

// withLists turns sections whose keys are "[0]", "[1]" ... into lists.
func withLists(section map[string]any) any {
	list := make([]any, len(section))
	isList := false
	for k, v := range section {
		if below, ok := v.(map[string]any); ok {
			section[k] = withLists(below)
		}
		if k[0] == '[' {
			isList = true
			i, _ := strconv.Atoi(k[1 : len(k)-1])
			list[i] = section[k]
		}
	}
	if isList {
		return list
	}
	return section
}
