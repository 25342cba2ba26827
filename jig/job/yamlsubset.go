package job

import (
	"fmt"

	"gopkg.in/yaml.v3"
)

// refuse walks the whole tree before it is read and notes what a job does not
// take wherever it stands: anchors, aliases, tags, and sections nested deeper
// than any job's. An alias can stand for any number of values, so the tree is
// walked as written and never expanded.
func (r *reader) refuse(n *yaml.Node, path string, depth int) {
	if n.Anchor != "" {
		r.fault(n, path, fmt.Sprintf("anchors (&%s) are not taken", clipped(n.Anchor)), "write the value without it")
	}
	if n.Style&yaml.TaggedStyle != 0 {
		r.fault(n, path, fmt.Sprintf("tags (%s) are not taken", clipped(n.Tag)), "write the value without it")
	}
	if depth > maxDepth && n.Kind != yaml.ScalarNode {
		r.fault(n, path, fmt.Sprintf("sections stand in sections more than %d deep", maxDepth), "")
		return
	}
	switch n.Kind {
	case yaml.AliasNode:
		r.fault(n, path, fmt.Sprintf("aliases (*%s) are not taken", clipped(n.Value)), "write the value itself")
	case yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			r.refuse(n.Content[i], path, depth+1)
			if plain(n.Content[i+1]) {
				continue
			}
			key := n.Content[i].Value
			if n.Content[i].Kind != yaml.ScalarNode {
				key = "?"
			}
			r.refuse(n.Content[i+1], join(path, key), depth+1)
		}
	case yaml.SequenceNode:
		for i, c := range n.Content {
			if plain(c) {
				continue
			}
			r.refuse(c, fmt.Sprintf("%s[%d]", path, i), depth+1)
		}
	}
}

// plain reports whether a value has nothing to refuse; paths need not be made
// for the many that do not.
func plain(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Anchor == "" && n.Style&yaml.TaggedStyle == 0
}
