package job

import (
	"fmt"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"reseat/jig/spelling"
	"reseat/jig/units"
)

// section is a mapping with known keys.
type section struct {
	r    *reader
	path string
	at   Position
	val  map[string]*yaml.Node
	near map[string]bool // keys that a misspelt one was taken for
}

// join appends a key to a path.
func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

// open reads the keys of a mapping; when n is none the fault is noted and the section
// is nil.
func (r *reader) open(n *yaml.Node, path string) *section {
	known := keysBelow(schemaOf(path))
	name := "a section with " + strings.Join(known, ", ")
	if path == "" {
		name = "a job with " + strings.Join(known, ", ")
	}
	if n.Kind != yaml.MappingNode {
		if r.bad[path] {
			return nil
		}
		remedy, makers := "", keyAt("template.make.by").words
		if known[0] == "by" {
			remedy = "write {by: " + listed(makers) + "}"
		}
		if m := gluedColon().FindStringSubmatch(n.Value); n.Kind == yaml.ScalarNode && m != nil {
			remedy = fmt.Sprintf("write %s: %s, with a space after the colon", m[2], m[3])
		} else if by := spelling.Nearest(n.Value, makers); n.Kind == yaml.ScalarNode && known[0] == "by" && by != "" {
			remedy = fmt.Sprintf("write {by: %s}", by)
		}
		r.fault(n, path, fmt.Sprintf("want %s, got %s", name, shown(n)), remedy)
		return nil
	}
	s := &section{r: r, path: path, at: placeOf(n), val: map[string]*yaml.Node{}, near: map[string]bool{}}
	if p, ok := r.src.at[path]; ok {
		s.at = p
	}
	present := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		present[n.Content[i].Value] = true
	}
	first := map[string]int{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		key := k.Value
		if k.Kind != yaml.ScalarNode {
			if k.Kind != yaml.AliasNode { // told by refuse
				r.fault(k, path, "want a key, got "+shown(k), "a key is one word")
			}
			continue
		}
		if line, seen := first[key]; seen {
			r.fault(k, join(path, key), fmt.Sprintf("the key %s stands here again, first on line %d", quoted(key), line),
				"remove one")
			continue
		}
		first[key] = k.Line
		switch {
		case slices.Contains(known, key):
			s.val[key] = v
			r.remember(join(path, key), k, v)
		case !s.splitComma(n, i):
			s.unknown(k, v, known, present)
		}
	}
	return s
}

// remember keeps the place of a value: of its key when the value is a section or
// list over several lines, since it then starts at its first entry.
func (r *reader) remember(path string, key, val *yaml.Node) {
	if val.Kind == yaml.ScalarNode && !isNull(val) || val.Style&yaml.FlowStyle != 0 {
		r.src.at[path] = placeOf(val)
		return
	}
	r.src.at[path] = placeOf(key)
}

// splitComma notices a decimal comma between { }, where YAML takes 41,5 for 41
// and a key 5 without a value.
func (s *section) splitComma(n *yaml.Node, i int) bool {
	k, v := n.Content[i], n.Content[i+1]
	if i < 2 || n.Style&yaml.FlowStyle == 0 || !isNull(v) || !allDigits(k.Value) {
		return false
	}
	prevKey, prev := n.Content[i-2], n.Content[i-1]
	if !touching(prev, k) {
		return false
	}
	path := join(s.path, prevKey.Value)
	s.r.fault(prev, path, fmt.Sprintf("%s,%s has a decimal comma", prev.Value, k.Value),
		fmt.Sprintf("write %s.%s, not %s,%s", prev.Value, k.Value, prev.Value, k.Value))
	return true
}

// touching reports whether b follows a on its line with nothing but a comma
// between: "41,5".
func touching(a, b *yaml.Node) bool {
	_, isNumber := units.ParseNumber(a.Value)
	return a.Kind == yaml.ScalarNode && b.Kind == yaml.ScalarNode && isNumber && allDigits(b.Value) &&
		a.Line == b.Line && b.Column == a.Column+len(a.Value)+1
}

func allDigits(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == ""
}
