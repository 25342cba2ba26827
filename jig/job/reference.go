package job

import (
	"cmp"
	"fmt"
	"strings"

	"reseat/jig/units"
)

// Key is a key of the job file as its reference shows it.
type Key struct {
	Path     string   `json:"key"` // dotted; "[]" stands for any entry of a list
	Meaning  string   `json:"meaning"`
	Kind     string   `json:"kind"`  // "length", "choice" ...: as keys.csv names them
	Least    float64  `json:"least"` // of a length in mm, a number or a count; 0 to 0: no bounds
	Most     float64  `json:"most"`
	Unit     string   `json:"unit"`    // of a number or a length; "": it has none
	Words    []string `json:"words"`   // of a choice
	Default  string   `json:"default"` // with its unit; "": none
	Required bool     `json:"required"`
	Why      string   `json:"why"`  // of the default
	Mark     string   `json:"mark"` // of the source of the default's figure: "standard", "web", "practice", "recalled", "derived"
}

// Keys lists every key, in the order of the job file. Lengths are the same in a job in
// inches: a default of 24 mm is 24 mm there too.
func Keys() []Key {
	var out []Key
	for _, k := range keys().rows {
		if _, name, ok := strings.Cut(k.path, ".make."); ok && k.meaning == "" {
			t := keyAt("template.make." + name)
			k.meaning, k.why, k.mark = t.meaning, t.why, t.mark
		}
		if k.only != "" {
			k.meaning += "; " + strings.ReplaceAll(k.only, "|", " and ") + " only"
		}
		if k.kind == aLength || k.kind == aWidth || k.kind == aCutter {
			k.unit = "mm"
		}
		out = append(out, Key{k.path, k.meaning, kindNames[k.kind], k.span.least, k.span.most, k.unit, k.words,
			k.defaultInWords(), k.need != "", k.why, k.mark})
	}
	return out
}

func (k key) defaultInWords() string {
	switch v := k.value.(type) {
	case float64:
		if k.defaultWords == "" {
			return units.Short(v) + " " + cmp.Or(k.unit, "mm")
		}
	case int, string:
		return fmt.Sprint(v)
	}
	if k.defaultWords == "" && k.words != nil && k.need == "" {
		return k.words[0]
	}
	return k.defaultWords
}
