package job

import (
	"strings"
	"testing"
)

// What keeps the board from sliding follows from the board and from what the maker has.
func TestRails(t *testing.T) {
	const text = `
units: mm
board: {length: 478, width: 42, thickness: THICK, crown_radius: CROWN}
dowel: {diameter: 6}
template: {thickness: SHEET, make: {MAKE}}
rails: {RAILS}
`
	for _, c := range []struct {
		name, thick, crown, sheet, make, rails string
		plate                                  string
		height, of                             float64
		fault                                  string
	}{
		{"the template itself", "6", "0", "4", "by: laser", "plate: template", "template", 4, 0, ""},
		{"a sheet, the thickest that ends below the edge", "6", "0", "6", "by: laser", "strip: 1", "sheet", 5, 5, ""},
		{"a crown's edge lies 0.637 lower", "6", "347", "6", "by: laser", "strip: 1", "sheet", 4, 4, ""},
		{"at most so high", "6", "0", "6", "by: router", "height: 3.5", "sheet", 3, 3, ""},
		{"a sheet of its own", "6", "0", "6", "by: laser", "thickness: 2.7", "sheet", 2.7, 2.7, ""},
		{"there is a printer", "6", "0", "6", "by: laser, nozzle: 0.4", "strip: 1", "print", 5.45, 0, ""},
		{"printed", "6", "0", "4", "by: print", "strip: 1", "print", 5.45, 0, ""},
		{"printed, and cut all the same", "6", "0", "4", "by: print", "plate: sheet, make: {by: laser}, material: birch plywood",
			"sheet", 5, 5, ""},
		{"a sheet that nothing cuts", "6", "0", "6", "by: print", "plate: sheet", "", 0, 0, "rails.make: {by: laser}"},
		{"a thin board", "2.2", "0", "6", "by: laser", "strip: 1", "sheet", 1.5, 1.5, ""},
		{"too thin a board", "1.2", "0", "6", "by: laser", "strip: 1", "sheet", 1, 1, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := strings.NewReplacer("THICK", c.thick, "CROWN", c.crown, "SHEET", c.sheet, "MAKE", c.make, "RAILS", c.rails)
			j, err := Parse("job.yaml", []byte(in.Replace(text)))
			if c.fault != "" {
				if err == nil || !strings.Contains(err.Error(), c.fault) {
					t.Fatalf("got %v", err)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if r := j.Rails; r.Plate != c.plate || !near(r.HeightMM, c.height) || r.ThicknessMM != c.of {
				t.Errorf("%s, %g high, of %g", r.Plate, r.HeightMM, r.ThicknessMM)
			}
		})
	}
}

func near(a, b float64) bool { return a-b < 1e-9 && b-a < 1e-9 }
