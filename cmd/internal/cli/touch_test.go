package cli

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/part"
	"reseat/jig/setup"
	"reseat/jig/toolpath"
)

// bench is a machine with a board on it and a touch probe that is simulated: a ball that
// stops where it first meets board, pin or bed. What it knows of the board is its own
// arithmetic; of plate, rails and frame it takes the set-up's obstacles.
type bench struct {
	job       *job.Job
	board     geom.Rigid // as it truly lies -> machine frame
	up        setup.Face
	faceMM    float64 // height of the face over the bed
	z0MM      float64 // height of the program's Z0 over the bed
	radius    float64 // of the ball
	pins      []setup.Pin
	bedMM     float64
	obstacles []toolpath.Obstacle // heights over the bed
	seated    bool                // the board lies there
	noiseMM   float64             // of a touch, standard deviation
	rng       *rand.Rand
}

// newBench lays a job's board down, moved from where it was drawn.
func newBench(path, side string, move geom.Rigid, probeMM float64) (*bench, error) {
	j, err := job.Read(path)
	if err != nil {
		return nil, err
	}
	if j, err = part.AsNow(j); err != nil {
		return nil, err
	}
	d, err := jig.Build(j)
	if err != nil {
		return nil, err
	}
	b := &bench{job: j, up: setup.Face(side), radius: probeMM / 2, seated: true, rng: rand.New(rand.NewPCG(7, 0))}
	id, lies := setup.SeatBoard, geom.Rigid{}
	if b.up == setup.Under {
		id = setup.TurnOver
		lies = map[string]geom.Rigid{
			"long":  {Mirror: true},
			"short": {Angle: math.Pi, Mirror: true, Shift: geom.Vec{X: j.Board.LengthMM}},
		}[j.Template.Flip]
	}
	b.board = move.After(d.Frame.ToMachine.After(lies))
	for _, s := range d.Setups {
		if s.ID != id {
			continue
		}
		b.bedMM = j.Bed.ThicknessMM
		b.pins, b.faceMM, b.obstacles = s.Pins, s.Zero.ZMM-b.bedMM, s.Obstacles()
		for i := range b.obstacles {
			b.obstacles[i].TopZ += b.faceMM
		}
	}
	b.z0MM = b.faceMM
	return b, nil
}

// free reports whether the ball touches nothing with its centre at a place, z over Z0.
func (b *bench) free(x, y, z float64) bool {
	at, z := geom.Vec{X: x, Y: y}, z+b.z0MM
	if z < b.radius {
		return false
	}
	if !b.seated {
		for _, p := range b.pins {
			if z < p.ToMM-b.bedMM && at.Dist(p.At) < p.RadiusMM+b.radius {
				return false
			}
		}
		return true
	}
	for _, o := range b.obstacles {
		away := -o.Outline.Depth(at)
		for _, w := range o.Windows {
			away = math.Max(away, w.Depth(at))
		}
		if z-b.radius < o.TopZ && away < b.radius {
			return false
		}
	}
	q := b.board.Inverse().Apply(at)
	crown := b.job.Board.CrownRadiusMM
	if b.up == setup.Under {
		crown = 0
	}
	over := z - b.faceMM // of the ball's centre over the face there, square to it
	level := b.faceMM
	if crown > 0 {
		over = math.Hypot(q.Y, z-b.faceMM+crown) - crown
		level -= crown - math.Sqrt(crown*crown-q.Y*q.Y)
	}
	for _, f := range b.job.Board.AllFeatures() {
		if f.IsUnderside() != (b.up == setup.Under) {
			continue
		}
		away := q.Dist(geom.Vec{X: f.UMM, Y: f.VMM})
		if away < f.BoreMM/2 && z < level { // in the bore
			return away < f.BoreMM/2-b.radius && z > level-f.DepthMM+b.radius
		}
		if away < f.BoreMM/2-b.radius {
			return true // over it
		}
	}
	l := b.job.Board.LengthMM
	half := (b.job.Board.WidthStartMM + (b.job.Board.WidthEndMM-b.job.Board.WidthStartMM)*q.X/l) / 2
	lean := math.Hypot(1, (b.job.Board.WidthEndMM-b.job.Board.WidthStartMM)/2/l)
	aside := math.Max(math.Max(-q.X, q.X-l), (math.Abs(q.Y)-half)/lean) // outside the board where positive
	if b.job.Template.Seat == "pins" {
		aside = -1e3 // the blank is all round it
	}
	switch {
	case aside > 0 && z < level:
		return aside > b.radius
	case aside > 0:
		return math.Hypot(aside, z-level) > b.radius
	}
	return over > b.radius
}

var probeWord = regexp.MustCompile(`([GMXYZF])(-?[0-9.]+)`)

// run goes through a program and calls met for each probing move. It stops where a probing
// move meets nothing; the error is for any other move that meets something.
func (b *bench) run(program string, met func(x, y, z float64, ok bool)) error {
	at := [3]float64{0, 0, 60}
	for n, line := range strings.Split(program, "\n") {
		if line == "" || line[0] == ';' || line[0] == '(' {
			continue
		}
		word, to, ways := "", at, 0
		for _, m := range probeWord.FindAllStringSubmatch(line, -1) {
			v, err := strconv.ParseFloat(m[2], 64)
			if err != nil {
				return err
			}
			if i := strings.Index("XYZ", m[1]); i >= 0 {
				ways++
				to[i] = v
			} else if m[1] != "F" {
				word = m[1] + m[2]
			}
		}
		b.seated = b.seated || word == "M0"
		if ways == 0 {
			continue
		}
		step := 1.0 // on the way; far under any thing that stands there
		if word == "G38.2" {
			step = 0.2 // far under a ball
		}
		end, ok := b.way(at, to, step)
		switch {
		case word == "G38.2":
			for i := range end {
				if to[i] != at[i] {
					end[i] += b.noiseMM * b.rng.NormFloat64()
				}
			}
			if met(end[0], end[1], end[2], ok); !ok {
				return nil
			}
		case ok:
			return fmt.Errorf("line %d: %s meets something at %.3f", n+1, line, end)
		case word == "G0" && at[2] != to[2] && ways > 1:
			return fmt.Errorf("line %d: a rapid that is not level: %s", n+1, line)
		}
		at = end
	}
	return nil
}

// way is how far the ball gets; ok: it met something.
func (b *bench) way(from, to [3]float64, step float64) (end [3]float64, ok bool) {
	place := func(t float64) (p [3]float64) {
		for i := range p {
			p[i] = from[i] + t*(to[i]-from[i])
		}
		return p
	}
	blocked := func(t float64) bool { p := place(t); return !b.free(p[0], p[1], p[2]+b.radius) }
	n := math.Ceil(math.Hypot(math.Hypot(to[0]-from[0], to[1]-from[1]), to[2]-from[2]) / step)
	for i := 1.0; i <= n; i++ {
		if !blocked(i / n) {
			continue
		}
		low, high := (i-1)/n, i/n
		for range 40 {
			if mid := (low + high) / 2; blocked(mid) {
				high = mid
			} else {
				low = mid
			}
		}
		return place(low), true
	}
	return to, false
}

// workZero is where the bench's G54 lies in its machine's coordinates.
var workZero = [3]float64{-312.5, -705.25, -81.125}

// logTo writes what a controller logs of a program: the console of a small one, or the file of
// PROBEOPEN.
func (b *bench) logTo(w io.Writer, program string, nine bool) error {
	if !nine {
		fmt.Fprintf(w, "Grbl 1.1h ['$' for help]\n[G54:%.3f,%.3f,%.3f]\n[G92:0.000,0.000,0.000]\n[TLO:0.000]\n"+
			"[PRB:0.000,0.000,0.000:0]\nok\n", workZero[0], workZero[1], workZero[2])
	}
	return b.run(program, func(x, y, z float64, ok bool) {
		switch {
		case nine && ok:
			fmt.Fprintf(w, "%f %f %f 0.000000 0.000000 0.000000 0.000000 0.000000 0.000000\n", x, y, z)
		case !nine && ok:
			fmt.Fprintf(w, "[PRB:%.3f,%.3f,%.3f:1]\nok\n", x+workZero[0], y+workZero[1], z+workZero[2])
		case !nine:
			fmt.Fprintf(w, "[PRB:%.3f,%.3f,%.3f:0]\nALARM:5\n", x+workZero[0], y+workZero[1], z+workZero[2])
		}
	})
}

// touchProbe is the bench as a command of the scripts: it runs a program of touches over a
// job's board and prints the controller's log.
func touchProbe(args []string, out, errs io.Writer) int {
	f := flag.NewFlagSet("touchprobe", flag.ContinueOnError)
	x, y, deg := f.Float64("x", 0, "moved, mm"), f.Float64("y", 0, "moved, mm"), f.Float64("deg", 0, "turned")
	if err := f.Parse(args); err != nil {
		return 2
	}
	b, err := newBench(f.Arg(0), "top", geom.Rigid{Angle: *deg * math.Pi / 180, Shift: geom.Vec{X: *x, Y: *y}}, 2)
	var program []byte
	if err == nil {
		program, err = os.ReadFile(f.Arg(1))
	}
	if err == nil {
		b.noiseMM = 0.004
		err = b.logTo(out, string(program), false)
	}
	if err != nil {
		fmt.Fprintln(errs, err)
		return 2
	}
	return 0
}

// TestProbedBoards: boards that nobody drew by hand, put back a little off in ways that the
// probe does not know, are found where they lie: by the program's own coordinates through
// the log and the three commands. Half of the logs are of either kind.
func TestProbedBoards(t *testing.T) {
	boards := 1
	if n, _ := strconv.Atoi(os.Getenv("RAPID_CHECKS")); n > 100 {
		boards = 24
	}
	for seed := range boards {
		t.Run(strconv.Itoa(seed), func(t *testing.T) {
			t.Parallel()
			probeBoard(t, rand.New(rand.NewPCG(uint64(seed), 1)), seed)
		})
	}
}

func probeBoard(t *testing.T, rng *rand.Rand, seed int) {
	between := func(a, b float64) float64 { return math.Round(10*(a+(b-a)*rng.Float64())) / 10 }
	length, plate := between(220, 420), between(5, 6)
	w0 := between(40, 50)
	w1 := w0 + between(-6, 8)
	axis := []string{"x", "y"}[rng.IntN(2)]
	text := fmt.Sprintf(`board:
  length: %g
  width: {start: %g, end: %g}
  thickness: %g
  features:
`, length, w0, w1, plate+between(4, 8))
	if seed%2 == 1 && seed%3 == 0 { // turned over it would rock
		text = strings.Replace(text, "  features:", fmt.Sprintf("  crown_radius: %g\n  features:", between(250, 400)), 1)
	}
	side := "top"
	flip := []string{"none", "long", "short"}[seed%3]
	if flip != "none" {
		side = "under"
	}
	for i := range 5 {
		text += fmt.Sprintf("    - {name: f%d, side: "+side+", u: %g, v: %g, bore: %g, depth: %g}\n", i,
			between(15, length/6)+
				float64(i)*length/6,
			between(-9, 9), between(4.5, 8), between(2, 3))
	}
	text += fmt.Sprintf("bed: {material: mdf, thickness: 18}\nmachine: {long_axis: %s}\ndowel: {standard: iso 8734, "+
		"diameter: 6}\n"+
		"template: {seat: nest, material: cast acrylic, thickness: %g, clearance: 0.3, flip: "+flip+
		", make: {by: laser}}\naccuracy: 2\n",
		axis, plate)
	dir := t.TempDir()
	file := func(name string) string { return filepath.Join(dir, name) }
	write := func(name string, data []byte) string {
		if err := os.WriteFile(file(name), data, 0o666); err != nil {
			t.Fatal(err)
		}
		return file(name)
	}
	path := write("job.yaml", []byte(text))
	truth := geom.Rigid{Angle: (rng.Float64() - 0.5) * 0.001,
		Shift: geom.Vec{X: rng.Float64() - 0.5, Y: rng.Float64() - 0.5}.Scale(0.4)}
	b, err := newBench(path, side, truth, 2)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	b.noiseMM = 0.003
	var found struct {
		Angle float64 `json:"angle_rad"` // datum
		Pose  struct {
			Angle float64 `json:"angle_rad"`
			X     float64 `json:"x_mm"`
			Y     float64 `json:"y_mm"`
		} `json:"pose"`
		Rim struct {
			X float64 `json:"x_mm"`
			Y float64 `json:"y_mm"`
		} `json:"rim"`
		Top struct {
			Z float64 `json:"z_mm"`
		} `json:"top"`
	}
	for _, verb := range []string{"datum", "locate", "zero"} {
		var out, errs, log bytes.Buffer
		if code := Run([]string{"touch", path, "--for", verb, "--probe", "--side", side, "-o", file(verb + ".csv")}, nil,
			&out,
			&errs); code == exitInput {
			t.Fatalf("touch: %s\n%s", errs.String(), text)
		}
		program, err := os.ReadFile(file(verb + ".nc"))
		if err != nil {
			t.Fatal(err)
		}
		b.seated, b.z0MM = verb != "zero", b.faceMM
		if verb == "zero" {
			b.z0MM = 0
		}
		if err := b.logTo(&log, string(program), seed%2 == 0); err != nil {
			t.Fatalf("%s: %v\n%s", verb, err, text)
		}
		out.Reset()
		if code := Run([]string{verb, write(verb+".log", log.Bytes()), "--job", path, "--plan", file(verb + ".csv"),
			"--json"}, nil, &out,
			&errs); code == exitInput {
			t.Fatalf("%s: %s\n%s\n%s", verb, errs.String(), text, log.String())
		}
		if err := json.Unmarshal(out.Bytes(), &found); err != nil {
			t.Fatal(err)
		}
	}
	pin := b.pins[0].At
	for _, c := range []struct {
		what             string
		got, want, bound float64
	}{
		{"datum: angle", found.Angle, truth.Angle, 1e-4},
		{"locate: angle", found.Pose.Angle, truth.Angle, 1e-4},
		{"locate: X", found.Pose.X, truth.Shift.X, 0.02}, {"locate: Y", found.Pose.Y, truth.Shift.Y, 0.02},
		{"zero: X", found.Rim.X, pin.X, 0.01}, {"zero: Y", found.Rim.Y, pin.Y, 0.01},
		{"zero: Z", found.Top.Z, b.faceMM, 0.01},
	} {
		if !(math.Abs(c.got-c.want) <= c.bound) {
			t.Errorf("%s %.5f, want %.5f\n%s", c.what, c.got, c.want, text)
		}
	}
}
