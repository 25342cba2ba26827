package cli

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// plainer lists words that tell a reader nothing, or something else than they say in the field, and
// what a name says instead. It holds for packages' own names, methods and fields, whole or as a part.
var plainer = map[string]string{
	"sight": "observation", "told": "estimate, determined, text, label or notes: what the value is",
	"placing": "pose", "noise": "sigma", "slack": "clearance, or tol for rounding",
	"ground": "feasible region, or base", "zone": "constraint",
	"stood": "placed", "stir": "perturb", "furnish": "addClearPins", "gauge": "objective",
	"front": "offset", "march": "straight skeleton", "raise": "extrude", "coat": "layer",
	"slips": "edit distance", "vouched": "verified", "seal": "checksum",
	"wave":   "sinusoid, or serial correlation",
	"trough": "minimum", "ruler": "prepared contour",
	"give": "set, or deflection", "sure": "certain, or enough", "moved": "offset", "known": "IsKnown or HasX",
	"shouted": "upper case", "charted": "plotted", "speaks": "mentions", "lonely": "isolated",
	"heal": "setRemedies", "seek": "find", "settle": "what is decided, and how",
}

// exempt are the names that have such a word in the sense that the field gives it.
var exempt = map[string]string{
	"IsKnown": "a predicate", "Zone": "a part that no pin hole may touch",
	"zone": "ISO 286: tolerance zone", "zonesOf": "the same", "drawZones": "the same", "drawZonesText": "the same",
	"fitZoneJSON": "the same", "zoneColours": "the same", "zoneWidth": "the same", "picZone": "the same",
	"plugGaugeTests": "a plug gauge", "raiseFirst": "the tool is raised",
}

// oneMeaning lists names that several packages once had for different things, with the packages
// that may declare them.
var oneMeaning = map[string][]string{
	"Figure": {"export/block", "export/picture"}, // a drawing
	"figure": {"export/sheet"},
	"Term":   {}, "term": {"jig/measure"}, // of a regression
	"Basis": {"jig/minimax"}, // of a linear programme
	"Facet": {}, "Told": {}, "Of": {}, "Is": {},
	"Guard": {"jig/measure"}, "Stock": {"jig/plate"}, "Scale": {"jig/measure"}, "Turn": {"jig/setup"}, "Way": {},
}

// TestNames holds what is declared outside functions to the two tables above.
func TestNames(t *testing.T) {
	words := regexp.MustCompile(`[A-Z]+(?:[^a-z]|$)|[A-Z]?[a-z]+`)
	spelt := regexp.MustCompile(`[A-Za-z]mm$|Id$|Json|Svg|Sha256`)
	used := map[string]bool{}
	check := func(at token.Position, dir, name string, typeOrFunc bool) {
		for _, w := range words.FindAllString(name, -1) {
			w = strings.ToLower(w)
			instead, bad := plainer[w]
			if !bad {
				instead, bad = plainer[strings.TrimSuffix(w, "s")]
			}
			if _, ok := exempt[name]; bad && ok {
				used[name] = true
			} else if bad {
				t.Errorf("%s: %s: say %s", at, name, instead)
			}
		}
		if spelt.MatchString(name) {
			t.Errorf("%s: %s: units and initialisms are capitals: MM, ID, JSON, SVG", at, name)
		}
		if in, ok := oneMeaning[name]; ok && typeOrFunc && !slices.Contains(in, dir) {
			t.Errorf("%s: %s stands for something else in %v; name it by what it is here", at, name, in)
		}
	}
	root := filepath.Join("..", "..", "..")
	files := token.NewFileSet()
	err := filepath.WalkDir(root, func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		f, err := parser.ParseFile(files, path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		dir, _ := filepath.Rel(root, filepath.Dir(path))
		dir = filepath.ToSlash(dir)
		for _, d := range f.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				check(files.Position(d.Pos()), dir, d.Name.Name, d.Recv == nil)
			case *ast.GenDecl:
				for _, s := range d.Specs {
					switch s := s.(type) {
					case *ast.TypeSpec:
						check(files.Position(s.Pos()), dir, s.Name.Name, true)
					case *ast.ValueSpec:
						for _, n := range s.Names {
							check(files.Position(n.Pos()), dir, n.Name, false)
						}
					}
				}
			}
		}
		ast.Inspect(f, func(n ast.Node) bool {
			if s, ok := n.(*ast.StructType); ok {
				for _, field := range s.Fields.List {
					for _, name := range field.Names {
						check(files.Position(name.Pos()), dir, name.Name, false)
					}
				}
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for name := range exempt {
		if !used[name] {
			t.Errorf("%s is exempt, but no name in the code", name)
		}
	}
}
