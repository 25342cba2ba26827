package cli

import (
	"os/exec"
	"sort"
	"strings"
	"testing"
)

// mayImport is the house's table of imports: package -> what it may import of
// this module and from outside the standard library. Nested packages inherit
// the longest prefix.
var mayImport = map[string][]string{
	"cmd/reseat": {"reseat/cmd/internal/cli"},
	"cmd/internal/command": {
		"reseat/export", "reseat/export/picture", "reseat/export/record", "reseat/jig/units", "github.com/spf13/",
	},
	"cmd/internal/report": {"reseat/cmd/internal/command", "reseat/dowel", "reseat/jig", "reseat/jig/", "reseat/export"},
	"cmd/internal/measuring": {
		"reseat/cmd/internal/command", "reseat/jig", "reseat/jig/", "reseat/export", "reseat/export/", "github.com/spf13/",
	},
	"cmd/release": {}, // builds the others, and imports nothing of theirs
	"cmd/internal/keyhelp": {
		"reseat/cmd/internal/command", "reseat/jig/job", "reseat/jig/spelling", "reseat/jig/units", "github.com/spf13/",
	},
	"cmd/internal/touching": {
		"reseat/cmd/internal/command", "reseat/cmd/internal/measuring", "reseat/jig", "reseat/jig/", "reseat/export",
		"reseat/export/", "github.com/spf13/",
	},
	"cmd/internal/outputs": {
		"reseat/cmd/internal/report", "reseat/export", "reseat/export/", "reseat/jig", "reseat/jig/geom", "reseat/jig/units",
	},
	"cmd/internal/engine": {
		"reseat/cmd/internal/", "reseat/export", "reseat/export/", "reseat/jig", "reseat/jig/", "github.com/spf13/",
		"gopkg.in/yaml.v3",
	},
	"cmd/internal/page": {
		"reseat/cmd/internal/command", "reseat/cmd/internal/engine", "reseat/export", "reseat/jig/job", "github.com/spf13/",
	},
	"cmd/page":              {"reseat/cmd/internal/page"},
	"cmd/internal/simulate": {
		// Tests alone.
	},
	"cmd/internal/trial": {
		// Tests alone.
	},
	"cmd/internal/cli": {"reseat/", "github.com/spf13/"},
	"jig/geom":         {},
	"jig/spelling":     {},
	"jig/units":        {},
	"jig/sourced":      {"reseat/jig/units"},
	"jig/job": {
		"reseat/jig/geom", "reseat/jig/process", "reseat/jig/rail", "reseat/jig/spelling", "reseat/jig/trace",
		"reseat/jig/units", "gopkg.in/yaml.v3",
	},
	"jig/process":   {"reseat/jig/calibration", "reseat/jig/units"},
	"fit":           {"reseat/jig/units", "reseat/jig/sourced"},
	"jig/seat":      {"reseat/jig/geom", "reseat/jig/minimax", "gonum.org/"},
	"jig/minimax":   {"reseat/jig/geom", "gonum.org/"},
	"jig/foolproof": {"reseat/jig/geom", "reseat/jig/units", "reseat/jig/minimax", "gonum.org/"},
	"dowel":         {"reseat/fit", "reseat/jig/units", "reseat/jig/sourced", "reseat/jig/climate", "gonum.org/"},
	"jig/layout":    {"reseat/jig/geom", "reseat/jig/foolproof"},
	"jig/verdict":   {},
	"jig/coupon": {
		"reseat/dowel", "reseat/fit", "reseat/jig/calibration", "reseat/jig/geom", "reseat/jig/job", "reseat/jig/part", "reseat/jig/plate",
		"reseat/jig/reading", "reseat/jig/spelling", "reseat/jig/stroke", "reseat/jig/toolpath", "reseat/jig/units",
	},
	"jig/dxfread":     {"reseat/jig/geom", "reseat/jig/units"},
	"jig/trace":       {"reseat/jig/dxfread", "reseat/jig/geom", "reseat/jig/spelling", "reseat/jig/units"},
	"jig/calibration": {},
	"jig/estimate":    {"reseat/fit", "reseat/jig/calibration", "reseat/jig/coupon", "reseat/jig/units", "gonum.org/"},
	"jig/reading":     {"reseat/jig/geom", "reseat/jig/spelling", "reseat/jig/units"},
	"jig/measure": {
		"reseat/jig/geom", "reseat/jig/reading", "reseat/jig/reliable", "reseat/jig/spelling", "reseat/jig/units",
		"reseat/jig/verdict", "gonum.org/",
	},
	"jig/reliable": {"reseat/jig/geom"},
	"jig/height":   {"reseat/jig/measure", "reseat/jig/reading"},
	"jig/rail":     {"reseat/jig/beam", "reseat/jig/geom", "reseat/jig/offset", "reseat/jig/sourced"},
	"jig/beam":     {"reseat/jig/sourced", "gonum.org/"},
	"jig/closing":  {"reseat/jig/beam", "reseat/jig/sourced", "reseat/jig/units"},
	"jig/wedge":    {"reseat/jig/sourced"},
	"jig/bridge":   {"reseat/jig/beam", "reseat/jig/geom"},
	"jig/glued": {
		"reseat/fit", "reseat/jig/account", "reseat/jig/beam", "reseat/jig/bridge", "reseat/jig/budget", "reseat/jig/climate",
		"reseat/jig/closing", "reseat/jig/geom",
		"reseat/jig/gluing",
		"reseat/jig/job", "reseat/jig/motion", "reseat/jig/part", "reseat/jig/plate", "reseat/jig/rail", "reseat/jig/seat",
		"reseat/jig/setup", "reseat/jig/sourced", "reseat/jig/units", "reseat/jig/wedge",
	},
	"jig/gluing": {"reseat/jig/beam", "reseat/jig/budget", "reseat/jig/geom", "reseat/jig/motion", "reseat/jig/seat",
		"reseat/jig/rail", "reseat/jig/sourced"},
	"jig/climate":  {"reseat/jig/spelling", "reseat/jig/sourced"},
	"jig/toolpath": {"reseat/jig/geom"},
	"jig/motion":   {"reseat/jig/budget", "reseat/jig/geom", "reseat/jig/seat"},
	"jig/site": {
		"reseat/jig/geom", "reseat/jig/job", "reseat/jig/layout", "reseat/jig/outlined", "reseat/jig/plate",
		"reseat/jig/program", "reseat/jig/rail", "reseat/jig/units",
	},
	"jig/cutfile": {
		"reseat/fit", "reseat/jig/part", "reseat/jig/plate", "reseat/jig/setup", "reseat/jig/units",
	},
	"jig/outlined": {
		"reseat/jig/foolproof", "reseat/jig/geom", "reseat/jig/job", "reseat/jig/plate", "reseat/jig/rail", "reseat/jig/seat",
		"reseat/jig/units",
	},
	"jig/account": {
		"reseat/dowel", "reseat/fit", "reseat/jig/budget", "reseat/jig/geom", "reseat/jig/job", "reseat/jig/layout",
		"reseat/jig/measure",
		"reseat/jig/motion", "reseat/jig/part", "reseat/jig/seat",
	},
	"jig/probelog": {},
	"jig/touch": {
		"reseat/jig/geom", "reseat/jig/job", "reseat/jig/outlined", "reseat/jig/reading", "reseat/jig/probelog",
		"reseat/jig/setup", "reseat/jig/toolpath", "reseat/jig/units",
	},
	"jig/program": {"reseat/jig/climate", "reseat/jig/coupon", "reseat/jig/geom", "reseat/jig/job", "reseat/jig/pocket",
		"reseat/jig/setup", "reseat/jig/toolpath", "reseat/jig/units", "reseat/fit"},
	"jig/setup": {"reseat/dowel", "reseat/jig/geom", "reseat/jig/toolpath", "reseat/jig/units"},
	"jig/part": {
		"reseat/dowel", "reseat/fit", "reseat/jig/calibration", "reseat/jig/climate", "reseat/jig/geom", "reseat/jig/job",
		"reseat/jig/layout", "reseat/jig/plate", "reseat/jig/process", "reseat/jig/setup", "reseat/jig/toolpath",
		"reseat/jig/units",
	},
	"jig/offset": {"reseat/jig/geom"},
	"jig/plate":  {"reseat/fit", "reseat/jig/geom", "reseat/jig/offset", "reseat/jig/stroke", "reseat/jig/units"},
	"jig/remedy": {
		"reseat/dowel", "reseat/fit", "reseat/jig/job", "reseat/jig/layout", "reseat/jig/process", "reseat/jig/units",
	},
	"jig/plausible":  {"reseat/jig/job"},
	"jig/pocket":     {"reseat/jig/geom", "gonum.org/v1/gonum/stat", "gonum.org/v1/gonum/stat/distuv"},
	"jig/holddown":   {"reseat/jig/sourced"},
	"jig/stroke":     {"reseat/jig/geom"},
	"jig/stock":      {"reseat/jig/geom", "reseat/jig/plate", "reseat/jig/units"},
	"jig/assembly":   {"reseat/jig/geom", "reseat/jig/minimax", "reseat/jig/montecarlo", "reseat/fit", "gonum.org/"},
	"jig/montecarlo": {"gonum.org/"},
	"jig/budget":     {"reseat/jig/geom", "reseat/jig/seat", "reseat/jig/montecarlo", "reseat/fit", "gonum.org/"},
	"jig":            {"reseat/jig/", "reseat/fit", "reseat/dowel"},
	"export":         {},
	"export/dxf":     {"reseat/jig", "reseat/jig/geom", "reseat/jig/units", "reseat/export", "github.com/yofu/dxf"},
	"export/gcode": {"reseat/jig", "reseat/jig/geom", "reseat/jig/toolpath", "reseat/jig/touch", "reseat/export",
		"reseat/export/latin"},
	"export/latin":    {},
	"export/overview": {"reseat/export/picture", "reseat/jig", "reseat/jig/geom", "reseat/jig/units"},
	"export/picture":  {"reseat/jig/geom", "reseat/jig/units", "codeberg.org/go-pdf/", "golang.org/x/image/"},
	"export/record": {"reseat/jig", "reseat/jig/geom", "reseat/jig/units", "reseat/jig/budget", "reseat/jig/rail",
		"reseat/jig/setup", "reseat/export"},
	"export/couponsheet": {
		"reseat/export", "reseat/export/picture", "reseat/jig/calibration", "reseat/jig/coupon", "reseat/jig/geom",
		"reseat/jig/units",
	},
	"export/block": {"reseat/jig/geom", "reseat/jig/units", "reseat/export/picture"},
	"export/setupsheet": {"reseat/jig", "reseat/jig/geom", "reseat/jig/setup", "reseat/jig/units", "reseat/export",
		"reseat/export/block", "reseat/export/picture"},
	"export/sheet": {"reseat/jig", "reseat/jig/geom", "reseat/jig/plate", "reseat/jig/setup", "reseat/jig/units", "reseat/export",
		"reseat/export/block", "reseat/export/picture"},
	"export/solid": {"reseat/jig", "reseat/jig/geom", "reseat/jig/units", "reseat/export/latin", "reseat/export/picture",
		"reseat/export/solid", "reseat/export/solid/", "github.com/deadsy/sdfx"},
}

// exact lists the imports that are meant as one package, not as a prefix.
var exact = map[string]bool{"reseat/jig": true, "reseat/jig/geom": true, "reseat/export": true, "reseat/fit": true,
	"reseat/dowel": true}

func TestHouse(t *testing.T) {
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}}{{range .Imports}} {{.}}{{end}}`, "reseat/...").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	seen := 0
	for _, line := range strings.Split(strings.TrimSpace(string(out)), "\n") {
		words := strings.Fields(line)
		pkg := strings.TrimPrefix(words[0], "reseat/")
		allowed, ok := rulesFor(pkg)
		if !ok {
			t.Errorf("package %s has no row in the table of imports", pkg)
			continue
		}
		seen++
		for _, imp := range words[1:] {
			if std := !strings.Contains(strings.SplitN(imp, "/", 2)[0], ".") && !strings.HasPrefix(imp, "reseat/"); std {
				continue
			}
			if !permits(allowed, imp) {
				t.Errorf("%s imports %s, which the table does not allow", pkg, imp)
			}
		}
		for _, bad := range []string{"util", "common", "types", "pkg"} {
			if base := pkg[strings.LastIndex(pkg, "/")+1:]; base == bad {
				t.Errorf("package %s: name it for one idea", pkg)
			}
		}
	}
	if seen == 0 {
		t.Error("go list found no package")
	}
}

func rulesFor(pkg string) ([]string, bool) {
	keys := make([]string, 0, len(mayImport))
	for k := range mayImport {
		keys = append(keys, k)
	}
	sort.Slice(keys, func(i, j int) bool { return len(keys[i]) > len(keys[j]) })
	for _, k := range keys {
		// "jig" and "export" stand for themselves alone, not for what is below.
		if pkg == k || (strings.Contains(k, "/") && strings.HasPrefix(pkg, k+"/")) {
			return mayImport[k], true
		}
	}
	return nil, false
}

func permits(allowed []string, imp string) bool {
	for _, a := range allowed {
		if imp == a || (!exact[a] && strings.HasPrefix(imp, a)) {
			return true
		}
	}
	return false
}
