package job

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"
)

// Change is a key of the job file and what stands there afterwards, as the file takes it;
// an empty value takes the key out.
type Change struct {
	Key   string `json:"key"`
	Value string `json:"value"`
}

func (c Change) String() string {
	if c.Value == "" {
		return c.Key + " left out"
	}
	return c.Key + " " + c.Value
}

// With returns the job that the file would hold with the changes made; the file stays as
// it is, and places in it are those of the file as it was. The error is for a key that the
// file cannot have and for what the reader would refuse.
func (j *Job) With(set ...Change) (*Job, error) {
	if j.src == nil {
		return nil, errors.New("the job was not read from text")
	}
	text := strings.Join(j.src.lines, "\n")
	src := newSource(text)
	root, p := parseTree(j.File, text, "job file", src)
	if p != nil {
		return nil, p
	}
	for _, c := range set {
		var doc yaml.Node
		if err := yaml.Unmarshal([]byte(c.Value), &doc); err != nil {
			return nil, fmt.Errorf("%s: %w", c, err)
		}
		var value *yaml.Node
		if len(doc.Content) > 0 {
			value = doc.Content[0]
		}
		if err := put(root, strings.Split(strings.ReplaceAll(c.Key, "[", ".["), "."), value); err != nil {
			return nil, fmt.Errorf("%s: %w", c, err)
		}
	}
	r := newReader(j.File, src, j.open)
	maps.Copy(r.files, j.files)
	r.refuse(root, "", 0)
	k := r.job(root)
	if err := r.problems(); err != nil {
		return nil, err
	}
	k.SHA256 = j.SHA256
	return k, nil
}

// Changed returns a copy of the job with f applied, which may change numbers and words, the
// blank and the keep-outs.
func (j *Job) Changed(f func(*Job)) *Job {
	c := *j
	if j.Blank != nil {
		k := *j.Blank
		c.Blank = &k
	}
	c.Board.KeepOut = slices.Clone(j.Board.KeepOut)
	f(&c)
	return &c
}

// put sets the value below n at the end of the path, making the sections on the way; nil
// takes it out.
func put(n *yaml.Node, path []string, value *yaml.Node) error {
	name, rest := path[0], path[1:]
	if n.Kind == yaml.SequenceNode {
		i, err := strconv.Atoi(strings.Trim(name, "[]"))
		if err != nil || i < 0 || i >= len(n.Content) {
			return fmt.Errorf("no entry %s", name)
		}
		if len(rest) > 0 {
			return put(n.Content[i], rest, value)
		}
		n.Content[i] = value
		return nil
	}
	if n.Kind != yaml.MappingNode {
		return fmt.Errorf("no section above %s", name)
	}
	at := -1
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == name {
			at = i
		}
	}
	if at < 0 {
		if value == nil {
			return nil
		}
		key := &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: name}
		n.Content = append(n.Content, key, &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map"})
		at = len(n.Content) - 2
	}
	switch {
	case len(rest) > 0:
		return put(n.Content[at+1], rest, value)
	case value == nil:
		n.Content = append(n.Content[:at], n.Content[at+2:]...)
	default:
		n.Content[at+1] = value
	}
	return nil
}
