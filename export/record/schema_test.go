package record

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v5"

	"reseat/jig"
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

// TestSchema: a full record and a bare one are as the schema says, in the judgement of a
// validator that is not ours. The command line's golden test asks it of every example and case.
func TestSchema(t *testing.T) {
	s := schema(t)
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
