package job

import (
	"fmt"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"reseat/jig/spelling"
)

// unknown tells of a key that the section does not have.
func (s *section) unknown(k, v *yaml.Node, known []string, present map[string]bool) {
	key := k.Value
	path := join(s.path, key)
	if len(s.r.list) >= maxKept { // counted alone: to look for what was meant takes time
		s.r.fault(k, path, "unknown key", "")
		return
	}
	if i := strings.IndexByte(key, ':'); i > 0 && isNull(v) {
		s.near[key[:i]] = true
		s.r.fault(k, path, fmt.Sprintf("%s has no space after the colon", quoted(key)),
			fmt.Sprintf("write %s: %s", key[:i], key[i+1:]))
		return
	}
	if key == "<<" {
		s.r.fault(k, path, "merge keys (<<) are not taken", "write the values out")
		return
	}
	var free []string // keys that the file does not have yet
	for _, w := range known {
		if !present[w] {
			free = append(free, w)
		}
	}
	remedy := "known here: " + strings.Join(known, ", ")
	switch near, homes := spelling.Nearest(key, free), sectionsWith(key); {
	case near != "":
		s.near[near] = true
		remedy = fmt.Sprintf("did you mean %q?", near)
	case slices.Contains(free, synonyms[key]):
		s.near[synonyms[key]] = true
		remedy = fmt.Sprintf("did you mean %q?", synonyms[key])
	case slices.Contains(known, synonyms[key]):
		remedy = "that is " + synonyms[key] + " here"
	case len(homes) > 0:
		remedy = "it belongs in " + strings.Join(homes, " or ")
	}
	s.r.fault(k, path, "unknown key "+quoted(key), remedy)
}

// synonyms are words that makers use for keys of other names.
var synonyms = map[string]string{
	"height": "thickness", "depth": "thickness", "pins": "dowel", "pin": "dowel", "jig": "template",
	"plate": "template", "spoilboard": "bed", "stock": "blank", "router": "machine", "species": "wood",
	"tolerance": "accuracy", "radius": "crown_radius", "diameter": "bore", "dia": "diameter", "number": "count",
	"process": "make", "kerf": "kerf_mm", "edge": "edge_mm", "bias": "bias_mm", "spread": "spread_mm", "taper": "taper_mm",
	"position": "position_mm", "thickness": "thickness_mm", "date": "measured_on", "who": "measured_by",
	"gluing": "rails", "name": "title", "unit": "units",
}
