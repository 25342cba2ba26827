package record

import (
	"encoding/json"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestRulesAgreeWithRecord: check and design tell the same rules.
func TestRulesAgreeWithRecord(t *testing.T) {
	d := sample()
	data, err := RulesJSON(d)
	if err != nil {
		t.Fatal(err)
	}
	var alone map[string]any
	if err := json.Unmarshal(data, &alone); err != nil {
		t.Fatal(err)
	}
	whole := read(t, designJSON(t, d))
	if len(d.Rules) == 0 {
		t.Fatal("the sample has no rule")
	}
	for _, key := range []string{"title", "rules"} {
		if diff := cmp.Diff(get(t, whole, key), alone[key]); diff != "" {
			t.Errorf("%s (-design +check):\n%s", key, diff)
		}
	}
}
