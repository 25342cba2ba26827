package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// TestTurnedOver goes with a board of either seat through both faces, turned over about
// either axis on a machine of either long axis. Where a place lies, the test works out in
// three dimensions: half a turn about the axis, then a quarter turn where the board lies
// along Y. Held against that are the holes of both programs, as design.json has them, and
// those that are bored where marks of the underside were measured on a board a little askew.
func TestTurnedOver(t *testing.T) {
	const l, askew = 360.0, 0.004
	shift := r3.Vec{X: 0.31, Y: -0.22}
	type place struct {
		name, side string
		u, v       float64
	}
	features := []place{{"slot", "top", 70, 21}, {"socket", "top", 300, -12}, {"bolt", "under", 40, -17},
		{"button", "under", 330, 19}}
	for _, seat := range []string{"pins", "nest"} {
		for _, flip := range []string{"long", "short"} {
			for _, axis := range []string{"x", "y"} {
				t.Run(seat+" "+flip+" "+axis, func(t *testing.T) {
					t.Parallel()
					lies := func(p place, up string) r3.Vec {
						at := r3.Vec{X: p.u, Y: p.v, Z: 20}
						switch {
						case up == "top":
						case flip == "long":
							at = r3.Rotate(at, math.Pi, r3.Vec{X: 1})
						default:
							middle := r3.Vec{X: l / 2}
							at = r3.Add(middle, r3.Rotate(r3.Sub(at, middle), math.Pi, r3.Vec{Y: 1}))
						}
						if axis == "y" {
							at = r3.Rotate(at, math.Pi/2, r3.Vec{Z: 1})
						}
						at.Z = 0
						return at
					}
					dir := t.TempDir()
					write := func(name, text string) string {
						path := filepath.Join(dir, name)
						if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
							t.Fatal(err)
						}
						return path
					}
					run := func(want int, args ...string) (out, errs string) {
						t.Helper()
						var o, e bytes.Buffer
						if got := Run(args, nil, &o, &e); got != want {
							t.Fatalf("reseat %s: exit %d, want %d\n%s%s", strings.Join(args, " "), got, want, &o, &e)
						}
						return o.String(), e.String()
					}
					var list []string
					for _, f := range features {
						list = append(list, fmt.Sprintf("{name: %s, u: %g, v: %g, bore: 8, depth: 5, side: %s}", f.name, f.u, f.v,
							f.side))
					}
					job := write("job.yaml", fmt.Sprintf(`
board: {length: %g, width: {start: 60, end: 80}, thickness: 20, features: [%s]}
blank: {length: 480, width: 170, thickness: 23, make: {by: router, cutter: 5}}
bed: {thickness: 25, make: {by: router, cutter: 5}}
machine: {long_axis: %s}
dowel: {standard: iso 2338, class: h8, diameter: 8, count: 4}
template: {seat: %s, flip: %s, thickness: 10, margin: 40, make: {by: router, cutter: 5}}
pockets: {cutter: 5}
accuracy: 0.5
`, l, strings.Join(list, ", "), axis, seat, flip))

					// 1. Both programs.
					out := filepath.Join(dir, "job")
					run(exitHolds, "design", job) // beside the job: locate takes the pins from the record
					var d struct {
						Programs []struct {
							File  string
							Holes []struct {
								ID string
								X  float64 `json:"x_mm"`
								Y  float64 `json:"y_mm"`
							}
						}
						Pins []struct {
							ID  string
							UMM float64 `json:"u_mm"`
							VMM float64 `json:"v_mm"`
						}
					}
					data, err := os.ReadFile(filepath.Join(out, "design.json"))
					if err == nil {
						err = json.Unmarshal(data, &d)
					}
					if err != nil {
						t.Fatal(err)
					}
					found := 0
					for _, p := range d.Programs {
						up, ok := map[string]string{"pockets.nc": "top", "pockets-under.nc": "under"}[p.File]
						if !ok {
							continue
						}
						for _, f := range features {
							for _, h := range p.Holes {
								if h.ID != f.name {
									continue
								}
								found++
								if off := r3.Norm(r3.Sub(r3.Vec{X: h.X, Y: h.Y}, lies(f, up))); f.side != up || off > 1e-6 {
									t.Errorf("%s in %s lies at %g, %g, want %v (%s)", f.name, p.File, h.X, h.Y, lies(f, up), f.side)
								}
							}
						}
					}
					if found != len(features) {
						t.Errorf("%d holes of %d features", found, len(features))
					}

					// 2. Marks of a board that lies underside up and askew: its own bolt, two pin holes.
					measured := func(p place) r3.Vec {
						return r3.Add(r3.Rotate(lies(p, "under"), askew, r3.Vec{Z: 1}), shift)
					}
					marks := "name,x_mm,y_mm\n"
					for _, p := range append([]place{features[2], features[3]}, place{name: d.Pins[2].ID, u: d.Pins[2].UMM,
						v: d.Pins[2].VMM}, place{name: d.Pins[0].ID, u: d.Pins[0].UMM, v: d.Pins[0].VMM}) {
						at := measured(p)
						marks += fmt.Sprintf("%s,%.4f,%.4f\n", p.name, at.X, at.Y)
					}
					csv := write("marks.csv", marks)
					said, _ := run(exitHolds, "locate", csv, "--job", job, "--side", "under", "--json")
					pose := write("pose.json", said)
					nc := filepath.Join(dir, "moved.nc")
					run(exitHolds, "pocket", job, "--side", "under", "--pose", pose, "-o", nc)
					for _, f := range features[2:] {
						near := math.Inf(1)
						for _, c := range bored(t, nc) {
							near = min(near, r3.Norm(r3.Sub(r3.Vec{X: c.at.X, Y: c.at.Y}, measured(f))))
						}
						if near > 0.002 { // coordinates are written to 0.001
							t.Errorf("%s is bored %.3f mm beside where it was measured to lie", f.name, near)
						}
					}
					if _, e := run(exitInput, "pocket", job, "--pose", pose, "-o", nc); !strings.Contains(strings.Join(strings.Fields(e), " "), "--side top") {
						t.Errorf("the other side's pose: %s", e)
					}

					// 3. Pin holes alone, not turned over and turned over: each only on its side.
					pins := func(up string) string {
						text := "name,x_mm,y_mm\n"
						for _, q := range d.Pins {
							at := lies(place{u: q.UMM, v: q.VMM}, up)
							text += fmt.Sprintf("%s,%.3f,%.3f\n", q.ID, at.X, at.Y+0.01)
						}
						return write(up+".csv", text)
					}
					for _, up := range []string{"top", "under"} {
						other := map[string]string{"top": "under", "under": "top"}[up]
						run(exitHolds, "locate", pins(up), "--job", job, "--side", up)
						if _, e := run(exitInput, "locate", pins(up), "--job", job, "--side", other); !strings.Contains(e,
							"--side "+up) {
							t.Errorf("pin holes with the %s up, taken for the other: %s", up, e)
						}
					}
				})
			}
		}
	}
}
