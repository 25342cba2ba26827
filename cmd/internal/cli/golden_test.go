package cli

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v5"

	"reseat/export/record"
	"reseat/jig"
)

// goldenTolerance is how far a frozen number may move, in its own unit: under a
// hundredth of what any machine here resolves, over what rounding in the record does.
const goldenTolerance = 1e-6

// TestGolden holds the numbers and the short words of design.json against frozen ones,
// for every example and every case, and the whole record against its schema, in the judgement
// of a validator that is not ours. Keys that are new pass; a number that moved or went
// does not. After a change that is meant: go test ./cmd/internal/cli -run TestGolden -update.
func TestGolden(t *testing.T) {
	const root = "../../../testdata"
	schema := recordSchema(t)
	frozen, err := filepath.Glob(filepath.Join(root, "golden", "*.txt"))
	if err != nil || len(frozen) == 0 {
		t.Fatalf("nothing frozen (%v)", err)
	}
	for _, file := range frozen {
		name := strings.TrimSuffix(filepath.Base(file), ".txt")
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			path := filepath.Join(root, "jobs", name+".yaml")
			if _, err := os.Stat(path); err != nil {
				path = filepath.Join(root, "cases", name+".yaml")
			}
			got, doc, err := goldenLeaves(path)
			if err != nil {
				got = map[string]string{"error": "refused"}
			} else if err := schema.Validate(doc); err != nil {
				t.Errorf("%#v", err)
			}
			if *update {
				writeGolden(t, file, got)
				return
			}
			b, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			missed := 0
			for _, line := range strings.Split(strings.TrimSpace(string(b)), "\n") {
				key, want, _ := strings.Cut(strings.TrimSuffix(line, "\r"), " ")
				if sameLeaf(got[key], want) {
					continue
				}
				if missed++; missed <= 20 {
					t.Errorf("%s: got %q, frozen %q", key, got[key], want)
				}
			}
			if missed > 20 {
				t.Errorf("%d frozen figures moved in all", missed)
			}
		})
	}
}

func sameLeaf(got, want string) bool {
	if got == want {
		return true
	}
	g, err := strconv.ParseFloat(got, 64)
	if err != nil {
		return false
	}
	w, err := strconv.ParseFloat(want, 64)
	return err == nil && math.Abs(g-w) <= goldenTolerance
}

// goldenLeaves are the record's figures by their paths, and the record.
func goldenLeaves(path string) (map[string]string, any, error) {
	d, err := designOf(path)
	if err != nil {
		return nil, nil, err
	}
	b, err := record.DesignJSON(d, nil, nil)
	if err != nil {
		return nil, nil, err
	}
	var v any
	if err := json.Unmarshal(b, &v); err != nil {
		return nil, nil, err
	}
	out := map[string]string{}
	flatten(out, "", v)
	for _, key := range []string{".job_sha256", ".seal_sha256"} {
		delete(out, key)
	}
	return out, v, nil
}

func recordSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	data, err := record.Schema()
	if err != nil {
		t.Fatal(err)
	}
	s, err := jsonschema.CompileString("design.schema.json", string(data))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// designs are those of examples and cases, each built once for all tests.
var designs sync.Map // of func() (*jig.Design, error), by the job's path

func designOf(path string) (*jig.Design, error) {
	once, _ := designs.LoadOrStore(path, sync.OnceValues(func() (*jig.Design, error) { return readDesign(path) }))
	return once.(func() (*jig.Design, error))()
}

// flatten lists numbers, truth values and single words by their path; sentences may be
// worded anew at any time and are left out.
func flatten(out map[string]string, path string, v any) {
	switch v := v.(type) {
	case map[string]any:
		for k, e := range v {
			flatten(out, path+"."+strings.ReplaceAll(k, " ", "_"), e)
		}
	case []any:
		for i, e := range v {
			flatten(out, fmt.Sprintf("%s[%s]", path, nameOf(e, i)), e)
		}
	case float64:
		out[path] = strconv.FormatFloat(v, 'g', 12, 64)
	case bool:
		out[path] = strconv.FormatBool(v)
	case string:
		if v != "" && !strings.ContainsAny(v, " \n") {
			out[path] = v
		}
	}
}

// nameOf is what a list's entry is called: its id where it has one, so that a new rule
// does not move those behind it.
func nameOf(e any, i int) string {
	if m, ok := e.(map[string]any); ok {
		if id, ok := m["id"].(string); ok {
			return strings.ReplaceAll(id, " ", "_")
		}
	}
	return strconv.Itoa(i)
}

func writeGolden(t *testing.T, file string, leaves map[string]string) {
	t.Helper()
	lines := make([]string, 0, len(leaves))
	for k, v := range leaves {
		lines = append(lines, k+" "+v)
	}
	sort.Strings(lines)
	if err := os.WriteFile(file, []byte(strings.Join(lines, "\n")+"\n"), 0o666); err != nil {
		t.Fatal(err)
	}
}
