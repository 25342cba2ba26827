package record

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
)

// Decimals that are kept. A millionth of a millimetre is far below any machine and
// above the noise of the computing; 1e-9 rad is half a micrometre over half a
// kilometre.
const (
	lengthDecimals = 6 // mm
	angleDecimals  = 9 // rad
	degreeDecimals = 6 // degrees
	ratioDecimals  = 6 // odds
	figureDecimals = 9 // figures of rules, whose unit may be a radian
)

// Number types of the record; each knows its decimals.
type (
	mm     float64
	rad    float64
	deg    float64
	ratio  float64
	figure float64
)

func (x mm) MarshalJSON() ([]byte, error) { return []byte(digits(float64(x), lengthDecimals)), nil }

func (x rad) MarshalJSON() ([]byte, error) { return []byte(digits(float64(x), angleDecimals)), nil }

func (x deg) MarshalJSON() ([]byte, error) { return []byte(digits(float64(x), degreeDecimals)), nil }

func (x ratio) MarshalJSON() ([]byte, error) { return []byte(digits(float64(x), ratioDecimals)), nil }

func (x figure) MarshalJSON() ([]byte, error) { return []byte(digits(float64(x), figureDecimals)), nil }

// digits prints x with at most n decimals, no exponent, no trailing noughts and no
// minus before nought. x must be finite.
func digits(x float64, n int) string {
	s := strconv.FormatFloat(x, 'f', n, 64)
	if n > 0 {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// toDeg turns radians into degrees.
func toDeg(radians float64) deg { return deg(radians * 180 / math.Pi) }

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// NumberError lists the figures of a design that are not finite, with their path
// in the record. They are faults of the program; nothing was made.
type NumberError struct{ Paths []string }

func (e *NumberError) Error() string {
	return "record: not a finite number: " + strings.Join(e.Paths, ", ")
}

// checkFinite walks through v, a struct with json tags, and reports every float
// that JSON could not hold.
func checkFinite(v any) error {
	var paths []string
	walk(reflect.ValueOf(v), "", func(path string, x float64) {
		if !finite(x) {
			paths = append(paths, fmt.Sprintf("%s is %g", path, x))
		}
	})
	if len(paths) > 0 {
		return &NumberError{paths}
	}
	return nil
}

func walk(v reflect.Value, path string, visit func(string, float64)) {
	switch v.Kind() {
	case reflect.Float64:
		visit(path, v.Float())
	case reflect.Pointer:
		if !v.IsNil() {
			walk(v.Elem(), path, visit)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			walk(v.Index(i), fmt.Sprintf("%s[%d]", path, i), visit)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			key, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
			if path != "" {
				key = path + "." + key
			}
			walk(v.Field(i), key, visit)
		}
	}
}
