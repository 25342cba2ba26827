package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"regexp"
	"strings"

	"reseat/jig"
	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/units"
)

// Decimals that are kept. A millionth of a millimetre is far below any machine and
// above the noise of the computing; 1e-9 rad is half a micrometre over half a
// kilometre; a rule's value and limit may be radians.
const (
	decimals      = 6
	angleDecimals = 9
)

// fineBelow is where the figures under fineKeys are angles rather than lengths.
const fineBelow = 0.01

var fineKeys = map[string]bool{"theta_max_rad": true, "value": true, "limit": true}

// NumberError lists the figures of a design that are not finite, with their path
// in the record. They are faults of the program; nothing was made.
type NumberError struct{ Paths []string }

func (e *NumberError) Error() string {
	return "not a finite number: " + strings.Join(e.Paths, ", ")
}

// JSON writes a value as every JSON of this package is written: the fields that carry
// a json tag, in the order of the struct, embedded structs in line, a point with an axes
// tag under two keys, the ends of a range with an ends tag likewise, contours as corners,
// radians under a key in _deg as degrees.
//
// Errors: *NumberError when a figure is not finite.
func JSON(doc any) ([]byte, error) {
	var e encoder
	e.value(reflect.ValueOf(doc), "", "")
	if len(e.notFinite) > 0 {
		return nil, &NumberError{e.notFinite}
	}
	var out bytes.Buffer
	if err := json.Indent(&out, e.buf.Bytes(), "", "  "); err != nil {
		return nil, fmt.Errorf("writing JSON: %w", err)
	}
	out.WriteByte('\n')
	return pointsOnOneLine(out.Bytes()), nil
}

type encoder struct {
	buf       bytes.Buffer
	notFinite []string
}

// value writes v. key is the nearest key above it, path the way to it for messages.
func (e *encoder) value(v reflect.Value, key, path string) {
	if view, ok := viewOf(v); ok {
		v = view
	}
	switch v.Kind() {
	case reflect.Pointer:
		e.value(v.Elem(), key, path)
	case reflect.Float64:
		e.number(v.Float(), key, path)
	case reflect.Slice, reflect.Array:
		e.buf.WriteByte('[')
		for i := range v.Len() {
			if i > 0 {
				e.buf.WriteByte(',')
			}
			e.value(v.Index(i), key, fmt.Sprintf("%s[%d]", path, i))
		}
		e.buf.WriteByte(']')
	case reflect.Struct:
		e.buf.WriteByte('{')
		e.fields(v, path, true)
		e.buf.WriteByte('}')
	case reflect.String:
		e.text(v.String())
	default: // whole numbers and truth values
		fmt.Fprint(&e.buf, v.Interface())
	}
}

// fields writes the tagged fields of a struct; first is whether none was written yet.
func (e *encoder) fields(v reflect.Value, path string, first bool) bool {
	entry := func(key string, x reflect.Value) {
		if !first {
			e.buf.WriteByte(',')
		}
		first = false
		e.text(key)
		e.buf.WriteByte(':')
		e.value(x, key, strings.TrimPrefix(path+"."+key, "."))
	}
	for i := range v.NumField() {
		f, x := v.Type().Field(i), v.Field(i)
		if f.Anonymous {
			if view, ok := viewOf(x); ok {
				x = view
			}
			if x = reflect.Indirect(x); x.IsValid() {
				first = e.fields(x, path, first)
			}
			continue
		}
		if e.two(f.Tag.Get("axes"), x, "X", "Y", entry) || e.two(f.Tag.Get("ends"), x, "Least", "Most", entry) {
			continue
		}
		key, option, _ := strings.Cut(f.Tag.Get("json"), ",")
		if key == "" || option == "omitempty" && x.IsZero() {
			continue
		}
		entry(key, x)
	}
	return first
}

// two writes two fields of x under the two keys of a tag; one without a key is left out.
func (e *encoder) two(tag string, x reflect.Value, a, b string, entry func(string, reflect.Value)) bool {
	first, second, tagged := strings.Cut(tag, ",")
	if first != "" {
		entry(first, x.FieldByName(a))
	}
	if second != "" {
		entry(second, x.FieldByName(b))
	}
	return tagged
}

func (e *encoder) number(x float64, key, path string) {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		e.notFinite = append(e.notFinite, fmt.Sprintf("%s is %g", path, x))
	}
	if strings.HasSuffix(key, "_deg") {
		x *= 180 / math.Pi
	}
	n := decimals
	if fineKeys[key] && math.Abs(x) < fineBelow {
		n = angleDecimals
	}
	e.buf.WriteString(units.Decimal(x, n))
}

func (e *encoder) text(s string) {
	enc := json.NewEncoder(&e.buf)
	enc.SetEscapeHTML(false)
	_ = enc.Encode(s) // a string always encodes, and a buffer takes every write
	e.buf.Truncate(e.buf.Len() - 1)
}

// viewOf turns what has a form of its own in JSON into that form.
func viewOf(v reflect.Value) (reflect.Value, bool) {
	if !v.IsValid() || !v.CanInterface() {
		return v, false
	}
	switch x := v.Interface().(type) {
	case geom.Vec:
		return reflect.ValueOf([2]float64{x.X, x.Y}), true
	case geom.Loop:
		return reflect.ValueOf(x.Flatten(ArcsWithinMM)), true
	case jig.Program:
		return reflect.ValueOf(programOf(x)), true
	case *budget.Budget:
		if x != nil {
			return reflect.ValueOf(x.Features), true
		}
	}
	return v, false
}

// shortList matches an indented list of two or three numbers. A JSON string cannot
// hold a line break, so nothing inside one can match.
var (
	shortList = regexp.MustCompile(`\[\n\s+(-?[0-9.]+,\n\s+){1,2}-?[0-9.]+\n\s+\]`)
	lineBreak = regexp.MustCompile(`\n\s+`)
)

// pointsOnOneLine puts points on a line of their own instead of four.
func pointsOnOneLine(doc []byte) []byte {
	return shortList.ReplaceAllFunc(doc, func(list []byte) []byte {
		list = lineBreak.ReplaceAll(list, []byte(" "))
		list = bytes.Replace(list, []byte("[ "), []byte("["), 1)
		return bytes.Replace(list, []byte(" ]"), []byte("]"), 1)
	})
}
