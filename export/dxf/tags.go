package dxf

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/yofu/dxf/format"

	"reseat/jig/units"
)

// tag is one pair of group code and value.
type tag struct {
	code  int
	value string
}

// collector is a formatter of the library that keeps the tags instead of their
// text, and writes numbers with a decimal point and without exponent.
type collector struct {
	*format.ASCII
	tags []tag
	arc  bool // the tags are those of an ARC
}

// WriteString keeps a text.
func (c *collector) WriteString(code int, s string) {
	if code == 0 {
		c.arc = s == "ARC"
	}
	c.tags = append(c.tags, tag{code, s})
}

// WriteHex keeps a handle.
func (c *collector) WriteHex(code, h int) { c.WriteString(code, fmt.Sprintf("%X", h)) }

// WriteInt keeps a whole number.
func (c *collector) WriteInt(code, n int) { c.WriteString(code, strconv.Itoa(n)) }

// WriteFloat keeps a number; 42 is the group of a bulge.
func (c *collector) WriteFloat(code int, x float64) {
	n := coordDecimals
	switch {
	case code == 42:
		n = bulgeDecimals
	case c.arc:
		n = arcDecimals
	}
	c.WriteString(code, units.Fixed(x, n))
}

// records splits tags before every group 0.
func records(tags []tag) [][]tag {
	var out [][]tag
	for _, t := range tags {
		if t.code == 0 {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], t)
	}
	return out
}

// first returns the value of a record's first tag with the code, or "".
func first(rec []tag, code int) string {
	if i := find(rec, code); i >= 0 {
		return rec[i].value
	}
	return ""
}

func find(rec []tag, code int) int {
	return slices.IndexFunc(rec, func(t tag) bool { return t.code == code })
}

// after returns rec with more put in behind its first tag with the code.
func after(rec []tag, code int, more ...tag) []tag {
	if i := find(rec, code); i >= 0 {
		return slices.Insert(rec, i+1, more...)
	}
	return rec
}
