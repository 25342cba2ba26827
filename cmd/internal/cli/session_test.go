package cli

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"reseat/jig"
	"reseat/jig/geom"
)

// TestSession goes through an afternoon at the machine: design and bores; the board put
// back, a little askew, by a hand that we know the truth of; datum; locate; pocket with
// the measured pose. The bored holes must land where the board's own features lie,
// within what measuring leaves, and the interpreter's own list of arcs must say so too.
func TestSession(t *testing.T) {
	const (
		seed      = 20
		noiseSDmm = 0.010 // of a touch: an edge finder's, see jig's zero table
	)
	jobFile, err := filepath.Abs(filepath.Join("..", "..", "..", "testdata", "jobs", "bouzouki-fingerboard.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	run := func(want int, args ...string) string {
		t.Helper()
		var out, errs bytes.Buffer
		if got := Run(args, nil, &out, &errs); got != want {
			t.Fatalf("reseat %s: exit %d, want %d\n%s%s", strings.Join(args, " "), got, want, out.String(), errs.String())
		}
		return out.String()
	}
	write := func(name, text string) string {
		t.Helper()
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		return path
	}

	// 1. Design: the bores lie where the pins are.
	run(exitHolds, "design", jobFile, "-o", filepath.Join(dir, "out"))
	d, err := readDesign(jobFile)
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range bored(t, filepath.Join(dir, "out", "bores.nc")) {
		if off := nearestPin(d, c.at); off > 0.001 {
			t.Errorf("bore %d lies %.4f mm from every pin", i, off)
		}
	}

	// 2. The board lies on the bed: the truth that nobody at the machine knows.
	truth := geom.Rigid{Angle: 0.00063, Shift: geom.Vec{X: 0.212, Y: -0.174}}
	rng := rand.New(rand.NewPCG(seed, 0))
	touch := func(p geom.Vec) geom.Vec {
		q := truth.Apply(p)
		return geom.Vec{X: q.X + noiseSDmm*rng.NormFloat64(), Y: q.Y + noiseSDmm*rng.NormFloat64()}
	}

	// 3. Datum: five points along either edge say that it is not parallel.
	var edges strings.Builder
	edges.WriteString("on,x_mm,y_mm\n")
	b := d.Board
	for _, side := range []struct {
		name string
		sign float64
	}{{"left", 1}, {"right", -1}} {
		for _, u := range []float64{12, 120, 240, 360, 466} {
			half := (b.WidthStartMM + (b.WidthEndMM-b.WidthStartMM)*u/b.LengthMM) / 2
			p := touch(d.Frame.ToMachine.Apply(geom.Vec{X: u, Y: side.sign * half}))
			fmt.Fprintf(&edges, "%s,%.4f,%.4f\n", side.name, p.X, p.Y)
		}
	}
	said := run(exitFails, "datum", write("edges.csv", edges.String()), "--job", jobFile)
	if !strings.Contains(strings.ToLower(said), "out of tolerance") {
		t.Errorf("datum says\n%s", said)
	}

	// 4. Locate: four dots under the pointed cutter.
	var dots strings.Builder
	dots.WriteString("name,x_mm,y_mm\n")
	for _, f := range b.Features {
		switch f.Name {
		case "dot 3", "dot 10", "dot 12 left", "dot 19":
			p := touch(d.Frame.ToMachine.Apply(f.At))
			fmt.Fprintf(&dots, "%s,%.4f,%.4f\n", f.Name, p.X, p.Y)
		}
	}
	pose := write("pose.json", run(exitHolds, "locate", write("dots.csv", dots.String()), "--job", jobFile, "--json"))

	// 5. Pocket, where the board lies.
	nc := filepath.Join(dir, "again.nc")
	run(exitHolds, "pocket", jobFile, "--pose", pose, "-o", nc)

	// 6. Every hole lands at the true place of its feature, within the budget of
	// measuring: four touches of 0.010 leave under three of their standard errors.
	bound := 3 * noiseSDmm * math.Sqrt2
	worst := 0.0
	cuts := bored(t, nc)
	if len(cuts) != len(b.Features) {
		t.Fatalf("%d holes for %d features", len(cuts), len(b.Features))
	}
	for _, c := range cuts {
		off := math.Inf(1)
		for _, f := range b.Features {
			off = math.Min(off, c.at.Dist(truth.Apply(d.Frame.ToMachine.Apply(f.At))))
		}
		worst = math.Max(worst, off)
		if off > bound {
			t.Errorf("a hole of %.3f mm lies %.4f mm from the nearest feature, want %.4f", c.diameter, off, bound)
		}
	}
	// Without the pose they would all be wrong.
	plain := filepath.Join(dir, "plain.nc")
	run(exitHolds, "pocket", jobFile, "-o", plain)
	least := math.Inf(1)
	for _, c := range bored(t, plain) {
		for _, f := range b.Features {
			least = math.Min(least, c.at.Dist(truth.Apply(d.Frame.ToMachine.Apply(f.At))))
		}
	}
	if least < 2*bound {
		t.Errorf("without the pose a hole is only %.4f mm off: the session proves nothing", least)
	}
	t.Logf("worst hole %.4f mm from its true place with the pose, %.4f mm at best without", worst, least)

	// 7. The interpreter's own list of arcs: an independent reading of the file.
	byInterpreter(t, nc, cuts)
}

// boredHole is a hole as a program makes it.
type boredHole struct {
	at       geom.Vec
	diameter float64
}

// xyMove is a line of a program that goes somewhere in X and Y: the end, and of an arc
// the way to its centre.
var xyMove = regexp.MustCompile(`(?m)^G[0-3] X(\S+) Y(\S+)(?: Z\S+)?(?: I(\S+) J(\S+))?(?: F\d+)?$`)

// bored reads a program and returns its holes: the widest full circle of each centre,
// without the tool's own width.
func bored(t *testing.T, path string) []boredHole {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var out []boredHole
	last := geom.Vec{}
	for _, m := range xyMove.FindAllStringSubmatch(string(data), -1) {
		var v [4]float64
		for i, w := range m[1:] {
			if v[i], err = strconv.ParseFloat(w, 64); err != nil && w != "" {
				t.Fatal(err)
			}
		}
		end, off := geom.Vec{X: v[0], Y: v[1]}, geom.Vec{X: v[2], Y: v[3]}
		if m[3] != "" && end == last {
			out = widest(out, end.Add(off), 2*off.Norm())
		}
		last = end
	}
	return out
}

// widest adds a circle to the holes: another one about the same centre, to the
// rounding of a file, or the first.
func widest(holes []boredHole, at geom.Vec, diameter float64) []boredHole {
	const sameMM = 0.05 // centres of one hole differ by rounding, those of two by more than a cutter
	for i := range holes {
		if holes[i].at.Dist(at) < sameMM {
			if diameter > holes[i].diameter {
				holes[i] = boredHole{at, diameter}
			}
			return holes
		}
	}
	return append(holes, boredHole{at, diameter})
}

func nearestPin(d *jig.Design, p geom.Vec) float64 {
	off := math.Inf(1)
	for _, q := range d.Pins {
		off = math.Min(off, q.Machine.Dist(p))
	}
	return off
}

// motion is a line of the interpreter's canonical moves: the end's X and Y, and of an
// arc the centre's.
var motion = regexp.MustCompile(`(ARC_FEED|STRAIGHT_FEED|STRAIGHT_TRAVERSE)\(([-0-9.]+), ([-0-9.]+), ([-0-9.]+), ([-0-9.]+),`)

// byInterpreter compares the holes with the arcs that rs274 makes of the file.
func byInterpreter(t *testing.T, path string, want []boredHole) {
	t.Helper()
	if _, err := exec.LookPath("rs274"); err != nil {
		if os.Getenv("REQUIRE_RS274") != "" {
			t.Fatal("rs274 is required and not installed (linuxcnc-uspace)")
		}
		t.Log("rs274 is not installed (linuxcnc-uspace): the interpreter's list is not compared")
		return
	}
	cmd := exec.Command("rs274", "-g", path)
	cmd.Env = append(os.Environ(), "LC_ALL=C")
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("rs274: %v", err)
	}
	var holes []boredHole
	last := geom.Vec{}
	for _, m := range motion.FindAllStringSubmatch(string(out), -1) {
		var v [4]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(m[i+2], 64); err != nil {
				t.Fatal(err)
			}
		}
		end, c := geom.Vec{X: v[0], Y: v[1]}, geom.Vec{X: v[2], Y: v[3]}
		if m[1] == "ARC_FEED" && end == last {
			holes = widest(holes, c, 2*c.Dist(end))
		}
		last = end
	}
	if len(holes) != len(want) {
		t.Fatalf("the interpreter bores %d holes, want %d", len(holes), len(want))
	}
	for _, w := range want {
		near, off := boredHole{}, math.Inf(1)
		for _, h := range holes {
			if d := h.at.Dist(w.at); d < off {
				near, off = h, d
			}
		}
		if off > 0.001 || math.Abs(near.diameter-w.diameter) > 0.002 {
			t.Errorf("the interpreter bores %v, want %v", near, w)
		}
	}
}
