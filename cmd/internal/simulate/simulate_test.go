package simulate

import (
	"bytes"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"reseat/cmd/internal/cli"
	"reseat/jig/job"
)

const (
	// wallMM is how near a wall nothing is asked: a coordinate is written to 0.001, the
	// centre and the start of a circle each to half of that, in X and in Y.
	wallMM = 0.002
	// floorMM is how true a floor must be.
	floorMM = 0.001
	// rapidMMmin is the speed of rapids that the stated times are held against.
	rapidMMmin = 2000
	// roundShare is by how much moves written to 0.001 may be longer than those planned.
	roundShare = 5e-4
)

// programs are the jobs and the programs that each writes, no more and no fewer.
var programs = []struct{ job, files string }{
	{"every-width", "bores.nc pockets.nc"},
	{"long-both-faces-nest", "bores.nc pockets-under.nc pockets.nc"},
	{"short-both-faces", "bores.nc pockets-under.nc pockets.nc"},
	{"crown-down", "bores.nc pockets-under.nc pockets.nc"},
	{"jobs/bouzouki-fingerboard", "bores-blank.nc bores.nc pockets.nc"},
	{"jobs/dulcimer-inches", "bores.nc pockets.nc"},
	{"jobs/mandola-in-parts", "bores-blank.nc bores.nc pockets.nc"},
	{"jobs/neck-second-side", "bores.nc pockets-under.nc pockets.nc"},
	{"jobs/ukulele-printed", "bores-blank.nc bores.nc pockets.nc"},
	{"cases/drilled-pins", "bores.nc pockets.nc"},
	{"cases/flip-one-feature", "bores.nc pockets-under.nc"},
	{"cases/second-side-one-bolt", "bores.nc pockets-under.nc pockets.nc"},
	{"cases/free-crowned-axis-x", "bores-blank.nc bores.nc pockets.nc"},
	{"cases/inlay-too-loose", "bores-blank.nc bores.nc"},
	{"cases/long-unpushed", "bores-blank.nc bores.nc pockets.nc"},
	{"cases/narrow-blank", "bores.nc"},
	{"cases/pins-proud", "bores-blank.nc bores.nc"}, // a pin stands in the cutter's way
	{"cases/print-in-eight", "bores-blank.nc bores.nc"},
	{"cases/twelve-pins-off-axis", "bores-blank.nc bores.nc"}, // a pin stands proud
	{"cases/widths-swapped", "bores-blank.nc bores.nc pockets.nc"},
}

// TestPrograms cuts every program of the examples and cases.
func TestPrograms(t *testing.T) {
	for _, c := range programs {
		t.Run(c.job, func(t *testing.T) {
			t.Parallel()
			j, r, dir := design(t, c.job)
			files, err := filepath.Glob(filepath.Join(dir, "*.nc"))
			if err != nil {
				t.Fatal(err)
			}
			var names []string
			for _, f := range files {
				names = append(names, filepath.Base(f))
			}
			if got := strings.Join(names, " "); got != c.files {
				t.Errorf("wrote %s, want %s", got, c.files)
			}
			for _, s := range r.Setups {
				for _, k := range s.Checks {
					if !(k.Low <= k.Expected && k.Expected <= k.High) {
						t.Errorf("%s: %s is expected at %g, outside of %g to %g", s.ID, k.What, k.Expected, k.Low, k.High)
					}
				}
			}
			for _, name := range names {
				s := setupOf(j, r, name, 1)
				s.walls()
				for _, fault := range append(s.differs(j, r, name), s.run(read(t, filepath.Join(dir, name)))...) {
					t.Errorf("%s: %s", name, fault)
				}
			}
		})
	}
}

// TestTurnedPattern: a pattern that is to fit turned over lies on itself, hole on pin.
func TestTurnedPattern(t *testing.T) {
	for _, name := range []string{"jobs/neck-second-side", "cases/drilled-pins", "cases/flip-one-feature",
		"cases/second-side-one-bolt", "long-both-faces-nest", "short-both-faces"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			j, r, _ := design(t, name)
			over := placesOf(j, true)
			for _, q := range r.Pins {
				at, off := over.at(q.U, q.V), math.Inf(1)
				for _, p := range r.Pins {
					pin := placesOf(j, false).at(p.U, p.V)
					off = min(off, math.Hypot(at.x-pin.x, at.y-pin.y))
				}
				if off > wallMM {
					t.Errorf("turned over, hole %s lies %.3f mm from the nearest pin", q.ID, off)
				}
			}
		})
	}
}

// designed is a job that went through the command line once, and the folder with its files.
type designed struct {
	job *job.Job
	record
	dir string
	err error
}

var (
	folder  string   // of all designs
	designs sync.Map // of func() designed, by the job's name
)

func TestMain(m *testing.M) {
	debug.SetGCPercent(400) // many short-lived designs
	var err error
	if folder, err = os.MkdirTemp("", "programs"); err != nil {
		panic(err)
	}
	status := m.Run()
	os.RemoveAll(folder)
	os.Exit(status)
}

// design runs a job through the command line, once for all tests, and reads back what it
// wrote.
func design(t *testing.T, name string) (*job.Job, record, string) {
	t.Helper()
	once, _ := designs.LoadOrStore(name, sync.OnceValue(func() (d designed) {
		path := filepath.Join("testdata", name+".yaml")
		if strings.Contains(name, "/") {
			path = filepath.Join("../../..", path)
		}
		d.dir = filepath.Join(folder, filepath.Base(name))
		if d.job, d.err = job.Read(path); d.err != nil {
			return d
		}
		var out, errs bytes.Buffer
		if got := cli.Run([]string{"design", path, "-o", d.dir}, nil, &out, &errs); got > 1 {
			d.err = fmt.Errorf("exit %d\n%s%s", got, out.String(), errs.String())
			return d
		}
		d.record, d.err = readRecord(d.dir)
		return d
	}))
	d := once.(func() designed)()
	if d.err != nil {
		t.Fatal(d.err)
	}
	return d.job, d.record, d.dir
}

func read(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// setupOf is what a program of a job finds and must leave after a step.
func setupOf(j *job.Job, r record, file string, step int) (s setup) {
	switch {
	case file == "bores.nc" && r.setup(file).ID == "bore-together":
		s = bothSetup(j, r)
	case file == "bores.nc":
		s = bedSetup(j, r)
	case file == "bores-blank.nc":
		s = blankSetup(j, r)
	case file == "pockets.nc" || file == "pockets-under.nc":
		s = pocketSetup(j, r, file, step)
	default:
		panic("no set-up for " + file)
	}
	for _, p := range r.Programs {
		if p.File == file {
			s.tool.radius = p.Tool / 2
		}
	}
	named := []job.Cutter{j.Machine.Cutter, j.Pockets.Cutter}
	if strings.HasPrefix(file, "bores") {
		named = []job.Cutter{j.Bed.Make.Cutter}
	}
	for _, c := range append(slices.Clone(j.Machine.Cutters), named...) {
		if c.DiameterMM == 2*s.tool.radius && c.ColletMM > 0 {
			s.tool.colletRadius, s.tool.below = c.ColletMM/2, c.BelowMM
		}
	}
	s.stock = newStock(s.bodies)
	return s
}

// TestSteps bores two boards again step by step: after each the holes have that step's
// size, after the last their own.
func TestSteps(t *testing.T) {
	for _, c := range []struct {
		job, file, feature string
		steps              int
		finalMM            float64
	}{
		// The largest of four discs measures 6.01 and has a glue gap of 0.05; from 0.2 under in steps of 0.05.
		{"jobs/bouzouki-fingerboard", "pockets.nc", "dot 12", 5, 6.06},
		// From 0.2 under in steps of 0.1.
		{"jobs/neck-second-side", "pockets-under.nc", "heel bolt", 3, 8},
	} {
		t.Run(c.job, func(t *testing.T) {
			t.Parallel()
			j, r, _ := design(t, c.job)
			var steps []setup
			for n := range c.steps {
				s := setupOf(j, r, c.file, n+1)
				if n > 0 {
					s.stock = steps[0].stock
				}
				s.walls()
				steps = append(steps, s)
			}
			for i, s := range steps {
				file := filepath.Join(t.TempDir(), "step.nc")
				var out, errs bytes.Buffer
				args := []string{"pocket", j.File, "--step", fmt.Sprint(i + 1), "-o", file}
				if c.file == "pockets-under.nc" {
					args = append(args, "--side", "under")
				}
				if got := cli.Run(args, nil, &out, &errs); got != 0 {
					t.Fatalf("step %d: exit %d\n%s", i+1, got, errs.String())
				}
				for _, fault := range s.run(read(t, file)) {
					t.Errorf("step %d: %s", i+1, fault)
				}
			}
			for _, w := range steps[c.steps-1].holes {
				if w.id == c.feature && math.Abs(2*w.radius-c.finalMM) > 1e-9 {
					t.Errorf("%s ends at %.3f, want %.3f", w.id, 2*w.radius, c.finalMM)
				}
			}
		})
	}
}

// TestTurnedProgram: reseat pocket --turn-deg turns every place about where the datum line
// starts, which lies elsewhere once the board is turned over end for end.
func TestTurnedProgram(t *testing.T) {
	const deg = 0.2
	for _, c := range []struct{ job, file, side string }{
		{"jobs/bouzouki-fingerboard", "pockets.nc", "top"},
		{"jobs/neck-second-side", "pockets-under.nc", "under"},
		{"short-both-faces", "pockets-under.nc", "under"},
	} {
		t.Run(c.job, func(t *testing.T) {
			t.Parallel()
			j, r, _ := design(t, c.job)
			file := filepath.Join(t.TempDir(), "turned.nc")
			var out, errs bytes.Buffer
			args := []string{"pocket", j.File, "--side", c.side, "--turn-deg", fmt.Sprint(deg), "--anyway", "-o", file}
			if got := cli.Run(args, nil, &out, &errs); got != 1 { // no verdict is behind a turn that was typed
				t.Fatalf("exit %d\n%s", got, errs.String())
			}
			s := setupOf(j, r, c.file, 1)
			start := placesOf(j, c.side == "under").at(0, 0)
			sin, cos := math.Sincos(deg * math.Pi / 180)
			for i := range s.holes {
				x, y := s.holes[i].at.x-start.x, s.holes[i].at.y-start.y
				s.holes[i].at = point{x: start.x + cos*x - sin*y, y: start.y + sin*x + cos*y}
			}
			s.walls()
			for _, fault := range s.run(read(t, file)) {
				t.Error(fault)
			}
		})
	}
}

// run cuts a program and tells every fault: of the file, of a rapid, of the time, of the
// stock as it is left.
func (s setup) run(text string) (faults []string) {
	moves, err := readNC(text)
	if err != nil {
		return []string{err.Error()}
	}
	seconds := 0.0
	for _, m := range moves {
		seconds += m.seconds(rapidMMmin)
		if err := s.stock.cut(s.tool, m, s.z0); err != nil {
			faults = append(faults, err.Error())
		}
	}
	if said := statedSeconds(text); said < (1-roundShare)*seconds {
		faults = append(faults, fmt.Sprintf("the head says %.3f s, the moves alone take %.3f s", said, seconds))
	}
	if want := fmt.Sprintf(", %.4g mm, spindle", 2*s.tool.radius); !strings.Contains(text, want) {
		faults = append(faults, "the head does not name the tool: "+want)
	}
	faults = append(faults, s.judge()...)
	if len(faults) > 8 {
		faults = append(faults[:8], fmt.Sprintf("and %d more", len(faults)-8))
	}
	return faults
}

// differs tells where the design's own set-up of a program lies otherwise than this one.
func (s setup) differs(j *job.Job, r record, file string) (faults []string) {
	const sameMM = 1e-6 // to which design.json is written
	d := r.setup(file)
	say := func(what string, got, want float64) {
		if math.Abs(got-want) > sameMM {
			faults = append(faults, fmt.Sprintf("%s %s is at %g, want %g", d.ID, what, got, want))
		}
	}
	if d.Zero == nil {
		return []string{file + " is run in no set-up, or one without zero"}
	}
	say("Z0", d.Zero.Z, s.z0)
	if end := d.Zero.FromEnd; end != nil {
		// X0 Y0 from the left and the near edge of what is bored, the end of which is the one
		// that the long axis meets.
		left, near := math.Inf(1), math.Inf(1)
		for _, p := range s.bodies[len(s.bodies)-1].outline {
			left, near = min(left, p.x), min(near, p.y)
		}
		if j.Machine.LongAxis == "y" {
			left, near = near, left
		}
		say("zero from the end", *end, -left)
		say("zero from the side", *d.Zero.FromSide, -near)
	}
	for _, k := range d.Checks {
		over := map[string]point{}
		for _, q := range r.Pins {
			if slices.Contains(strings.Fields(k.What), q.ID) {
				over[q.ID] = point{x: q.U, y: q.V, z: (q.Pin.Min + q.Pin.Max) / 2}
			}
		}
		if ids := slices.Sorted(maps.Keys(over)); strings.HasPrefix(k.What, "over pins") {
			a, b := over[ids[0]], over[ids[1]]
			say(k.What, k.Expected, math.Hypot(a.x-b.x, a.y-b.y)+a.z)
		}
	}
	for _, l := range d.Stack {
		i := slices.IndexFunc(s.bodies, func(b body) bool { return b.name == l.Layer })
		if i < 0 {
			faults = append(faults, d.ID+" has a "+l.Layer)
			continue
		}
		say(l.Layer, l.To, s.bodies[i].top(0, 0))
	}
	for i, p := range d.Pins {
		part, h := j.Bed.ThicknessMM, r.Pins[i].Bed
		if file == "bores-blank.nc" {
			part, h = j.Blank.ThicknessMM, *r.Pins[i].Blank
		}
		if h.Depth == 0 {
			h.Depth = part // it stands on the table
		}
		say("foot of pin "+p.ID, p.From, part-h.Depth)
	}
	return faults
}

// stated is the time in a program's head.
var stated = regexp.MustCompile(`(?m)^[;(] ?time (?:about )?(?:(\d+) h ?)?(?:(\d+) min ?)?(?:(\d+) s)?`)

func statedSeconds(text string) float64 {
	total := 0.0
	for i, w := range stated.FindStringSubmatch(text) {
		if n, err := strconv.ParseFloat(w, 64); err == nil && i > 0 {
			total += n * math.Pow(60, float64(3-i))
		}
	}
	return total
}

// walls puts places just inside and just outside of every wanted wall.
func (s setup) walls() {
	const around = 48
	for _, w := range s.holes {
		for i := range around {
			phi := 2 * math.Pi * float64(i) / around
			side := math.Copysign(w.travel/2, math.Cos(phi)*w.along.x+math.Sin(phi)*w.along.y)
			for _, by := range []float64{-2 * wallMM, -1.001 * wallMM, 1.001 * wallMM, 2 * wallMM} {
				s.stock.add(w.at.x+side*w.along.x+(w.radius+by)*math.Cos(phi), w.at.y+side*w.along.y+(w.radius+by)*math.Sin(phi))
			}
		}
	}
}

// judge holds every cell that there is against what is wanted there.
func (s setup) judge() (faults []string) {
	var tiles [][2]int
	for k := range s.stock.tiles {
		tiles = append(tiles, k)
	}
	slices.SortFunc(tiles, func(a, b [2]int) int { return slices.Compare(a[:], b[:]) })
	seen := map[string]bool{}
	say := func(key, format string, args ...any) {
		if !seen[key] {
			seen[key] = true
			faults = append(faults, fmt.Sprintf(format, args...))
		}
	}
	for _, k := range tiles {
	cells:
		for _, c := range s.stock.tiles[k] {
			id, low, high := "", c.top, c.top
			for _, w := range s.holes {
				// A drill's point goes below the depth of its full width.
				d := w.beyond(c.x, c.y)
				if math.Abs(d) < wallMM {
					continue cells
				}
				if d < 0 && w.low < low {
					tip := w.point - w.slope*(w.radius+d)
					id, low, high = w.id, w.low-tip, w.high-tip
				}
			}
			switch {
			case id == "" && c.z < c.top-1e-9:
				say(c.body, "%s is cut at X%.3f Y%.3f, from %.3f down to %.3f, and is not to be cut there",
					c.body, c.x, c.y, c.top, c.z)
			case c.z < low-floorMM:
				say(id+" deep", "%s is cut to %.4f over the table at X%.3f Y%.3f, want %.4f", id, c.z, c.x, c.y, low)
			case c.z > high+floorMM:
				say(id, "%s is left at %.4f over the table at X%.3f Y%.3f, want %.4f", id, c.z, c.x, c.y, high)
			}
		}
	}
	return faults
}
