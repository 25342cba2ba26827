package record

import (
	"bytes"
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v5"

	"reseat/jig"
	"reseat/jig/job"
)

func schema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	data, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("design.schema.json", bytes.NewReader(data)); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("design.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestSchema: the record of every example and of every case is as the schema says, in the
// judgement of a validator that is not ours.
func TestSchema(t *testing.T) {
	s := schema(t)
	jobs, _ := filepath.Glob("../../testdata/jobs/*.yaml")
	cases, _ := filepath.Glob("../../testdata/cases/*.yaml")
	if len(jobs) == 0 || len(cases) == 0 {
		t.Fatal("no jobs")
	}
	for _, path := range append(jobs, cases...) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			t.Parallel()
			j, err := job.Read(path)
			if err != nil {
				t.Skip("the job is refused")
			}
			d, err := jig.Build(j)
			if err != nil {
				t.Skip("the job is refused")
			}
			if err := s.Validate(any(read(t, designJSON(t, d)))); err != nil {
				t.Errorf("%#v", err)
			}
		})
	}
	for name, d := range map[string]*jig.Design{"sample": sample(), "bare": bare()} {
		if err := s.Validate(any(read(t, designJSON(t, d)))); err != nil {
			t.Errorf("%s: %#v", name, err)
		}
	}
}

// TestSchemaRefuses: what other programs rely on is not only allowed but asked for.
func TestSchemaRefuses(t *testing.T) {
	s := schema(t)
	good := string(designJSON(t, sample()))
	for _, c := range []struct{ name, from, to string }{
		{"a key gone", `"theta_max_rad"`, `"theta_rad"`},
		{"text for a number", `"length_mm": 200`, `"length_mm": "200"`},
		{"a role that there is not", `"role": "slot"`, `"role": "key"`},
		{"a point of three", `"origin_mm": [56, 50]`, `"origin_mm": [56, 50, 0]`},
	} {
		bad := strings.Replace(good, c.from, c.to, 1)
		if bad == good {
			t.Fatalf("%s: the record has no %s", c.name, c.from)
		}
		var v any
		if err := json.NewDecoder(strings.NewReader(bad)).Decode(&v); err != nil {
			t.Fatal(err)
		}
		if s.Validate(v) == nil {
			t.Errorf("%s passes", c.name)
		}
	}
}

// TestSchemaKeys: the contract's keys of a set-up are asked for.
func TestSchemaKeys(t *testing.T) {
	data, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	var v struct {
		Defs map[string]struct{ Required []string } `json:"$defs"`
	}
	if err := json.Unmarshal(data, &v); err != nil {
		t.Fatal(err)
	}
	for def, keys := range map[string]string{
		"setup.Setup": "number title place part located_by stack pins steps checks cautions",
		"setup.Layer": "layer material from_mm to_mm", "setup.Pin": "id length_mm from_mm to_mm",
		"setup.Check": "what with expected low high unit", "part.Hole": "slot_angle_uv_deg slot_angle_xy_deg depth_mm",
	} {
		got := " " + strings.Join(v.Defs[def].Required, " ") + " "
		for _, k := range strings.Fields(keys) {
			if !strings.Contains(got, " "+k+" ") {
				t.Errorf("%s does not ask for %q", def, k)
			}
		}
	}
}
