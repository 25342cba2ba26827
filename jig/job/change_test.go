package job

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

func mustParse(t *testing.T, text string) *Job {
	t.Helper()
	j, err := Parse("job.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// TestWith holds a changed job against the job that the edited text gives.
func TestWith(t *testing.T) {
	const text = `
units: in
board: {length: 12, width: 2, thickness: 1/4, features: [{name: a, u: 2}, {name: b, u: 4, bore: 1/4, depth: 1/8}]}
dowel: {diameter: 1/4, length: 1, count: 4}
template: {thickness: 1/4, make: {by: laser}}
accuracy: 0.1 mm
`
	for _, c := range []struct {
		name     string
		set      []Change
		from, to string // the same edit, by hand
	}{
		{"nothing", nil, "", ""},
		{"a value", []Change{{"dowel.count", "3"}}, "count: 4", "count: 3"},
		{"a unit", []Change{{"board.length", "300 mm"}}, "length: 12", "length: 300 mm"},
		{"of an entry", []Change{{"board.features[1].bore", "5 mm"}}, "bore: 1/4", "bore: 5 mm"},
		{"a new key", []Change{{"template.push", "left"}}, "template: {", "template: {push: left, "},
		{"in a new section", []Change{{"rails.height", "3 mm"}}, "accuracy", "rails: {height: 3 mm}\naccuracy"},
		{"given, not a default", []Change{{"template.make.spread", "0.02 mm"}}, "{by: laser", "{by: laser, spread: 0.02 mm"},
		{"taken out", []Change{{"dowel.length", ""}}, "length: 1,", ""},
		{"two", []Change{{"accuracy", "0.2 mm"}, {"dowel.locate", "all round"}},
			"count: 4}\ntemplate: {thickness: 1/4, make: {by: laser}}\naccuracy: 0.1",
			"count: 4, locate: all round}\ntemplate: {thickness: 1/4, make: {by: laser}}\naccuracy: 0.2"},
		{"a list", []Change{{"dowel.measured", "[0.2501]"}}, "count: 4", "count: 4, measured: [0.2501]"},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := mustParse(t, text)
			if !strings.Contains(text, c.from) {
				t.Fatal("nothing to edit")
			}
			want := mustParse(t, strings.Replace(text, c.from, c.to, 1))
			got, err := j.With(c.set...)
			if err != nil {
				t.Fatal(err)
			}
			opt := cmp.Options{cmp.AllowUnexported(Make{}), cmpopts.IgnoreUnexported(Job{}),
				cmpopts.IgnoreFields(Job{}, "SHA256")}
			if d := cmp.Diff(want, got, opt); d != "" {
				t.Error(d)
			}
			if diff := cmp.Diff(mustParse(t, text), j, opt); diff != "" {
				t.Errorf("the job itself changed: %s", diff)
			}
		})
	}
	j := mustParse(t, text)
	for _, set := range [][]Change{
		{{"board.lenght", "3"}}, {{"board.features[2].u", "3"}}, {{"board.length.start", "3"}}, {{"board.length", "0"}},
		{{"board.length", ""}}, {{"dowel.count", "[3"}},
	} {
		if _, err := j.With(set...); err == nil {
			t.Errorf("%v is accepted", set)
		}
	}
}
