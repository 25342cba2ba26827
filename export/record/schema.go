package record

import (
	"encoding/json"
	"path"
	"reflect"
	"strings"

	"reseat/jig"
	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/setup"
)

// Schema is the JSON Schema, draft 2020-12, of design.json. It is made from the structs
// that the record is written from: what a struct gains the schema gains.
func Schema() ([]byte, error) {
	s := schemer{defs: map[string]any{}}
	root := s.object(reflect.TypeFor[document]())
	root["$schema"], root["title"] = "https://json-schema.org/draft/2020-12/schema", "design.json of reseat"
	root["description"] = "Lengths in mm, angles in the unit that ends the key. u along the datum line from the start " +
		"end, v to its left, x and y on the machine."
	root["$defs"] = s.defs
	data, err := json.MarshalIndent(root, "", "  ")
	return append(data, '\n'), err
}

// schemer collects the definitions of the structs that it meets.
type schemer struct{ defs map[string]any }

// shownAs is viewOf for types: what has a form of its own in JSON, and that form.
var shownAs = map[reflect.Type]reflect.Type{
	reflect.TypeFor[geom.Vec]():       reflect.TypeFor[[2]float64](),
	reflect.TypeFor[geom.Loop]():      reflect.TypeFor[[]geom.Vec](),
	reflect.TypeFor[jig.Program]():    reflect.TypeFor[program](),
	reflect.TypeFor[*budget.Budget](): reflect.TypeFor[[]budget.FeatureBudget](),
}

// oneOf are the words of the types that have a few.
var oneOf = map[reflect.Type][]any{
	reflect.TypeFor[jig.Role]():   {jig.Round, jig.Slot, jig.Clear},
	reflect.TypeFor[jig.Level]():  {jig.Pass, jig.Warn, jig.Fail},
	reflect.TypeFor[setup.Face](): {setup.Top, setup.Under},
}

// of is the schema of a type's values.
func (s schemer) of(t reflect.Type) map[string]any {
	if as, ok := shownAs[t]; ok {
		t = as
	}
	if words, ok := oneOf[t]; ok {
		return map[string]any{"enum": words}
	}
	switch t.Kind() {
	case reflect.Pointer:
		return s.of(t.Elem())
	case reflect.Slice:
		return map[string]any{"type": "array", "items": s.of(t.Elem())}
	case reflect.Array:
		return map[string]any{"type": "array", "items": s.of(t.Elem()), "minItems": t.Len(), "maxItems": t.Len()}
	case reflect.Struct:
		name := path.Base(t.PkgPath()) + "." + t.Name()
		if _, met := s.defs[name]; !met {
			s.defs[name] = nil // a struct may hold its like
			s.defs[name] = s.object(t)
		}
		return map[string]any{"$ref": "#/$defs/" + name}
	case reflect.String:
		return map[string]any{"type": "string"}
	case reflect.Bool:
		return map[string]any{"type": "boolean"}
	case reflect.Float64:
		return map[string]any{"type": "number"}
	}
	return map[string]any{"type": "integer"}
}

// object is the schema of a struct, its embedded structs in line.
func (s schemer) object(t reflect.Type) map[string]any {
	keys, must := map[string]any{}, []string{}
	var fields func(t reflect.Type, always bool)
	fields = func(t reflect.Type, always bool) {
		add := func(key string, of reflect.Type, optional bool) {
			if key == "" {
				return
			}
			keys[key] = s.of(of)
			if always && !optional {
				must = append(must, key)
			}
		}
		for i := range t.NumField() {
			f := t.Field(i)
			if f.Anonymous {
				in, pointer := f.Type, f.Type.Kind() == reflect.Pointer
				if pointer {
					in = in.Elem()
				}
				if as, ok := shownAs[in]; ok {
					in = as
				}
				// Without what it points to its keys are left out; the design is always there.
				fields(in, always && (!pointer || in == reflect.TypeFor[jig.Design]()))
				continue
			}
			pair := f.Tag.Get("axes") + f.Tag.Get("ends")
			if first, second, ok := strings.Cut(pair, ","); ok {
				add(first, reflect.TypeFor[float64](), false)
				add(second, reflect.TypeFor[float64](), false)
				continue
			}
			key, option, _ := strings.Cut(f.Tag.Get("json"), ",")
			add(key, f.Type, option == "omitempty")
		}
	}
	fields(t, true)
	return map[string]any{"type": "object", "properties": keys, "required": must, "additionalProperties": false}
}
