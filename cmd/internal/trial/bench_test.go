package trial

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"strconv"
	"strings"
	"testing"

	"reseat/cmd/internal/cli"
	"reseat/jig/job"
)

// The plane is written in complex numbers: u + iv of the board, x + iy of the machine.

// bench is where boards of one job are measured.
type bench struct {
	t     *testing.T
	dir   string
	file  string // the job's
	job   *job.Job
	board job.Board
	marks []mark
	axis  complex128 // along the datum line, machine
	said  string     // what the last command wrote
}

// mark is a feature of the top as drawn.
type mark struct {
	name string
	at   complex128 // board
}

// remark is a remark in a job file.
var remark = regexp.MustCompile(`(?m)(^| )#.*$`)

// newBench copies an example, in which the board stays as large as it was measured, and
// designs it, so that nothing need be searched for again.
func newBench(t *testing.T, example string) *bench {
	t.Helper()
	b := &bench{t: t, dir: t.TempDir()}
	text, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", example))
	if err != nil {
		t.Fatal(err)
	}
	if from := strings.Index(string(text), "climate:"); from >= 0 {
		rest := string(text[from:])
		text = append(text[:from:from], rest[strings.Index(rest, "\n\n"):]...)
	}
	text = remark.ReplaceAll(text, nil) // they are read at every run
	processes := os.DirFS(filepath.Join("..", "..", "..", "testdata", "jobs", "processes"))
	if err := os.CopyFS(filepath.Join(b.dir, "processes"), processes); err != nil {
		t.Fatal(err)
	}
	b.file = b.write("job.yaml", string(text))
	if exit, says := b.run(nil, "design", b.file); exit > 1 {
		t.Fatal(says)
	}
	if b.job, err = job.Read(b.file); err != nil {
		t.Fatal(err)
	}
	b.board, b.axis = b.job.Board, 1
	if b.job.Machine.LongAxis == "y" {
		b.axis = 1i
	}
	for _, f := range b.board.AllFeatures() {
		if !f.IsUnderside() {
			b.marks = append(b.marks, mark{f.Name, complex(f.UMM, f.VMM)})
		}
	}
	return b
}

func (b *bench) write(name, text string) string {
	path := filepath.Join(b.dir, name)
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		b.t.Fatal(err)
	}
	return path
}

// run runs a command and reads its answer, where it is asked for one.
func (b *bench) run(answer any, args ...string) (exit int, says string) {
	var out, errs bytes.Buffer
	exit = cli.Run(args, nil, &out, &errs)
	b.said = out.String()
	if answer != nil && exit < 2 {
		if err := json.Unmarshal(out.Bytes(), answer); err != nil {
			b.t.Fatalf("%s: %v\n%s", strings.Join(args, " "), err, b.said)
		}
	}
	return exit, errs.String()
}

// answer is the JSON of a measurement.
type answer map[string]any

// number is a value of the answer by its path of keys and places in lists; ok is false when it
// has none.
func (a answer) number(path string) (v float64, ok bool) {
	var at any = map[string]any(a)
	for _, key := range strings.Split(path, ".") {
		switch x := at.(type) {
		case map[string]any:
			at = x[key]
		case []any:
			if i, err := strconv.Atoi(key); err != nil || i >= len(x) {
				return 0, false
			} else {
				at = x[i]
			}
		default:
			return 0, false
		}
	}
	v, ok = at.(float64)
	return v, ok
}

// measure asks a command about readings. Readings that are refused as bad input get exit 2
// and no answer.
func (b *bench) measure(verb, readings string, args ...string) (exit int, a answer) {
	file := b.write("readings.csv", readings)
	exit, _ = b.run(&a, append([]string{verb, file, "--job", b.file, "--json"}, args...)...)
	if said, _ := a["verdict"].(string); (said == "good") != (exit == 0) {
		b.t.Errorf("%s: exit %d with the verdict %q\n%s", verb, exit, said, readings)
	}
	return exit, a
}

// circle is a full one of a program: where it starts and ends, and the way to its middle.
var circle = regexp.MustCompile(`(?m)^G[23] X(\S+) Y(\S+) (?:Z\S+ )?I(\S+) J(\S+)`)

// bores writes the program of the last pose and reads where it bores.
func (b *bench) bores() (at []complex128) {
	b.t.Helper()
	file, program := b.write("pose.json", b.said), filepath.Join(b.dir, "again.nc")
	os.Remove(program)
	if exit, says := b.run(nil, "pocket", b.file, "--pose", file, "-o", program); exit != 0 {
		b.t.Fatalf("pocket with a good pose: exit %d: %s", exit, says)
	}
	text, err := os.ReadFile(program)
	if err != nil {
		b.t.Fatal(err)
	}
	for _, m := range circle.FindAllStringSubmatch(string(text), -1) {
		var v [4]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(m[i+1], 64); err != nil {
				b.t.Fatal(err)
			}
		}
		at = append(at, complex(v[0]+v[2], v[1]+v[3]))
	}
	return at
}

// pose is how a board lies: machine = turned by turn about the machine's zero, then shifted.
type pose struct {
	turn  float64
	shift complex128
}

func (p pose) lies(drawn complex128) complex128 { return drawn*cmplx.Rect(1, p.turn) + p.shift }

// free is a board put back by hand: within 0.3 degrees and 0.5 mm.
func free(r *rand.Rand) pose {
	return pose{even(r, 0.3*math.Pi/180), complex(even(r, 0.5), even(r, 0.5))}
}

// touchEdges writes what touches of the edges read, each as edge:place, of a board that is wider
// than drawn by so much at its start and far end.
func (b *bench) touchEdges(w io.Writer, r *rand.Rand, d pose, edges string, wider [2]float64, sdMM float64) {
	for _, e := range strings.Fields(edges) {
		on, place, _ := strings.Cut(e, ":")
		var u float64
		fmt.Sscan(place, &u)
		p := complex(0, u)
		if side := map[string]float64{"left": 1, "right": -1}[on]; side != 0 {
			p = complex(u, side*(b.half(u)+(wider[0]+(wider[1]-wider[0])*u/b.board.LengthMM)/2))
		}
		p = d.lies(p*b.axis) + blur(r, sdMM)
		fmt.Fprintf(w, "%s,%.4f,%.4f\n", on, real(p), imag(p))
	}
}

// half is half the drawn width of the board.
func (b *bench) half(u float64) float64 {
	return (b.board.WidthStartMM + (b.board.WidthEndMM-b.board.WidthStartMM)*u/b.board.LengthMM) / 2
}

// bow is a parabola through the board's ends.
func (b *bench) bow(sagitta, u float64) float64 {
	l := b.board.LengthMM
	return sagitta * 4 * u * (l - u) / (l * l)
}

// even draws evenly between -most and most.
func even(r *rand.Rand, most float64) float64 { return most * (2*r.Float64() - 1) }

// blur draws from a round normal.
func blur(r *rand.Rand, sd float64) complex128 {
	return complex(sd*r.NormFloat64(), sd*r.NormFloat64())
}

// waves draws noise in which one reading takes the share rho of its error from the one before.
func waves(r *rand.Rand, sd, rho float64) func() float64 {
	e := r.NormFloat64()
	return func() float64 {
		now := sd * e
		e = rho*e + math.Sqrt(1-rho*rho)*r.NormFloat64()
		return now
	}
}

func TestMain(m *testing.M) {
	debug.SetGCPercent(400) // thousands of short-lived answers
	os.Exit(m.Run())
}

// deep reports whether the tests are run in their long mode.
func deep() bool {
	n, err := strconv.Atoi(os.Getenv("RAPID_CHECKS"))
	return err == nil && n > 100
}

// normal95 is the half width of the middle 95 % of a normal, in standard deviations.
const normal95 = 1.959964

// example is the path of a file among the examples and cases.
func example(path ...string) string {
	return filepath.Join(append([]string{"..", "..", "..", "testdata"}, path...)...)
}
