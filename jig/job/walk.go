package job

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"reseat/jig/units"
)

// metricUnits are units that a job cannot be in; mm is near, but not what the
// numbers mean.
var metricUnits = []string{"cm", "m", "um", "µm"}

// readUnit reads the file's unit; lengths can be read only after it.
func (r *reader) readUnit(root *yaml.Node) {
	n := valueOf(root, "units")
	r.unitGiven = n != nil
	switch {
	case n == nil:
	case slices.Contains(metricUnits, n.Value):
		r.fault(n, "units", "got "+shown(n), "write mm, and every length in millimetres")
	case r.choice(n, "units", keyAt("units").words) == "in":
		r.unit = units.Inch
	}
}

// valueOf returns the first value of a key in a mapping, or nil.
func valueOf(n *yaml.Node, name string) *yaml.Node {
	for i := 0; n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == name {
			return n.Content[i+1]
		}
	}
	return nil
}

// schemaOf is the path in the table of keys: entries of lists are all alike.
func schemaOf(path string) string {
	var b strings.Builder
	for {
		i := strings.IndexByte(path, '[')
		if i < 0 {
			return b.String() + path
		}
		b.WriteString(path[:i] + "[]")
		path = path[strings.IndexByte(path, ']')+1:]
	}
}

// read takes the value at a path into r.val, as the table of keys says, with all that
// lies below it.
func (r *reader) read(n *yaml.Node, path string) {
	k := keyAt(schemaOf(path))
	switch k.kind {
	case aSection, someOf:
		r.readSection(n, path, k.kind)
	case aList:
		r.readList(n, path, k)
	case anOutline:
		if n.Kind == yaml.MappingNode {
			r.readSection(n, path, aSection)
		} else {
			r.readList(n, path, k)
		}
	case aDatum:
		r.readDatum(n, path)
	case aCorner:
		if n.Kind == yaml.MappingNode {
			r.readSection(n, path, aSection)
		} else {
			r.readPlace(n, path, k)
		}
	case aWidth:
		r.readWidth(n, path, k)
	case aDot:
		if n.Kind == yaml.MappingNode {
			r.readSection(n, path, aSection)
		} else {
			r.val[path+".fret"] = r.count(n, path, k.span)
		}
	case aCutter:
		r.readCutter(n, path, k)
	case aCrown:
		r.readCrown(n, path, k)
	case aPlace:
		r.readPlace(n, path, k)
	case aLength:
		r.val[path] = r.length(n, path, k.span)
	case aNumber:
		r.val[path] = r.number(n, path, k.unit, k.span)
	case aCount:
		r.val[path] = r.count(n, path, k.span)
	case aChoice:
		r.val[path] = r.choice(n, path, k.words)
	case aText:
		r.val[path] = r.text(n, path)
	case aDate:
		r.val[path] = r.date(n, path)
	case anEstimate:
		r.readEstimate(n, path, k)
	case aFile:
		r.val[path] = r.fileName(n, path)
	}
}

// readSection reads the keys of a section. A key that must be there, and for which no
// misspelt one was taken, is a fault when it is missing.
func (r *reader) readSection(n *yaml.Node, path string, kind kind) {
	s := r.open(n, path)
	if s == nil {
		return
	}
	for _, name := range keysBelow(schemaOf(path)) {
		below := join(path, name)
		need := keyAt(schemaOf(below)).need
		if s.val["outline"] != nil && (below == "board.length" || below == "board.width") {
			need = "" // they follow from it
		}
		r.needed[below] = need != ""
		if v := s.val[name]; v != nil && below != "units" {
			r.read(v, below)
		} else if v == nil && need != "" {
			if !s.near[name] {
				r.faultAt(s.at, below, "is missing", need)
			}
			r.bad[below] = true
		}
	}
	if kind == someOf && len(s.val) == 0 && r.isFaultless(path) {
		name := path[strings.LastIndexByte(path, '.')+1:]
		r.faultAt(s.at, path, "has none of "+strings.Join(keysBelow(schemaOf(path)), ", "), "give at least one, or leave "+
			name+" out")
	}
}

func (r *reader) readList(n *yaml.Node, path string, k key) {
	switch {
	case r.bad[path]:
		return
	case n.Kind != yaml.SequenceNode:
		r.fault(n, path, "want a list, got "+shown(n), "write [ ] round the entries")
		return
	case len(n.Content) > int(k.span.most):
		r.fault(n, path, fmt.Sprintf("got %d entries, want at most %.0f", len(n.Content), k.span.most), "")
		return
	case len(n.Content) == 0 && keyAt(k.path+"[]").kind == aLength:
		remedy := k.need
		remedy = cmp.Or(remedy, "write micrometer readings, or leave measured out")
		r.fault(n, path, "has no readings", remedy)
	}
	r.val[path] = len(n.Content)
	for i, c := range n.Content {
		r.src.at[entry(path, i)] = placeOf(c)
		if i+1 < len(n.Content) && touching(c, n.Content[i+1]) {
			r.split[entry(path, i)] = decimalComma(c, n.Content[i+1])
		}
		r.read(c, entry(path, i))
	}
}

// readWidth reads one width, or the widths of both ends.
func (r *reader) readWidth(n *yaml.Node, path string, k key) {
	r.readShort(n, path, k, "a width", "write {start: ..., end: ...}", ".start", ".end")
}

// readCutter reads a cutter's diameter, or all that is known of it.
func (r *reader) readCutter(n *yaml.Node, path string, k key) {
	r.readShort(n, path, k, "a cutter", "write its diameter, or {diameter: 3, reach: 12}", ".diameter")
}

// readShort reads a section, or one length that stands for some of its keys.
func (r *reader) readShort(n *yaml.Node, path string, k key, want, remedy string, keys ...string) {
	switch n.Kind {
	case yaml.MappingNode:
		r.readSection(n, path, aSection)
	case yaml.SequenceNode:
		r.fault(n, path, "want "+want+", got a list", remedy)
	default:
		l := r.length(n, path, k.span)
		for _, of := range keys {
			r.val[path+of] = l
		}
	}
}

// readCrown reads the crown radius; 0 is taken as flat.
func (r *reader) readCrown(n *yaml.Node, path string, k key) {
	v, isNumber := units.ParseNumber(n.Value)
	switch {
	case isNumber && v == 0 && n.Kind == yaml.ScalarNode && n.Style&quoteStyles == 0:
	case n.Kind == yaml.ScalarNode && strings.EqualFold(n.Value, "flat"):
		r.fault(n, path, "want a length, got "+shown(n), "leave crown_radius out for a flat board")
	default:
		r.val[path] = r.length(n, path, k.span)
	}
}

// readPlace reads [u, v].
func (r *reader) readPlace(n *yaml.Node, path string, k key) {
	if n.Kind != yaml.SequenceNode {
		if !r.bad[path] {
			r.fault(n, path, "want a place [u, v], got "+shown(n), "write two numbers in [ ]")
		}
		return
	}
	if len(n.Content) != 2 {
		remedy := "write [u, v]"
		for i := 0; i+1 < len(n.Content); i++ {
			if a, b := n.Content[i], n.Content[i+1]; touching(a, b) {
				remedy = decimalComma(a, b)
				break
			}
		}
		r.fault(n, path, fmt.Sprintf("want a place [u, v], got a list of %d", len(n.Content)), remedy)
		return
	}
	for i, c := range n.Content {
		r.src.at[entry(path, i)] = placeOf(c)
		r.val[entry(path, i)] = r.length(c, entry(path, i), k.span)
	}
}

// decimalComma is the remedy for a number with a comma that YAML took for two.
func decimalComma(a, b *yaml.Node) string {
	return fmt.Sprintf("%s,%s reads as two numbers: write %s.%s", a.Value, b.Value, a.Value, b.Value)
}

// entry is the path of entry i of a list.
func entry(path string, i int) string { return fmt.Sprintf("%s[%d]", path, i) }

// The values that were read, or else the defaults of the table.

func (r *reader) mm(path string) float64 { return valueAt[float64](r, path) }

func (r *reader) whole(path string) int { return valueAt[int](r, path) }

func (r *reader) word(path string) string {
	w := valueAt[string](r, path)
	if words := keyAt(schemaOf(path)).words; w == "" && words != nil && !r.has(path) {
		return words[0]
	}
	return w
}

func valueAt[T any](r *reader, path string) T {
	if v, ok := r.val[path].(T); ok {
		return v
	}
	v, _ := keyAt(schemaOf(path)).value.(T)
	return v
}

// has reports whether the file gives the key.
func (r *reader) has(path string) bool {
	_, ok := r.src.at[path]
	return ok
}

// listed writes words as "a, b or c".
func listed(words []string) string {
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " or " + words[last]
}
